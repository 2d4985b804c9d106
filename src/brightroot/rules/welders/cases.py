"""Worked cases of a code's rows for welders: what is given, and what must come out. They run themselves.

A case has `kind`, `rows` (those it is argued from), `why`, and `gives`. Lengths are typed as a person would; the file's
`coupon`, `joint` and `on` stand for all that a case does not say. Only what `gives` names is compared.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any

from brightroot.base.errors import Broken
from brightroot.base.units import from_si, read
from brightroot.model.qualification import Confirmation, Coupon, JointNeeds, LastUse, Qualification, TestDone
from brightroot.rules.welders.book import Book, confirmed_in, waits_for
from brightroot.rules.welders.checks import Laid
from brightroot.rules.welders.continuity import of_qualification, renewing
from brightroot.rules.welders.may import may, variable_answer
from brightroot.rules.welders.needs import f_number_of, p_number_of
from brightroot.rules.welders.ranges import COLUMNS, members_of, ranges_of
from brightroot.rules.welders.record import record_lines
from brightroot.rules.welders.specimens import (
    coupons_to_examine,
    mandrel_of,
    retests_after,
    specimens_of,
    volumetric_of,
)
from brightroot.rules.welders.tested import tests_found

Facts = Mapping[str, Any]


def run_case(book: Book, case: Facts, base: Facts) -> dict[str, tuple[object, object]]:
    """What differs from what the case says: for each name what was wanted and what was got. Empty where all agrees."""
    kind = KINDS.get(str(case.get("kind")))
    if kind is None:
        raise Broken(where=f"{book.code}, a case", wanted=f"kind: one of {', '.join(KINDS)}", got=str(case.get("kind")))
    got = kind(book, {**base, **case})
    wanted = case["gives"]
    return {name: (value, got.get(name)) for name, value in wanted.items() if got.get(name) != value}


def _coupon(facts: Facts, changed: Facts | None = None) -> Coupon:
    given = {**facts.get("coupon", {}), **(facts.get("with", {}) if changed is None else changed)}
    tests = tuple(TestDone(*text.split(" ", 1)) for text in given.pop("tests", ()))
    return Coupon(tests=tests, **_typed(given))


def _joint(facts: Facts) -> JointNeeds:
    given = _typed({**facts.get("joint", {}), **facts.get("asks", {})})
    listed: dict[str, Any] = {name: tuple(v) if isinstance(v, list) else v for name, v in given.items()}
    return JointNeeds(**listed)


def _typed(given: Facts) -> dict[str, Any]:
    """Lengths as Readings; a text of `unknown` is not recorded."""
    made = {name: read(v, field=name) if name.endswith("_m") and v != "unknown" else v for name, v in given.items()}
    return {name: None if value == "unknown" else value for name, value in made.items()}


def _confirmations(book: Book, facts: Facts) -> tuple[Confirmation, ...]:
    rows = facts.get("confirmed", ())
    rows = tuple(book.rows) if rows == "all" else tuple(rows)
    return tuple(Confirmation(book.code, row, "W-01", "2026-01-01T08:00:00Z", book.edition) for row in rows)


def _brings(book: Book, facts: Facts) -> dict[str, object]:
    coupon = _coupon(facts)
    ranges = ranges_of(book, coupon)
    bends, volumetric = specimens_of(book, coupon), volumetric_of(book, coupon.p_number)
    spans = [span for span in (ranges.diameter, ranges.deposit) if span]
    behind = [*(row for span in spans for row in span.rows), *([ranges.position] if ranges.position else [])]
    behind += [*ranges.metals, *ranges.fillers, *(bends.rows if bends else ()), *([volumetric] if volumetric else [])]
    return {
        "diameter": ranges.diameter.text if ranges.diameter else "unknown",
        "deposit": ranges.deposit.text if ranges.deposit else "unknown",
        **({c: list(ranges.position.cells[c]) for c in COLUMNS} if ranges.position else {}),  # type: ignore[call-overload]
        "position": ranges.position.id if ranges.position else "unknown",
        "metals": list(members_of(ranges.metals)),
        "fillers": list(members_of(ranges.fillers)),
        "bends": [bends.face_count, bends.root_count, bends.side_count] if bends else "unknown",
        "volumetric": volumetric.cells.get("permitted") if volumetric else "unknown",
        "memory": sorted(set(waits_for(behind, ()))),
    }


def _variable(book: Book, facts: Facts) -> dict[str, object]:
    row = next(r for r in book.table("welder_variables") if r.cells["variable"] == facts["variable"])
    confirmed = confirmed_in(book, _confirmations(book, facts))
    answer = variable_answer(Laid(book, row, ranges_of(book, _coupon(facts)), _joint(facts), confirmed))
    said = answer.because.removeprefix("welders.").replace("_", " ")
    return {
        "outcome": said,
        "waits": sorted(answer.waits_for),
        "rows": sorted(answer.rows),
        "got": answer.got,
        "wanted": answer.wanted,
    }


def _tests(book: Book, facts: Facts) -> dict[str, object]:
    found = tests_found(book, _coupon(facts))
    return {"outcome": found.outcome.value, "waits": sorted(waits_for(found.rows, ())), "wanted": found.wanted}


def _held(facts: Facts, code: str) -> tuple[Qualification, ...]:
    """One qualification of the case's coupon, or one for each of `coupons`, with what happened to it since."""
    since = {name: facts[name] for name in ("issued_on", "revoked_on") if name in facts}
    first = Qualification("Q-1", "W-07", code, _coupon(facts), renewed_on=tuple(facts.get("renewed_on", ())), **since)
    more = [replace(first, id=f"Q-{n}", coupon=_coupon(facts, c)) for n, c in enumerate(facts.get("coupons", ()), 2)]
    return (first, *more)


