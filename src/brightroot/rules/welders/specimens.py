"""How a coupon is tested: specimens, the mandrel they are bent round, what may stand for bends, what follows a failure."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction

from brightroot.base.units import Reading
from brightroot.model.library import CodeRow
from brightroot.model.qualification import Coupon
from brightroot.rules.welders.book import Book, number_of, words_of
from brightroot.rules.welders.ranges import named, thickness_of
from brightroot.rules.welders.spans import edge_of, one_holding


@dataclass(frozen=True, slots=True)
class Specimens:
    """Bend specimens by kind, with the rows that say so."""

    face_count: int
    root_count: int
    side_count: int
    rows: tuple[CodeRow, ...]


@dataclass(frozen=True, slots=True)
class Mandrel:
    """The plunger's diameter and the bend's inner radius for a specimen."""

    plunger_m: float
    radius_m: float
    row: CodeRow


def specimens_of(book: Book, coupon: Coupon) -> Specimens | None:
    """The bend specimens of a coupon by its thickness and position; None where no row tells.

    The table is for one coupon in 1G or 2G. Positions that turn round the pipe take more, in the same proportion.
    """
    row = one_holding(book.table("welder_bends"), thickness_of(coupon))
    if row is None:
        return None
    face, root, side = (int(number_of(row, kind)) for kind in ("face", "root", "side"))
    position = named(coupon.position)
    more = next((r for r in book.table("welder_bend_count") if position in words_of(r, "tests")), None)
    if more is not None and coupon.outer_diameter_m is not None:
        times = Fraction(int(number_of(more, "total")), face + root + side)
        return Specimens(int(face * times), int(root * times), int(side * times), (row, more))
    return Specimens(face, root, side, (row,))


def mandrel_of(book: Book, p_number: str, specimen_m: Reading) -> Mandrel | None:
    """The mandrel for a metal and a specimen's thickness; None where the code tells none here.

    Metals that no row names take the row for 20 % elongation and more: whether a metal has that is the reader's to see.
    """
    row = row_for(book, "welder_bend_radius", p_number)
    if row is None:
        return None
    plunger, radius = (
        float(Fraction(number_of(row, cell)) * Fraction(specimen_m.value)) for cell in ("plunger_times", "radius_times")
    )
    return Mandrel(plunger, radius, row)


def volumetric_of(book: Book, p_number: str) -> CodeRow | None:
    """The row that says whether volumetric examination may stand for the bends; None where the code tells none here."""
    return row_for(book, "welder_volumetric", p_number)


def coupons_to_examine(book: Book, outer_diameter_m: Reading) -> int | None:
    """How many like coupons in a row a volumetric examination takes: one where the circumference is long enough.

    None where even the most that the code allows are too short, or where it tells nothing here.
    """
    row = next((r for r in book.table("welder_tests") if "length" in r.cells), None)
    if row is None:
        return None
    length = edge_of(row, "length", outer_diameter_m.unit)
    count = math.ceil((length or 0.0) / (math.pi * outer_diameter_m.value) - 1e-9)
    return count if count <= number_of(row, "coupons_most") else None


def retests_after(book: Book, test: str) -> tuple[CodeRow, ...]:
    """What may be done after a failed test: visual, bend or volumetric."""
    return tuple(row for row in book.table("welder_retest") if row.cells.get("after") in (test, "any"))


def row_for(book: Book, table: str, p_number: str) -> CodeRow | None:
    """The row that names the metal, else the one for all others, which names none."""
    rows = book.table(table)
    own = next((row for row in rows if p_number in words_of(row, "p_numbers")), None)
    return own or next((row for row in rows if not words_of(row, "p_numbers")), None)
