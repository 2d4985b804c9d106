"""The few checks that a variable of a welder can make. Each lays what a joint asks against what a coupon brings.

Nothing passes on what is not recorded; where a coupon covers both, nothing has to be.
"""

from __future__ import annotations

from collections.abc import Callable, Collection
from dataclasses import dataclass

from brightroot.base.errors import Broken
from brightroot.base.units import Reading
from brightroot.model.clause import Outcome
from brightroot.model.library import CodeRow
from brightroot.model.qualification import JointNeeds
from brightroot.rules.compare import within
from brightroot.rules.limits import US
from brightroot.rules.welders.book import Book, seen_first, words_of
from brightroot.rules.welders.ranges import ALL, Ranges, holding, named
from brightroot.rules.welders.spans import Span, edge_of, lies_in

PASS, FAIL, UNKNOWN, NA = Outcome.PASS, Outcome.FAIL, Outcome.UNKNOWN, Outcome.NOT_APPLICABLE
ASK_JOINT, ASK_RECORD, ASK_ROW = "ask.welder_joint", "ask.welder_record", "ask.welder_row"


@dataclass(frozen=True, slots=True)
class Laid:
    """One variable of a code, what the coupon brings, and what the joint asks."""

    book: Book
    row: CodeRow
    ranges: Ranges
    needs: JointNeeds
    confirmed: Collection[str]

    @property
    def variable(self) -> str:
        return str(self.row.cells["variable"])


@dataclass(frozen=True, slots=True)
class Found:
    """The outcome, what the coupon brings (`got`), what the joint asks (`wanted`), and the rows beside the variable's."""

    outcome: Outcome
    wanted: str = ""
    got: str = ""
    rows: tuple[CodeRow, ...] = ()
    asks: str = ""


def same_process(laid: Laid) -> Found:
    """The same welding process, whatever the case of its letters."""
    wanted, got = laid.needs.process, laid.ranges.coupon.process
    same = " ".join(wanted.split()).casefold() == " ".join(got.split()).casefold()
    return Found(PASS if same else FAIL, wanted, got)


def without_covers_with(laid: Laid) -> Found:
    """A coupon without covers both; one with covers only with."""
    wanted, got = laid.needs.backing, laid.ranges.coupon.backing
    if got is False or wanted is True:
        return Found(PASS, _yes(wanted), _yes(got))
    return _compared(wanted, got)


def with_not_dropped(laid: Laid) -> Found:
    """Gas behind the root may be added and not left out, but where the joint's form frees it and its metals do not bind."""
    wanted, got = laid.needs.gas_backing, laid.ranges.coupon.gas_backing
    if got is False or wanted is True:
        return Found(PASS, _yes(wanted), _yes(got))
    form_frees = laid.needs.backing is True or laid.needs.form == "fillet"
    numbers = laid.needs.p_numbers
    if form_frees and numbers and not set(numbers) & set(words_of(laid.row, "reactive")):
        return Found(NA, _yes(wanted), _yes(got))
    return _compared(wanted, got)


def same(laid: Laid) -> Found:
    """The same word or yes on both sides; words that the row calls alike are the same."""
    wanted, got = (getattr(side, laid.variable) for side in (laid.needs, laid.ranges.coupon))
    if laid.variable == "filler_form" and laid.needs.filler_used is False:
        return Found(NA, "", str(got))
    alike = laid.row.cells.get("alike", ())
    for group in alike if isinstance(alike, list) else ():
        if wanted in group and got in group:
            return Found(PASS, str(wanted), str(got))
    return _compared(wanted, got)


def same_where_vertical(laid: Laid) -> Found:
    """Up stays up and down stays down, in a joint that has a vertical part."""
    letters, _ = _letters(laid)
    if letters and not set(letters) & set(words_of(laid.row, "vertical")):
        return Found(NA, ", ".join(letters))
    return _compared(laid.needs.progression, laid.ranges.coupon.progression)


def span(laid: Laid) -> Found:
    """A size that lies in the coupon's stretch."""
    is_diameter = laid.variable == "diameter"
    size, own, nps = _sizes(laid, is_diameter)
    if is_diameter and laid.needs.plate:
        return Found(NA, "", own.text if own else "")
    if laid.needs.form == "fillet":  # a groove coupon brings every size of fillet, where a row says so
        rows = laid.book.table("welder_fillet")
        return Found(PASS if rows else UNKNOWN, size.as_entered if size else "", "", rows, ASK_ROW)
    if own is None:
        return Found(UNKNOWN, size.as_entered if size else "", "", asks=ASK_RECORD)
    if size is None:
        unlimited = own.least is None and own.most is None
        return Found(PASS if unlimited else UNKNOWN, "", own.text, own.rows, ASK_JOINT)
    outcome = lies_in(own, size, nps=nps)
    return Found(outcome, size.as_entered, own.text, own.rows, ASK_RECORD)


def _sizes(laid: Laid, is_diameter: bool) -> tuple[Reading | None, Span | None, str]:
    if is_diameter:
        return laid.needs.outer_diameter_m, laid.ranges.diameter, laid.needs.nps
    return laid.needs.deposit_m, laid.ranges.deposit, ""


def same_group(laid: Laid) -> Found:
    """Every base metal of the joint in a group with the coupon's."""
    return _numbered(laid, laid.needs.p_numbers, laid.ranges.coupon.p_number, laid.ranges.metals, "welder_metal", "P-")


