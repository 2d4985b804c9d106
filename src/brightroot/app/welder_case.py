"""Welders' cases in JSON: what a coupon brings under a code, and whether the process was used lately enough.

A value is always what the code's row says; `standing` tells whether that row was seen or is from memory. Nothing here
is a verdict on a welder: those are made where confirmations are known. Only continuity answers yes or no, and there a
row from memory makes it "unknown".
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from fractions import Fraction
from typing import Any

from brightroot.base.errors import Refused
from brightroot.base.source import Standing
from brightroot.base.units import Reading, from_si, read
from brightroot.model.clause import Outcome
from brightroot.model.library import CodeRow, Library
from brightroot.model.qualification import Coupon, LastUse
from brightroot.physics.fields import known, listed, number, one_of
from brightroot.rules.welders.book import Book, book_of, standing_of, words_of
from brightroot.rules.welders.continuity import Continuity, continuity_of
from brightroot.rules.welders.dates import day_of
from brightroot.rules.welders.ranges import COLUMNS, Ranges, members_of, named, position_row, ranges_of
from brightroot.rules.welders.spans import Figure, Span
from brightroot.rules.welders.specimens import specimens_of, volumetric_of

CODES = ("asme-ix", "iso-9606-5")
NEEDED = ("code", "layers", "test_position", "P", "F", "backing")
SIZES = ("nps", "od_in", "od_mm", "deposit_mm", "deposit_in")
UNKNOWN = "unknown"
COLUMN_NAMES = dict(zip(COLUMNS, ("groove_plate_and_pipe_over_24in", "groove_pipe_up_to_24in", "fillet"), strict=True))
# a pipe's outside may differ from its table by this much; more than that is another pipe
NPS_SLACK_M = 0.0008
WHY = {
    "continuity.no_use": "no use of GTAW is given, so nothing tells whether it lasts",
    "continuity.later_only": "every use that is given lies after {on}",
    "continuity.lasts": "last used on {last}; by {ref} that lasts until the end of {until}",
    "continuity.over": "last used on {last}; by {ref} that ended with {until}",
    "continuity.not_confirmed_lasts": "last used on {last}, which would last until {until}; the rule is from memory and "
    "nobody has confirmed it: type your clause",
    "continuity.not_confirmed_over": "last used on {last}, which would have ended with {until}; the rule is from memory "
    "and nobody has confirmed it: type your clause",
    "continuity.end_not_told": "last used on {last}; the certificate's own end is not told",
}


def answer_welder_range(case: Mapping[str, Any], *, library: Library) -> Mapping[str, Any]:
    """What a coupon brings under a code, in the shape that the project publishes for it."""
    known(case, field="", needed=NEEDED, allowed=SIZES)
    book = _book(library, one_of(case, "code", field="", names=CODES))
    ranges = ranges_of(book, _coupon(case, book, library))
    answer, behind = _answer(book, ranges)
    standing = {field: _standing(rows) for field, rows in behind.items()}
    return {**answer, "standing": standing}


def answer_welder_continuity(case: Mapping[str, Any], *, library: Library) -> Mapping[str, Any]:
    """Whether the process was used lately enough on a day, until when that lasts, and why."""
    known(case, field="", needed=("last_use", "on", "rule"))
    book = _book(library, one_of(case, "rule", field="", names=CODES))
    rows = listed(case, "last_use", field="")
    uses = [_use(row, f"last_use[{place}]") for place, row in enumerate(rows)]
    found = continuity_of(book, uses, on=_text(case, "on", field=""))
    valid: bool | str = {Outcome.PASS: True, Outcome.FAIL: False}.get(found.outcome, UNKNOWN)
    return {"valid": valid, "until": found.until or None, "why": _why(found)}


def _why(found: Continuity) -> str:
    return WHY[found.because].format_map(dict(found.params))


def _use(row: Any, field: str) -> LastUse:
    known(row, field=field, needed=("date", "process"), allowed=("metal",))
    texts = {key: _text(row, key, field=field) for key in ("date", "process", "metal") if key in row}
    day_of(texts["date"], field=f"{field}.date")
    return LastUse(**texts)


def _book(library: Library, name: str) -> Book:
    """The newest edition of that code in the library."""
    editions = sorted(code for code in library.codes if code.split("/")[0] == name)
    if not editions:
        raise Refused(field="code", wanted="a code of the library", got=name, reason="refused.case")
    return book_of(library.codes[editions[-1]])


def _coupon(case: Mapping[str, Any], book: Book, library: Library) -> Coupon:
    backing = case["backing"]
    if not isinstance(backing, bool):
        raise _refused("backing", "true or false", backing)
    layers = number(case, "layers", field="", low=1, high=500)
    if layers != int(layers):
        raise _refused("layers", "a whole number", case["layers"])
    outer, nps = _outer(case, library)
    coupon = Coupon(
        welded_on="",
        position=_text(case, "test_position", field=""),
        deposit_m=_length(case, "deposit", low_mm=0.1, high_mm=300.0),
        layers_count=int(layers),
        outer_diameter_m=outer,
        p_number=_member(case, "P", book, "welder_metal"),
        f_number=_member(case, "F", book, "welder_filler"),
        backing=backing,
        nps=nps,
    )
    if position_row(book, coupon) is None:
        raise _no_position(book, coupon)
    return coupon


def _no_position(book: Book, coupon: Coupon) -> Refused:
    """A position of the other shape, or none of the code's at all."""
    shape = "plate" if coupon.outer_diameter_m is None else "pipe"
    rows = book.table("welder_position")
    names = {str(r.cells.get("test")): shape for r in rows if r.cells.get("of") == shape}
    others = {str(r.cells.get("test")) for r in rows} - set(names)
    if shape == "plate" and (named(coupon.position) in others or not names):
        return Refused(field="od_in", wanted="this key, od_mm or nps", got="nothing", reason="refused.missing_key")
    near = tuple(names)
    return Refused(
        field="test_position", wanted=" or ".join(near), got=coupon.position, near=near, reason="refused.case"
    )


