"""The least that would change a no: rows to confirm, facts to record, a renewal, or the coupon that changes fewest things."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import Any

from brightroot.base.units import Reading, from_si, read
from brightroot.model.clause import Outcome
from brightroot.model.qualification import Answer, Coupon, JointNeeds, Mend
from brightroot.rules.limits import US
from brightroot.rules.welders.book import Book
from brightroot.rules.welders.checks import CHECKS, Laid
from brightroot.rules.welders.ranges import ranges_of

NO = ("welders.fail", "welders.would_fail")
# the coupon's positions from the easiest to the one that brings all; sizes that bring most for least pipe
POSITIONS = ("1G", "2G", "5G", "6G", "2G+5G", "PA", "PC", "PH", "PJ", "H-L045", "J-L045")
SIZES = (("2-1/2", "2.875 in"), ("6", "6.625 in"))
PLAIN = ("process", "backing", "gas_backing", "insert", "filler_used", "filler_form", "current", "progression")


def mend_of(book: Book, like: Coupon | None, answers: Sequence[Answer], needs: JointNeeds) -> Mend:
    """The cheapest way from these answers to a yes.

    A coupon is welded only for what a coupon brings; what merely ran out is renewed, what is not recorded is recorded,
    and what waits for a row is confirmed, in that order. The coupon keeps all of the old one that already covers.
    """
    waiting = tuple(dict.fromkeys(row for a in answers for row in a.waits_for))
    if like is None:
        return Mend("coupon", _variables(book), least_coupon(book, needs), waiting)
    against = tuple(a.variable for a in answers if a.because in NO)
    if against:
        return Mend("coupon", against, least_coupon(book, needs, like=like), waiting)
    lasting = next((a for a in answers if a.variable == "continuity"), None)
    if lasting and (lasting.outcome is Outcome.FAIL or lasting.because == "continuity.not_confirmed_over"):
        kind = "coupon" if lasting.because == "continuity.revoked" else "renewal"
        return Mend(kind, ("continuity",), least_coupon(book, needs, like=like), waiting)
    missing = tuple(a.variable for a in answers if a.outcome is Outcome.UNKNOWN and not a.waits_for)
    if missing:
        return Mend("record", missing, None, waiting)
    return Mend("confirm", (), None, waiting) if waiting else Mend("nothing")


def least_coupon(book: Book, needs: JointNeeds, *, like: Coupon | None = None) -> Coupon | None:
    """A coupon that covers the joint and changes as little as can be of the one given; None where too little is known.

    Without one given: the joint's own metal and rod, the easiest position, the least weld metal that covers.
    """
    start = like or _from(needs)
    if start is None:
        return None
    coupon = replace(start, welded_on="", tests=())
    for row in book.table("welder_variables"):
        found = _first_that_covers(book, str(row.cells["variable"]), row.id, coupon, needs)
        if found is None:
            return None
        coupon = found
    return coupon


def _first_that_covers(book: Book, variable: str, row: str, coupon: Coupon, needs: JointNeeds) -> Coupon | None:
    """The coupon itself where this variable does not say no; else the first changed one that does not."""
    for candidate in (coupon, *_changed(variable, coupon, needs)):
        laid = Laid(book, book.rows[row], ranges_of(book, candidate), needs, frozenset(book.rows))
        outcome = CHECKS[str(book.rows[row].cells["check"])](laid).outcome
        if outcome in (Outcome.PASS, Outcome.NOT_APPLICABLE) or (
            outcome is Outcome.UNKNOWN and _silent(variable, needs)
        ):
            return candidate
    return None


def _silent(variable: str, needs: JointNeeds) -> bool:
    """Whether the joint itself does not tell what it asks, so that no coupon can answer it."""
    return variable in PLAIN and getattr(needs, variable) in (None, "")


def _changed(variable: str, coupon: Coupon, needs: JointNeeds) -> Iterable[Coupon]:
    if variable in PLAIN:
        return (replace(coupon, **{variable: getattr(needs, variable)}),)
    if variable == "base_metal":
        return (replace(coupon, p_number=p, metal="") for p in needs.p_numbers)
    if variable == "filler":
        return (replace(coupon, f_number=needs.f_number, filler=needs.filler),)
    if variable == "position":
        return (replace(coupon, position=p) for p in POSITIONS)
    if variable == "diameter":
        return _sizes(coupon, needs)
    if variable == "deposit":
        return _deposits(coupon, needs)
    return ()


def _sizes(coupon: Coupon, needs: JointNeeds) -> Iterable[Coupon]:
    for nps, text in SIZES:
        yield replace(coupon, outer_diameter_m=read(text, field="outer_diameter_m"), nps=nps)
    if needs.outer_diameter_m is not None:
        yield replace(coupon, outer_diameter_m=needs.outer_diameter_m, nps=needs.nps)


def _deposits(coupon: Coupon, needs: JointNeeds) -> Iterable[Coupon]:
    """Half of what is needed, three layers of a thick one, all of it: the first that covers is the least."""
    size = needs.deposit_m
    if size is None:
        return
    thick = read("1/2 in" if size.unit in US else "13 mm", field="deposit_m")
    half = _half(size)
    for reading, layers in ((half, coupon.layers_count), (thick, 3), (size, coupon.layers_count)):
        if reading is half and half.value > thick.value:
            continue  # thick and in three layers brings more for less
        yield replace(coupon, deposit_m=reading, layers_count=layers)


def _half(size: Reading) -> Reading:
    return read(f"{from_si(size.value, unit=size.unit, dimension='length') / 2:.6f} {size.unit}", field="deposit_m")


def _from(needs: JointNeeds) -> Coupon | None:
    """A coupon in the joint's own metal, rod and size, in the easiest position."""
    if needs.deposit_m is None or needs.outer_diameter_m is None or not needs.p_numbers or not needs.f_number:
        return None
    plain: dict[str, Any] = {name: getattr(needs, name) for name in PLAIN}
    size = read(SIZES[0][1], field="outer_diameter_m")
    return Coupon(
        welded_on="",
        position=POSITIONS[0],
        deposit_m=_half(needs.deposit_m),
        layers_count=1,
        outer_diameter_m=size,
        nps=SIZES[0][0],
        p_number=needs.p_numbers[0],
        f_number=needs.f_number,
        filler=needs.filler,
        **plain,
    )


def _variables(book: Book) -> tuple[str, ...]:
    return tuple(str(row.cells["variable"]) for row in book.table("welder_variables"))
