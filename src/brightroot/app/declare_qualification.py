"""Typed facts of a test coupon to a Qualification. Whatever cannot be understood is refused, all at once, by name."""

from __future__ import annotations

import difflib
from collections.abc import Mapping
from typing import Any

from brightroot.app.typed import READERS, Reader, number_within, typed_facts
from brightroot.base.errors import Refused, gathered
from brightroot.base.instant import read_day
from brightroot.base.units import Reading
from brightroot.model.coupon_facts import COUPON_FACTS, PLATE_POSITIONS, TESTS
from brightroot.model.facts import Fact
from brightroot.model.find import FoundPipe
from brightroot.model.library import Alloy, Filler, Library
from brightroot.model.qualification import Coupon, Qualification, TestDone
from brightroot.rules.welders.needs import nps_of

# closed ranges of what a hand-welded coupon can be; outside is a slip of the pen or of the unit
POSSIBLE: dict[str, tuple[float, float, str]] = {
    "outer_diameter_m": (0.003, 2.0, "3 mm to 2 m"),
    "wall_m": (0.0003, 0.1, "0.3 to 100 mm"),
    "deposit_m": (0.0003, 0.1, "0.3 to 100 mm"),
}


def declare_qualification(
    facts: Mapping[str, Any], *, welder: str, library: Library, taken: tuple[str, ...] = (), evidence: str = ""
) -> Qualification:
    """The qualification that the typed facts describe. Raises Refused with every field that needs mending in `also`."""
    typed, refusals = typed_facts(facts, COUPON_FACTS, _READ, library=library, of="coupon")
    refusals += _against_each_other(typed, facts, taken)
    if refusals:
        raise gathered(refusals)
    return _made(typed, welder, taken, evidence)


def _count(fact: Fact, text: str, library: Library) -> int:
    if not text.isdigit() or not 1 <= int(text) <= 200:
        raise Refused(field=fact.name, wanted="a whole number", got=text, reason="refused.number")
    return int(text)


def _code(fact: Fact, text: str, library: Library) -> str:
    if text not in library.codes:
        near = tuple(difflib.get_close_matches(text, library.codes, n=3)) or tuple(library.codes)[:4]
        raise Refused(field=fact.name, wanted="a code of the library", got=text, near=near, reason="refused.name")
    return text


_READ: dict[str, Reader] = {
    **READERS,
    "number": number_within(POSSIBLE),
    "count": _count,
    "code": _code,
    "date": lambda fact, text, library: read_day(text, field=fact.name),
}


def _against_each_other(typed: Mapping[str, Any], facts: Mapping[str, Any], taken: tuple[str, ...]) -> list[Refused]:
    found = []
    if typed["id"] in taken:
        wanted = "a name that no record of this stamp has"
        found.append(Refused(field="id", wanted=wanted, got=typed["id"], reason="refused.taken"))
    sized = typed["pipe"] or typed["outer_diameter_m"]
    if sized and typed["position"] in PLATE_POSITIONS:
        found.append(Refused(field="position", wanted="a position of a pipe", got=typed["position"]))
    if not sized and typed["position"] in ("5G", "6G", "2G+5G") and not facts.get("pipe"):
        found.append(Refused(field="pipe", wanted="the pipe of the coupon", got="nothing", reason="refused.missing"))
    wall, deposit = _wall(typed), typed["deposit_m"]
    if wall and deposit and deposit.value > wall.value * 1.5:
        wanted = f"a deposit no more than the wall and half of it, {wall.as_entered}"
        found.append(Refused(field="deposit_m", wanted=wanted, got=deposit.as_entered))
    if typed["welded_on"] and typed["issued_on"] and typed["issued_on"] < typed["welded_on"]:
        wanted = f"a day no earlier than the coupon, {typed['welded_on']}"
        found.append(Refused(field="issued_on", wanted=wanted, got=typed["issued_on"]))
    return found


def _made(typed: Mapping[str, Any], welder: str, taken: tuple[str, ...], evidence: str) -> Qualification:
    pipe: FoundPipe | None = typed["pipe"]
    metal: Alloy | None = typed["metal"]
    filler: Filler | None = typed["filler"]
    coupon = Coupon(
        welded_on=typed["welded_on"],
        position=typed["position"],
        deposit_m=typed["deposit_m"],
        layers_count=typed["layers_count"],
        outer_diameter_m=typed["outer_diameter_m"] or (pipe.outer_diameter_m if pipe else None),
        p_number=typed["p_number"] or _known(metal.p_number if metal else ""),
        f_number=typed["f_number"] or _known(filler.f_number if filler else ""),
        backing=typed["backing"],
        gas_backing=typed["gas_backing"],
        insert=typed["insert"],
        filler_used=typed["filler_used"] if typed["filler_used"] is not None else True if filler else None,
        filler_form=typed["filler_form"] or "",
        current=typed["current"] or "",
        progression=typed["progression"] or "",
        process=typed["process"],
        nps=nps_of(pipe.size) if pipe else "",
        metal=metal.id if metal else "",
        filler=filler.id if filler else "",
        wall_m=_wall(typed),
        tests=tuple(
            TestDone(test, result, typed["report"] or "") for test in TESTS if (result := typed[f"{test}_test"])
        ),
        procedure=typed["procedure"] or "",
    )
    return Qualification(
        id=typed["id"] or _next(taken),
        welder=welder,
        code=typed["code"],
        coupon=coupon,
        issued_on=typed["issued_on"] or "",
        evidence=(evidence,) if evidence else (),
    )


def _wall(typed: Mapping[str, Any]) -> Reading | None:
    return typed["wall_m"] or (typed["pipe"].wall_m if typed["pipe"] else None)


def _known(number: str) -> str:
    """A number of the library, unless the library itself doubts it."""
    return number if number.isalnum() else ""


def _next(taken: tuple[str, ...]) -> str:
    return next(name for n in range(1, len(taken) + 2) if (name := f"Q-{n}") not in taken)
