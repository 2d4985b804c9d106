"""Lengths of a code as it prints them, in one unit system or in both, and the stretch that a coupon brings.

A pair like 1/2 in (13 mm) is no conversion: 12.7 mm does not meet 13 mm. A length is laid against the figure of the
system it was typed in, exactly.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from brightroot.base.errors import Broken, Refused
from brightroot.base.units import Reading, from_si, read
from brightroot.model.clause import Outcome
from brightroot.model.library import CodeRow
from brightroot.rules.compare import REL, within
from brightroot.rules.limits import US
from brightroot.rules.welders.book import number_of

# two records of one size in two unit systems may differ by their rounding to a tenth of a millimetre
ROUNDING_M = 0.00006


@dataclass(frozen=True, slots=True)
class Figure:
    """A length as the code prints it: its inch figure, its millimetre figure, and both as text."""

    us_m: float
    si_m: float
    text: str
    nps: str = ""  # of the coupon whose own size it is
    unit: str = ""  # of the coupon whose own size it is; "" for a printed figure

    def at(self, unit: str) -> float:
        """In metres, the figure for a length typed in that unit."""
        return self.us_m if unit in US else self.si_m


@dataclass(frozen=True, slots=True)
class Span:
    """From least to most, both included; None is no limit. `rows` say so."""

    least: Figure | None
    most: Figure | None
    rows: tuple[CodeRow, ...]

    @property
    def text(self) -> str:
        """Both ends in signs, empty where neither is limited."""
        ends = (("≥", self.least), ("≤", self.most))
        return ", ".join(f"{sign} {end.text}" for sign, end in ends if end)


def figure_of(raw: object, *, where: str) -> Figure:
    """`"25 mm"`, or `{us = "1 in", si = "25 mm"}`; Broken for anything else.

    >>> figure_of({"us": "1/2 in", "si": "13 mm"}, where="row").at("mm")
    0.013
    """
    pair = raw if isinstance(raw, Mapping) else {"us": raw, "si": raw}
    try:
        return _printed(str(pair["us"]), str(pair["si"]))
    except (Refused, KeyError) as fault:
        raise Broken(where=where, wanted='a length like "25 mm" or a pair', got=repr(raw)) from fault


@cache
def _printed(us: str, si: str) -> Figure:
    inches, millimetres = read(us, field="length_m"), read(si, field="length_m")
    return Figure(inches.value, millimetres.value, us if us == si else f"{us} ({si})")


def holds(row: CodeRow, size: Reading) -> bool:
    """Whether a row's stretch (`from`, `over`, `up_to`, `below`) holds the size."""

    def edge(cell: str) -> float | None:
        return edge_of(row, cell, size.unit)

    start, over, end, below = (edge(cell) for cell in ("from", "over", "up_to", "below"))
    return (
        (start is None or within(start, size.value))
        and (over is None or not within(size.value, over))
        and (end is None or within(size.value, end))
        and (below is None or not within(below, size.value))
    )


def edge_of(row: CodeRow, cell: str, unit: str) -> float | None:
    """The figure of a cell in metres for a length typed in that unit, None where the row has no such cell."""
    raw = row.cells.get(cell)
    return None if raw is None else figure_of(raw, where=f"{row.table}, {row.id}, {cell}").at(unit)


def span_of(rows: Iterable[CodeRow], size: Reading | None, *, nps: str = "") -> Span | None:
    """The stretch that the one holding row gives a coupon of that size; None where none does."""
    row = one_holding(rows, size)
    if row is None:
        return None
    return Span(_end(row, "least", size, nps), _end(row, "most", size, nps), (row,))


def one_holding(rows: Iterable[CodeRow], size: Reading | None) -> CodeRow | None:
    """The row that holds a size; None where none does. Broken where two do: a table says one thing of one size."""
    found = [row for row in rows if size is None or holds(row, size)]
    if len(found) > 1:
        raise Broken(where=found[0].table, wanted="one row", got=", ".join(row.id for row in found))
    return found[0] if found else None


def _end(row: CodeRow, cell: str, size: Reading | None, nps: str) -> Figure | None:
    raw = row.cells.get(cell)
    where = f"{row.table}, {row.id}, {cell}"
    if raw is None:
        return None
    if not isinstance(raw, Mapping):
        raise Broken(where=where, wanted="{ figure = … } or { times = … }", got=repr(raw))
    if "figure" in raw:
        return figure_of(raw["figure"], where=where)
    if "times" not in raw or size is None:
        raise Broken(where=where, wanted="{ figure = … } or { times = … } of a size", got=repr(raw))
    return _times(dict(raw), size, nps, where)


def _times(raw: dict[str, Any], size: Reading, nps: str, where: str) -> Figure:
    times = raw["times"]
    if isinstance(times, bool) or not isinstance(times, int | float):
        raise Broken(where=where, wanted="a number of times", got=repr(times))
    value = float(Fraction(times) * Fraction(size.value))
    if "no_less" in raw:
        floor = figure_of(raw["no_less"], where=where)
        if not within(floor.at(size.unit), value):
            return floor
    text = f"{from_si(value, unit=size.unit, dimension='length'):.5g} {size.unit}"
    return Figure(value, value, size.as_entered if times == 1 else text, nps if times == 1 else "", size.unit)


def lies_in(span: Span, size: Reading, *, nps: str = "") -> Outcome:
    """Whether a size lies in the span. PASS and FAIL are sure; UNKNOWN is a size that two systems round differently."""
    found = [_beyond(end, size, nps, low=low) for end, low in ((span.least, True), (span.most, False))]
    return next((o for o in (Outcome.FAIL, Outcome.UNKNOWN) if o in found), Outcome.PASS)


def _beyond(end: Figure | None, size: Reading, nps: str, *, low: bool) -> Outcome:
    if end is None or (end.nps and end.nps == nps):
        return Outcome.PASS
    edge = end.at(size.unit)
    if within(edge, size.value) if low else within(size.value, edge):
        return Outcome.PASS
    other_system = end.unit and (end.unit in US) != (size.unit in US)
    near = abs(edge - size.value) <= ROUNDING_M
    return Outcome.UNKNOWN if other_system and near else Outcome.FAIL


def lie_in(span: Span, sizes: Sequence[Reading], nps: Sequence[str]) -> NDArray[np.int8]:
    """`lies_in` of many sizes at once: 1 in, 0 out, -1 not known."""
    values = np.array([size.value for size in sizes])
    inches = np.array([size.unit in US for size in sizes], dtype=bool)
    found = np.ones(len(sizes), dtype=np.int8)
    for end, low in ((span.least, True), (span.most, False)):
        if end is None:
            continue
        edge = np.where(inches, end.us_m, end.si_m)
        alike = np.abs(edge - values) <= REL * np.maximum(edge, values)
        fits = alike | ((edge <= values) if low else (values <= edge))
        fits |= np.array([bool(end.nps) and end.nps == name for name in nps], dtype=bool)
        rounded = bool(end.unit) & ((end.unit in US) != inches) & (np.abs(edge - values) <= ROUNDING_M)
        found = np.where(fits, found, np.where(rounded, np.where(found == 0, 0, -1), 0)).astype(np.int8)
    return found


def count_fits(row: CodeRow, count: int | None) -> bool:
    """Whether a row that asks for layers fits that many. Layers that nobody recorded count as few."""
    if "layers_from" in row.cells:
        return count is not None and count >= number_of(row, "layers_from")
    if "layers_below" in row.cells:
        return count is None or count < number_of(row, "layers_below")
    return True