def _uses(facts: Facts) -> tuple[LastUse, ...]:
    return tuple(LastUse(**use) for use in facts.get("uses", ()))


def _lasts(book: Book, facts: Facts) -> dict[str, object]:
    confirmed = confirmed_in(book, _confirmations(book, facts))
    first, *others = _held(facts, book.code)
    found = of_qualification(book, first, _uses(facts), on=facts["on"], confirmed=confirmed, also=others)
    planned = [replace(_joint(facts), joint=name, planned_on=day) for name, day in facts.get("planned", {}).items()]
    covers = facts.get("covers", ())
    keeps = renewing(book, found, planned, on=facts["on"], within_range=covers)
    return {
        "outcome": found.outcome.value,
        "until": found.until,
        "because": found.because.removeprefix("continuity."),
        "waits": sorted(found.waits_for),
        "soon": found.soon,
        "keeps": keeps.joint if keeps else "",
        "rows": sorted(row.id for row in found.rows),
        "standing": found.standing.value,
    }


def _may(book: Book, facts: Facts) -> dict[str, object]:
    told = _confirmations(book, facts)
    found = may(book, _held(facts, book.code), _joint(facts), on=facts["on"], uses=_uses(facts), confirmations=told)
    return {
        "outcome": found.outcome.value,
        "first": found.answers[0].variable,
        "against": [a.variable for a in found.answers if a.because in ("welders.fail", "welders.would_fail")],
        "by": found.qualification,
        "second": found.with_qualification,
        "mend": found.mend.kind,
        "changes": list(found.mend.changes),
        "waits": sorted(found.mend.rows),
        "coupon": _shown(found.mend.coupon),
        "thickness": next((a.rows[-1] for a in found.answers if a.variable == "deposit"), ""),
    }


def _shown(coupon: Coupon | None) -> list[str]:
    if coupon is None:
        return []
    outside = coupon.outer_diameter_m.as_entered if coupon.outer_diameter_m else "plate"
    laid = from_si(coupon.deposit_m.value, unit=coupon.deposit_m.unit, dimension="length")
    return [
        coupon.position,
        outside,
        f"{laid:g} {coupon.deposit_m.unit}",
        f"P-{coupon.p_number}",
        f"F-{coupon.f_number}",
    ]


def _mandrel(book: Book, facts: Facts) -> dict[str, object]:
    found = mandrel_of(book, str(facts["p"]), read(facts["specimen"], field="specimen_m"))
    if found is None:
        return {"plunger": "unknown"}
    sizes = [f"{from_si(m, unit='mm', dimension='length'):.4g} mm" for m in (found.plunger_m, found.radius_m)]
    return {"plunger": sizes[0], "radius": sizes[1], "standing": found.row.standing.value}


def _retest(book: Book, facts: Facts) -> dict[str, object]:
    rows = retests_after(book, str(facts["after"]))
    return {
        "ways": [f"{row.cells['when']}: {row.cells['coupons']}" for row in rows],
        "lengths": [row.cells["length_times"] for row in rows if "length_times" in row.cells],
        "memory": sorted(waits_for(rows, ())),
    }


def _films(book: Book, facts: Facts) -> dict[str, object]:
    found = coupons_to_examine(book, read(facts["outside"], field="outer_diameter_m"))
    return {"coupons": "too small" if found is None else found}


def _number(book: Book, facts: Facts) -> dict[str, object]:
    row = p_number_of(book, facts["metal"]) if "metal" in facts else f_number_of(book, facts["filler"])
    if row is None:
        return {"number": "unknown"}
    return {"number": row.cells.get("p_number", row.cells.get("f_number")), "standing": row.standing.value}


def _record(book: Book, facts: Facts) -> dict[str, object]:
    lines = record_lines(book, _held(facts, book.code)[0])
    return {
        "fields": [line.field for line in lines],
        "refs": [line.ref for line in lines],
        "coupon": {line.field: line.coupon for line in lines},
        "brings": {line.field: line.brings[0] for line in lines if line.brings[0]},
        "standing": sorted({row.standing.value for row in book.table("welder_record")}),
    }


KINDS: dict[str, Callable[[Book, Facts], dict[str, object]]] = {
    "brings": _brings,
    "variable": _variable,
    "tests": _tests,
    "lasts": _lasts,
    "may": _may,
    "mandrel": _mandrel,
    "retest": _retest,
    "films": _films,
    "number": _number,
    "record": _record,
}
