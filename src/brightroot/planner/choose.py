"""The procedure's own value where it states one, the library's cell (shown as assumed) where it does not."""

from __future__ import annotations

from collections.abc import Mapping

from brightroot.base.formula import Assumed, Known
from brightroot.base.source import Datum
from brightroot.base.units import Reading
from brightroot.model.joint import Joint
from brightroot.model.library import Library


def chosen(typed: Reading | None, cell: Datum) -> Known:
    """What was typed, or the cell as an assumption with its own spread."""
    if typed is not None:
        return typed
    return Assumed(cell.value, cell.low, cell.high, cell.source, cell.standing)


def within(cell: Datum, low: Reading | None, high: Reading | None) -> Known:
    """A practice window narrowed to the procedure's: its middle, from its low to its high end."""
    if low is None and high is None:
        return Assumed(cell.value, cell.low, cell.high, cell.source, cell.standing)
    bottom = low.value if low else min(cell.low, high.value if high else cell.low)
    top = high.value if high else max(cell.high, bottom)
    ends = [reading.as_entered for reading in (low, high) if reading is not None]
    return Assumed(min(max(cell.value, bottom), top), bottom, top, " – ".join(ends), cell.standing, "typed")


def family_cells(joint: Joint, library: Library) -> Mapping[str, Datum]:
    """The practice cells of the joint's metal family over those that belong to no metal."""
    family = library.families[library.alloys[joint.end_a.alloy].family]
    return {**library.practice, **family.cells}
