"""Names as people type them to the library's things. Never a guess: what is not there is refused with what is near."""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable
from dataclasses import dataclass

from brightroot.base.errors import Refused
from brightroot.base.units import Reading, read
from brightroot.model.library import Alloy, Filler, Library


@dataclass(frozen=True, slots=True)
class FoundPipe:
    """A pipe by its two sizes, as Readings that keep the typed text."""

    outer_diameter_m: Reading
    wall_m: Reading
    size: str


def _folded(text: str) -> str:
    return re.sub(r"[^a-z0-9/.]", "", text.lower().replace("grado", "grade").replace("titanio", "ti"))


def _near(text: str, names: Iterable[str]) -> tuple[str, ...]:
    return tuple(difflib.get_close_matches(text, list(names), n=3, cutoff=0.4))


def find_alloy(library: Library, text: str, *, field: str) -> Alloy:
    """The grade that the text names. A metal without its grade is refused."""
    wanted = _folded(text)
    for alloy in library.alloys.values():
        if wanted in {_folded(name) for name in (alloy.id, alloy.name, *alloy.aliases)}:
            return alloy
    names = [alias for alloy in library.alloys.values() for alias in (alloy.name, *alloy.aliases)]
    raise Refused(
        field=field, wanted="a metal with its grade, like Gr 2, R60702 or 316L", got=text, near=_near(text, names),
        reason="refused.metal",
    )  # fmt: skip


def find_filler(library: Library, text: str, *, field: str) -> Filler:
    """The filler class that the text names."""
    wanted = _folded(text)
    for filler in library.fillers.values():
        if wanted == _folded(filler.id):
            return filler
    raise Refused(
        field=field,
        wanted="a filler class like ERTi-2",
        got=text,
        near=_near(text, library.fillers),
        reason="refused.filler",
    )


# DN of each nominal size
DN = {
    "6": "1/8", "8": "1/4", "10": "3/8", "15": "1/2", "20": "3/4", "25": "1", "32": "1-1/4", "40": "1-1/2", "50": "2",
    "65": "2-1/2", "80": "3", "90": "3-1/2", "100": "4", "125": "5", "150": "6", "200": "8", "250": "10", "300": "12",
    "350": "14", "400": "16", "450": "18", "500": "20", "550": "22", "600": "24", "750": "30",
}  # fmt: skip

_NOMINAL = re.compile(
    r"^\s*(?:(nps|dn)\s*)?(\d+(?:[ -]\d+/\d+|/\d+)?)\s*(?:\"|in|inch)?\s*[,x×]?\s*(?:sch(?:edule|\.)?)\s*\.?\s*(\d+s?|std|xs)\s*$",
    re.IGNORECASE,
)
_BY_SIZE = re.compile(r"^\s*(.+?)\s*(?:[x×*]|od\s*,?)\s*(.+?)\s*(?:wall)?\s*$", re.IGNORECASE)


def find_pipe(library: Library, text: str, *, field: str) -> FoundPipe:
    """`NPS 6 Sch 10S`, `DN 150 Sch 10S` or `168.3 x 3.40 mm` (a unit on the wall serves both numbers).

    A schedule that does not exist for the size is refused with those that do.
    """
    nominal = _NOMINAL.match(text)
    if nominal:
        return _by_schedule(library, nominal, text, field)
    sizes = _BY_SIZE.match(text)
    if sizes is None:
        raise Refused(
            field=field, wanted="a size like NPS 6 Sch 10S or 168.3 x 3.40 mm", got=text, reason="refused.pipe"
        )
    first, second = sizes.groups()
    unit = re.search(r"[a-zA-Z\"]+\s*$", second)
    if unit and not re.search(r"[a-zA-Z\"]", first):
        first += f" {unit[0].strip()}"
    outside = read(first, field=field, dimension="length")
    wall = read(second, field=field, dimension="length")
    if not 0.006 <= outside.value <= 1.3:
        raise Refused(field=field, wanted="an outside diameter from 6 mm to 1.3 m", got=first, reason="refused.range")
    if not 0.0004 <= wall.value <= 0.03:
        raise Refused(field=field, wanted="a wall from 0.4 to 30 mm", got=second, reason="refused.range")
    return FoundPipe(outside, wall, text.strip())


def _by_schedule(library: Library, match: re.Match[str], text: str, field: str) -> FoundPipe:
    kind, size, schedule = match.groups()
    nps = size.replace(" ", "-")
    if (kind or "nps").lower() == "dn":
        if size not in DN:
            wanted = "a nominal diameter like DN 150"
            raise Refused(field=field, wanted=wanted, got=text, near=_near(size, DN), reason="refused.pipe")
        nps = DN[size]
    rows = [p for p in library.pipes if p.nps == nps]
    if not rows:
        known = list(dict.fromkeys(p.nps for p in library.pipes))
        raise Refused(
            field=field, wanted="a nominal size of the tables", got=text, near=_near(nps, known), reason="refused.pipe"
        )
    row = next((p for p in rows if p.schedule.lower() == schedule.lower()), None)
    if row is None:
        there = tuple(p.schedule for p in rows)
        wanted = f"a schedule of NPS {nps}: {', '.join(there)}"
        raise Refused(field=field, wanted=wanted, got=text, near=_near(schedule, there), reason="refused.schedule")
    said = text.strip()
    return FoundPipe(
        Reading(said, row.outer_diameter_m, "in", "length"), Reading(said, row.wall_m, "in", "length"), said
    )
