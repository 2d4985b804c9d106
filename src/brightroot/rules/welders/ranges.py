"""What a coupon brings under a code: the stretches of size, the positions, the groups of metal and rod."""

from __future__ import annotations

from dataclasses import dataclass

from brightroot.base.units import Reading
from brightroot.model.library import CodeRow
from brightroot.model.qualification import Coupon
from brightroot.rules.welders.book import Book, words_of
from brightroot.rules.welders.spans import Span, count_fits, span_of

COLUMNS = ("over_24", "up_to_24", "fillet")
ALL = "All"


@dataclass(frozen=True, slots=True)
class Ranges:
    """The ranges of one coupon. None or empty: no row of the code speaks of it, or the record does not tell."""

    coupon: Coupon
    diameter: Span | None
    deposit: Span | None
    position: CodeRow | None
    metals: tuple[CodeRow, ...]  # every group that holds the coupon's metal
    fillers: tuple[CodeRow, ...]


def ranges_of(book: Book, coupon: Coupon) -> Ranges:
    """The ranges that a coupon brings, whatever its tests said."""
    layers = [row for row in book.table("welder_thickness") if count_fits(row, coupon.layers_count)]
    return Ranges(
        coupon,
        diameter=_diameter(book, coupon),
        deposit=span_of(layers, coupon.deposit_m),
        position=position_row(book, coupon),
        metals=holding(book, "welder_metal", coupon.p_number),
        fillers=holding(book, "welder_filler", coupon.f_number),
    )


def shape_of(coupon: Coupon) -> str:
    """A coupon with an outside diameter is a pipe, one without is a plate."""
    return "plate" if coupon.outer_diameter_m is None else "pipe"


def _diameter(book: Book, coupon: Coupon) -> Span | None:
    shape = shape_of(coupon)
    if shape == "plate" and position_row(book, coupon) is None:
        return None  # a pipe position without its diameter
    rows = [row for row in book.table("welder_diameter") if row.cells.get("of") == shape]
    return span_of(rows, coupon.outer_diameter_m, nps=coupon.nps)


def position_row(book: Book, coupon: Coupon) -> CodeRow | None:
    """The row of a coupon's position, by its name in the code or by the other system's name with its progression.

    6GR is no position of its own here: it is read as 6G, and its ring stays the affair of the code that asks for it.
    """
    wanted = {named(coupon.position), f"{named(coupon.position)} {coupon.progression}".strip()}
    shape = shape_of(coupon)
    rows = [row for row in book.table("welder_position") if row.cells.get("of") == shape]
    for also in (True, False):  # with its progression a name says more
        for row in rows:
            names = set(words_of(row, "also")) if also else {str(row.cells.get("test"))}
            if wanted & names:
                return row
    return None


def named(position: str) -> str:
    """The name of a position without case and spaces; 6GR is 6G.

    >>> named("2g + 5g"), named("6GR"), named("h-l045")
    ('2G+5G', '6G', 'H-L045')
    """
    name = "".join(position.upper().split())
    return "6G" if name == "6GR" else name


def holding(book: Book, table: str, number: str) -> tuple[CodeRow, ...]:
    """The rows of a table whose members hold that number."""
    return tuple(row for row in book.table(table) if number and number in words_of(row, "members"))


def members_of(rows: tuple[CodeRow, ...]) -> tuple[str, ...]:
    """Every number that any of the rows holds, in the order of the table."""
    return tuple(dict.fromkeys(member for row in rows for member in words_of(row, "members")))


def thickness_of(coupon: Coupon) -> Reading:
    """What the specimens are chosen by: the whole weld metal of the coupon; what one welder laid where that is all."""
    return coupon.wall_m or coupon.deposit_m
