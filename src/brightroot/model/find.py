"""Names as people type them to the library's things. Never a guess: what is not there is refused with what is near."""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from brightroot.base.errors import Refused
from brightroot.base.units import Reading, read
from brightroot.model.library import Alloy, Filler, Library, PipeSize


@dataclass(frozen=True, slots=True)
class FoundPipe:
    """A pipe by its two sizes, as Readings that keep the typed text."""

    outer_diameter_m: Reading
    wall_m: Reading
    size: str


# specifications that people write before a grade or a class; they do not change which one is meant
_SPECIFICATION = re.compile(r"\b(?:astm|asme|aws|uns|w\.? ?nr\.?|s?[ab] ?-?\d{3}m?|a5\.\d\d?m?)\b")
_METALS = {
    "titanium": "ti",
    "titanio": "ti",
    "zirconium": "zr",
    "circonio": "zr",
    "stainless": "ss",
    "inoxidable": "ss",
}


def folded(text: str) -> str:
    """How a name is compared: no case, no blanks, no specification; grade, grado and gr alike.

    >>> folded("Titanium Grade 2") == folded("ti gr. 2"), folded("ASTM B861 Gr 2") == folded("Gr2")
    (True, True)
    """
    plain = _SPECIFICATION.sub(" ", text.lower())
    for long, short in (*_METALS.items(), ("grade", "gr"), ("grado", "gr"), ("alloy", ""), ("aleación", "")):
        plain = plain.replace(long, short)
    return re.sub(r"[^a-z0-9]", "", plain)


def _near(text: str, names: Iterable[str]) -> tuple[str, ...]:
    by_fold = {folded(name): name for name in reversed(list(names))}
    close = difflib.get_close_matches(folded(text), list(by_fold), n=3, cutoff=0.4)
    return tuple(dict.fromkeys(by_fold[fold] for fold in close))


def names_of(alloy: Alloy) -> tuple[str, ...]:
    """Every name under which a grade is found."""
    return (alloy.name, alloy.id, alloy.uns, *alloy.aliases)


def find_alloy(library: Library, text: str, *, field: str) -> Alloy:
    """The grade that the text names. A metal without its grade is refused, and so is a name that two grades share."""
    wanted = folded(text)
    found = [a for a in library.alloys.values() if wanted and wanted in {folded(name) for name in names_of(a)}]
    if len(found) == 1:
        return found[0]
    near = tuple(a.name for a in found) or _near_grades(library, text)
    raise Refused(
        field=field, wanted="a metal with its grade, like Gr 2, R60702 or 316L", got=text, near=near,
        reason="refused.metal",
    )  # fmt: skip


def _near_grades(library: Library, text: str) -> tuple[str, ...]:
    """The first grades of a metal that was named without one; else the grades with the closest names."""
    metal = re.sub(r"commerciallypure|cp|gr", "", folded(text))
    own = [a.name for a in library.alloys.values() if metal and metal == re.sub(r"[^a-z].*", "", folded(a.name))[:2]]
    if own:
        return tuple(sorted(own, key=lambda name: int(re.sub(r"\D", "", name) or 0))[:4])
    owners = {name: a.name for a in library.alloys.values() for name in names_of(a)}
    return tuple(dict.fromkeys(owners[name] for name in _near(text, owners)))


def find_filler(library: Library, text: str, *, field: str) -> Filler:
    """The filler class that the text names, with or without its specification."""
    wanted = folded(text)
    for filler in library.fillers.values():
        if wanted == folded(filler.id):
            return filler
    raise Refused(
        field=field, wanted="a filler class like ERTi-2", got=text, near=_near(text, library.fillers),
        reason="refused.filler",
    )  # fmt: skip


# DN of each nominal size
DN = {
    "6": "1/8", "8": "1/4", "10": "3/8", "15": "1/2", "20": "3/4", "25": "1", "32": "1-1/4", "40": "1-1/2", "50": "2",
    "65": "2-1/2", "80": "3", "90": "3-1/2", "100": "4", "125": "5", "150": "6", "200": "8", "250": "10", "300": "12",
    "350": "14", "400": "16", "450": "18", "500": "20", "550": "22", "600": "24", "750": "30",
}  # fmt: skip

