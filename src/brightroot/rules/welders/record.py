"""A record of qualification in our own arrangement: each field as the coupon was, what it brings in words, and the clause.

What it brings is a message id with what fills it, so that page, command line and paper say it in the person's language.
Numbers, letters of positions and P- and F-Numbers stay as the code has them.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from brightroot.base.source import Standing
from brightroot.model.library import CodeRow
from brightroot.model.qualification import Coupon, Qualification
from brightroot.rules.welders.book import Book, standing_of, words_of
from brightroot.rules.welders.ranges import ALL, Ranges, members_of, ranges_of
from brightroot.rules.welders.spans import Span

Message = tuple[str, Mapping[str, str]]
SILENT: Message = ("", {})


@dataclass(frozen=True, slots=True)
class RecordLine:
    """One field: as the coupon was, what it brings, where the code asks for it, and the rows that say what it brings.

    `coupon` is text as typed, empty where nothing is recorded. `brings` has an empty id where the field has no range.
    """

    field: str
    coupon: str
    brings: Message
    ref: str
    rows: tuple[CodeRow, ...]

    @property
    def standing(self) -> Standing:
        """Of what it brings; DERIVED where it brings nothing."""
        return standing_of(self.rows) if self.rows else Standing.DERIVED


def record_lines(book: Book, held: Qualification) -> tuple[RecordLine, ...]:
    """Every field of the record in its order. For a blank record give a coupon in which nothing is told."""
    ranges = ranges_of(book, held.coupon)
    brought = {name: (message, rows) for name, message, rows in ranges_in_words(ranges)}
    lines = []
    for row in book.table("welder_record"):
        field = str(row.cells.get("field"))
        message, rows = brought.get(field, (SILENT, ()))
        lines.append(RecordLine(field, _told(held, field), message, row.ref, rows))
    return tuple(lines)


def ranges_in_words(ranges: Ranges) -> tuple[tuple[str, Message, tuple[CodeRow, ...]], ...]:
    """What a coupon brings, variable by variable, as messages with the rows behind them."""
    coupon = ranges.coupon
    spans = (("diameter", ranges.diameter), ("deposit", ranges.deposit))
    return (
        *((name, _span(name, span), span.rows if span else ()) for name, span in spans),
        ("position", _position(ranges.position), (ranges.position,) if ranges.position else ()),
        ("base_metal", _members("base_metal", ranges.metals), ranges.metals),
        ("filler", _members("filler", ranges.fillers), ranges.fillers),
        ("backing", _covered("backing", coupon.backing), ()),
        ("gas_backing", _covered("gas_backing", coupon.gas_backing), ()),
    )


def _span(name: str, span: Span | None) -> Message:
    if span is None:
        return f"range.{name}.unknown", {}
    ends = {"least": span.least.text if span.least else "", "most": span.most.text if span.most else ""}
    told = {name: text for name, text in ends.items() if text}
    which = {(): "all", ("least",): "from", ("most",): "up_to", ("least", "most"): "between"}[tuple(told)]
    return f"range.{name}.{which}", told


def _position(row: CodeRow | None) -> Message:
    if row is None:
        return "range.position.unknown", {}
    letters = {column: ", ".join(words_of(row, column)) for column in ("over_24", "up_to_24", "fillet")}
    every = all(text == ALL for text in letters.values())
    return ("range.position.all", {}) if every else ("range.position.columns", letters)


def _members(name: str, rows: tuple[CodeRow, ...]) -> Message:
    members = members_of(rows)
    return (f"range.{name}.members", {"members": ", ".join(members)}) if members else (f"range.{name}.unknown", {})


def _covered(name: str, without: bool | None) -> Message:
    """Made without it covers both ways; made with it only with."""
    which = {None: "unknown", False: "both", True: "with"}[without]
    return f"range.{name}.{which}", {}


def _told(held: Qualification, field: str) -> str:
    coupon = held.coupon
    made = TOLD.get(field)
    if made is not None:
        return made(coupon)
    value = getattr(held if hasattr(held, field) else coupon, field, "")
    if isinstance(value, tuple):
        return ", ".join(map(str, value))
    if isinstance(value, bool):
        return "yes" if value else "no"
    return "" if value is None else str(value)


def _deposit(coupon: Coupon) -> str:
    return coupon.deposit_m.as_entered


def _outside(coupon: Coupon) -> str:
    outside = coupon.outer_diameter_m
    size = f"NPS {coupon.nps}" if coupon.nps else ""
    return " ".join(dict.fromkeys(part for part in (size, outside.as_entered if outside else "") if part))


def _numbered(letter: str, number: str, name: str) -> str:
    return " ".join(part for part in (f"{letter}-{number}" if number else "", name) if part)


TOLD: Mapping[str, Callable[[Coupon], str]] = {
    "diameter": _outside,
    "deposit": _deposit,
    "layers": lambda coupon: "" if coupon.layers_count is None else str(coupon.layers_count),
    "base_metal": lambda coupon: _numbered("P", coupon.p_number, coupon.metal),
    "filler": lambda coupon: _numbered("F", coupon.f_number, coupon.filler),
    "tests": lambda coupon: ", ".join(f"{test.test} {test.result} {test.report}".strip() for test in coupon.tests),
    "signed": lambda coupon: "",
}