def _outer(case: Mapping[str, Any], library: Library) -> tuple[Reading | None, str]:
    """The outside diameter in the record's own system. A nominal size is its inch figure; a typed one must agree."""
    typed = _length(case, "od", low_mm=3.0, high_mm=5000.0) if {"od_in", "od_mm"} & set(case) else None
    if "nps" not in case:
        return typed, ""
    text = _text(case, "nps", field="")
    nps = "-".join(text.replace("NPS", "").replace('"', "").replace("-", " ").split())
    sizes = {pipe.nps: pipe.outer_diameter_m for pipe in library.pipes}
    if nps not in sizes:
        raise Refused(field="nps", wanted="a nominal pipe size like 1-1/2", got=text, reason="refused.case")
    inches = round(from_si(sizes[nps], unit="in", dimension="length"), 4)
    if typed is not None and abs(typed.value - sizes[nps]) > NPS_SLACK_M:
        field = "od_in" if "od_in" in case else "od_mm"
        raise Refused(
            field=field, wanted=f"{inches:g} in, the outside of NPS {nps}", got=typed.as_entered, reason="refused.case"
        )
    return read(f"{inches:g} in", field="outer_diameter_m"), nps


def _length(case: Mapping[str, Any], name: str, *, low_mm: float, high_mm: float) -> Reading:
    """`<name>_in` or `<name>_mm`, exactly one of them, as a Reading in that unit."""
    both = [f"{name}_mm", f"{name}_in"]
    given = [key for key in both if key in case]
    if len(given) != 1:
        reason = "refused.case" if given else "refused.missing_key"
        raise Refused(field=both[0], wanted=f"one of {both[0]} and {both[1]}", got=" and ".join(given) or "nothing",
                      reason=reason)  # fmt: skip
    unit = given[0][-2:]
    scale = 25.4 if unit == "in" else 1.0
    value = number(case, given[0], field="", low=low_mm / scale, high=high_mm / scale)
    return read(f"{_plain(value)} {unit}", field=f"{name}_m")


def _plain(value: float) -> str:
    """A number without an exponent, with every digit that it was given with."""
    return format(Fraction(str(value)).limit_denominator(10**12) * 1.0, ".12f").rstrip("0").rstrip(".")


def _member(case: Mapping[str, Any], key: str, book: Book, table: str) -> str:
    """A P- or F-Number that the code's table holds; any text where the code has no such table."""
    text = _text(case, key, field="").strip().upper().removeprefix(f"{key}-")
    names = members_of(book.table(table))
    if names and text not in names:
        raise Refused(field=key, wanted=f"one of {', '.join(names)}", got=text, near=names[:3], reason="refused.case")
    return text


def _text(case: Mapping[str, Any], key: str, *, field: str) -> str:
    value = case[key]
    name = f"{field}.{key}" if field else key
    if not isinstance(value, str) or not value.strip():
        raise _refused(name, "text", value)
    return value


def _refused(field: str, wanted: str, got: Any) -> Refused:
    return Refused(
        field=field, wanted=wanted, got=got if isinstance(got, str) else json.dumps(got), reason="refused.case"
    )


def _answer(book: Book, ranges: Ranges) -> tuple[dict[str, Any], dict[str, Iterable[CodeRow]]]:
    """The answer and, for each of its fields, the rows that it rests on."""
    coupon, position = ranges.coupon, ranges.position
    assert position is not None and ranges.deposit is not None  # the case was read so that both are there
    bends, volumetric = specimens_of(book, coupon), volumetric_of(book, coupon.p_number)
    permitted = volumetric.cells.get("permitted") if volumetric else None
    counts = (bends.face_count, bends.root_count, bends.side_count) if bends else (UNKNOWN,) * 3
    diameter = ranges.diameter or Span(None, None, ())
    most = ranges.deposit.most
    answer = {
        "min_od": _both(diameter.least),
        "max_od": _both(diameter.most),
        "max_deposit_mm": None if most is None else _number(most.at(coupon.deposit_m.unit), "mm"),
        "positions": {name: list(words_of(position, column)) for column, name in COLUMN_NAMES.items()},
        "P_qualified": list(members_of(ranges.metals)) or [coupon.p_number],
        "F_qualified": list(members_of(ranges.fillers)) or [coupon.f_number],
        "bends": dict(zip(("face", "root", "side"), counts, strict=True)),
        "volumetric_alternative": permitted if isinstance(permitted, bool) else UNKNOWN,
    }
    behind: dict[str, Iterable[CodeRow]] = {
        "min_od": diameter.rows,
        "max_od": diameter.rows,
        "max_deposit_mm": ranges.deposit.rows,
        "positions": (position,),
        "P_qualified": ranges.metals,
        "F_qualified": ranges.fillers,
        "bends": bends.rows if bends else (),
        "volumetric_alternative": (volumetric,) if volumetric else (),
    }
    return answer, behind


def _both(end: Figure | None) -> dict[str, float] | None:
    """Both systems; a printed pair as the code prints it, a coupon's own size converted."""
    return None if end is None else {"in": _number(end.us_m, "in"), "mm": _number(end.si_m, "mm")}


def _number(value_m: float, unit: str) -> float:
    return round(from_si(value_m, unit=unit, dimension="length"), 6)


def _standing(rows: Iterable[CodeRow]) -> str:
    return "memory" if standing_of(rows) is Standing.MEMORY else "seen"