_FRACTIONS = {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8"}
_THING = re.compile(r"^\s*(?:pipe|tube|tubing|tubo|tuber[ií]a|ca[ñn]o)\b(?:\s+de\b)?")
_INCH_WORD = re.compile(r"\b(?:inch(?:es)?|pulgadas?|pulg)\b\.?|''|″|”|(?<=\d)in\.")
_NOMINAL = re.compile(
    r"(?:(nps|dn)\s*)?(\d+(?:[ -]+\d+/[1-9]\d*|/[1-9]\d*|\.\d+)?)(?!\d)\s*(\"|in\b)?\s*[,x×/-]?\s*"
    r"((?:sch(?:ed(?:ule)?)?|c[ée]d(?:ula)?)(?![a-z])\.?)?\s*([a-z]*\d+s?|std|xx?s)"
)
_OUTSIDE = re.compile(r"\b(?:od\b|o\.d\.|outside diameter|di[áa]metro exterior|d\.e\.)[:=]?|[øØ⌀]")
_BETWEEN = re.compile(r"\s*(?:[x×*]|[,;](?=\s)|\b(?:wall|pared|espesor)\b[:=]?)\s*")
_A_SIZE = "a size like NPS 6 Sch 10S or 168.3 x 3.40 mm"


def find_pipe(library: Library, text: str, *, field: str) -> FoundPipe:
    """`NPS 6 Sch 10S`, `DN 150 cédula 10S`, `168.3 x 3.40 mm`, `3 1/2 in OD x .216 wall`: one unit serves both numbers.

    A schedule that does not exist for the size is refused with those that do. `6 in x 0.134 in` may mean a 6 in outside
    diameter or NPS 6, which measures 6.625 in: it is refused with both.
    """
    plain = _INCH_WORD.sub(" in ", _THING.sub("", text.lower()))
    for mark, fraction in _FRACTIONS.items():
        plain = plain.replace(mark, f" {fraction}")
    plain = " ".join(plain.split())
    nominal = _NOMINAL.fullmatch(plain)
    if nominal and (nominal[1] or nominal[4] or re.fullmatch(r"\d+s", nominal[5])):
        return _by_schedule(library.pipes, nominal, text, field)
    return _by_size(library.pipes, plain, text.strip(), field)


def _by_size(pipes: tuple[PipeSize, ...], plain: str, said: str, field: str) -> FoundPipe:
    bare = _OUTSIDE.sub(" ", plain)
    sizes = [part.strip() for part in _BETWEEN.split(bare) if part.strip()]
    if len(sizes) == 1:  # 88.9 mm OD 5.49 mm
        sizes = [part.strip() for part in _OUTSIDE.split(_BETWEEN.sub(" ", plain)) if part.strip()]
    if len(sizes) != 2:
        raise Refused(field=field, wanted=_A_SIZE, got=said, reason="refused.pipe")
    units = [match[0] if (match := re.search(r"[^\d\s.,/]+$", size)) else "" for size in sizes]
    first, second = (size if units[n] else f"{size} {units[1 - n]}".strip() for n, size in enumerate(sizes))
    outside = read(first, field=field, dimension="length")
    wall = read(second, field=field, dimension="length")
    if not 0.006 <= outside.value <= 1.3:
        raise Refused(field=field, wanted="an outside diameter from 6 mm to 1.3 m", got=first, reason="refused.range")
    if not 0.0004 <= wall.value <= 0.03:
        raise Refused(field=field, wanted="a wall from 0.4 to 30 mm", got=second, reason="refused.range")
    if bare == plain:
        _not_nominal(pipes, outside, wall, field, said)
    return FoundPipe(outside, wall, said)


def _not_nominal(pipes: tuple[PipeSize, ...], outside: Reading, wall: Reading, field: str, said: str) -> None:
    """Refuse inches that are the number of a nominal size and the outside diameter of no pipe with such a wall."""
    if outside.unit != "in" or any(_same(p.outer_diameter_m, outside) and _same(p.wall_m, wall) for p in pipes):
        return
    inches = _inches(outside.value / 0.0254)
    named = [p for p in pipes if p.nps == inches and not _same(p.outer_diameter_m, outside)]
    if named:
        meant = next((f" Sch {p.schedule}" for p in named if _same(p.wall_m, wall)), "")
        near = (f"{outside.as_entered} OD x {wall.as_entered}", f"NPS {inches}{meant}")
        raise Refused(field=field, wanted=_A_SIZE, got=said, near=near, reason="refused.pipe")


def _same(value: float, reading: Reading) -> bool:
    return abs(value - reading.value) < 1e-5


def _inches(number: float) -> str:
    """A number of inches as nominal sizes are written: 1-1/2; '' where it is no whole eighth."""
    whole, part = divmod(Fraction(number).limit_denominator(1000), 1)
    if part.denominator not in (1, 2, 4, 8):
        return ""
    return "-".join(str(piece) for piece in (whole, part) if piece)


def _by_schedule(pipes: tuple[PipeSize, ...], match: re.Match[str], text: str, field: str) -> FoundPipe:
    kind, size, inch, _, schedule = match.groups()
    if not kind and not inch and size in DN and int(size) >= 15:  # 20 Sch 10S: twenty inches, or DN 20?
        near = [f"{name} {size} Sch {schedule.upper()}" for name in ("NPS", "DN")]
        raise Refused(field=field, wanted=_A_SIZE, got=text, near=tuple(near), reason="refused.pipe")
    nps = DN.get(size, "") if kind == "dn" else _inches(_number(size))
    rows = sorted((p for p in pipes if p.nps == nps), key=lambda p: p.wall_m)
    if not rows:
        wanted = "a nominal diameter like DN 150" if kind == "dn" else "a nominal size of the tables"
        known = [f"DN {dn}" for dn in DN] if kind == "dn" else [f"NPS {n}" for n in dict.fromkeys(p.nps for p in pipes)]
        near = sorted(known, key=lambda name: abs(_number(name.split()[1]) - _number(size)))[:2]
        raise Refused(field=field, wanted=wanted, got=text, near=tuple(near), reason="refused.pipe")
    row = next((p for p in rows if p.schedule.lower() == schedule), None)
    if row is None:
        there = [p.schedule for p in rows]
        wanted = f"a schedule of NPS {nps}: {', '.join(there)}"
        near = [name for name in there if name.lower().rstrip("s") == schedule.rstrip("s")]
        raise Refused(field=field, wanted=wanted, got=text, near=tuple(near), reason="refused.schedule")
    said = text.strip()
    return FoundPipe(
        Reading(said, row.outer_diameter_m, "in", "length"), Reading(said, row.wall_m, "in", "length"), said
    )


def _number(size: str) -> float:
    """`2 1/2`, `2-1/2` or `2.5` as a number."""
    return float(sum(Fraction(piece) for piece in re.split(r"[ -]+", size)))