def same_set(laid: Laid) -> Found:
    """The joint's rod in a set with the coupon's."""
    if laid.needs.filler_used is False:
        return Found(NA)
    numbers = (laid.needs.f_number,)
    return _numbered(laid, numbers, laid.ranges.coupon.f_number, laid.ranges.fillers, "welder_filler", "F-")


def _numbered(
    laid: Laid, wanted: tuple[str, ...], got: str, own: tuple[CodeRow, ...], table: str, letter: str
) -> Found:
    said = ", ".join(letter + n for n in wanted if n), letter + got if got else ""
    looked_up = tuple(row for row in _looked_up(laid) if row.table == f"{letter[0].lower()}_numbers")
    if not got or not wanted or not all(wanted):
        return Found(UNKNOWN, *said, looked_up, ASK_RECORD if not got else ASK_JOINT)
    rows: list[CodeRow] = list(looked_up)
    for number in wanted:
        if number == got:
            continue  # nothing is changed, so no group is needed
        covers = [row for row in own if number in words_of(row, "members")]
        if not covers:
            # a wider group of a later edition would have been found: outside all known groups is outside
            others = holding(laid.book, table, number)
            closest = (*seen_first(own, laid.confirmed)[:1], *seen_first(others, laid.confirmed)[:1])
            return Found(FAIL if own and others else UNKNOWN, *said, (*looked_up, *closest), ASK_ROW)
        rows.append(seen_first(covers, laid.confirmed)[0])
    return Found(PASS, *said, tuple(rows))


def positions(laid: Laid) -> Found:
    """Every position of the joint among those that the coupon's position brings, in the column of the joint."""
    row = laid.ranges.position
    wanted, needed_by = _letters(laid)
    name = laid.ranges.coupon.position
    if row is None or not wanted:
        return Found(UNKNOWN, laid.needs.position, name, needed_by, ASK_RECORD if row is None else ASK_JOINT)
    columns, decided_by = _columns(laid)
    outcomes = {_covers(words_of(row, column), wanted) for column in columns}
    got = "; ".join(dict.fromkeys(", ".join(words_of(row, column)) for column in columns))
    outcome = outcomes.pop() if len(outcomes) == 1 else UNKNOWN  # two columns that differ, and nobody says which
    return Found(outcome, ", ".join(wanted), f"{name}: {got}", (row, *needed_by, *decided_by), ASK_JOINT)


def _covers(brought: tuple[str, ...], wanted: tuple[str, ...]) -> Outcome:
    """All is flat, horizontal, vertical and overhead; a special position is in no All."""
    letters = {*brought, "F", "H", "V", "O"} if ALL in brought else set(brought)
    return PASS if set(wanted) <= letters else FAIL


def _letters(laid: Laid) -> tuple[tuple[str, ...], tuple[CodeRow, ...]]:
    """What the joint's position asks for in the code's own letters, and the row that says so."""
    name = named(laid.needs.position)
    rows = laid.book.table("welder_position_needs")
    if not rows:  # a code whose coupons bring nothing but themselves
        full = {name, f"{name} {laid.needs.progression}".strip()}
        own = next((r for r in laid.book.table("welder_position") if full & set(words_of(r, "also"))), None)
        return ((str(own.cells["test"]),), (own,)) if own else ((name,) if name else (), ())
    row = next((r for r in rows if r.cells.get("position") == name), None)
    return (words_of(row, "needs"), (row,)) if row else ((), ())


def _columns(laid: Laid) -> tuple[tuple[str, ...], tuple[CodeRow, ...]]:
    if laid.needs.form == "fillet":
        return ("fillet",), ()
    if laid.needs.plate:
        return ("over_24",), ()
    size = laid.needs.outer_diameter_m
    rows = laid.book.table("welder_column")
    if not rows:
        return ("up_to_24",), ()
    if size is None:
        return ("over_24", "up_to_24"), ()
    system = "us" if size.unit in US else "si"
    row = next((r for r in rows if r.cells.get("system") == system), None)
    edge = edge_of(row, "over", size.unit) if row else None
    if row is None or edge is None:
        raise Broken(where="welder_column", wanted=f"a row of system {system} with its edge", got="nothing")
    return ("up_to_24" if within(size.value, edge) else "over_24",), (row,)


def _looked_up(laid: Laid) -> tuple[CodeRow, ...]:
    return tuple(laid.book.rows[name] for name in laid.needs.rests_on if name in laid.book.rows)


def _compared(wanted: bool | str | None, got: bool | str | None) -> Found:
    if got in (None, ""):
        return Found(UNKNOWN, _yes(wanted), _yes(got), asks=ASK_RECORD)
    if wanted in (None, ""):
        return Found(UNKNOWN, _yes(wanted), _yes(got), asks=ASK_JOINT)
    return Found(PASS if wanted == got else FAIL, _yes(wanted), _yes(got))


def _yes(value: bool | str | None) -> str:
    return value if isinstance(value, str) else {True: "yes", False: "no", None: ""}[value]


CHECKS: dict[str, Callable[[Laid], Found]] = {
    check.__name__: check
    for check in (
        *(same_process, without_covers_with, with_not_dropped, same, same_where_vertical),
        *(span, same_group, same_set, positions),
    )
}
