"""An axis: where its ticks stand and what is written on them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Axis:
    """Values from `low` to `high`, straight or by powers of ten, with the ticks that are labelled."""

    low: float
    high: float
    ticks: tuple[float, ...]
    log: bool = False

    def share(self, value: float) -> float:
        """How far along the axis a value lies; a value outside lies outside."""
        if self.log:
            value = max(value, self.low / 1e3)  # nothing, on an axis of powers, lies far below
            return math.log(value / self.low) / math.log(self.high / self.low)
        return (value - self.low) / (self.high - self.low)


def straight_axis(values: Sequence[float], *, most_ticks: int = 6) -> Axis:
    """An axis in steps of 1, 2 or 5 that holds the values.

    >>> straight_axis([0.0, 7.3]).ticks
    (0.0, 2.0, 4.0, 6.0, 8.0)
    """
    known = [v for v in values if math.isfinite(v)] or [0.0, 1.0]
    low, high = min(known), max(known)
    if high - low < 1e-9 * max(1.0, abs(high)):
        low, high = low - 0.5, high + 0.5
    rough = (high - low) / max(1, most_ticks - 1)
    power = 10.0 ** math.floor(math.log10(rough))
    step = next(m * power for m in (1, 2, 5, 10) if m * power >= rough * (1 - 1e-9))
    first, last = math.floor(low / step + 1e-9), math.ceil(high / step - 1e-9)
    ticks = tuple(float(f"{k * step:.12g}") for k in range(first, last + 1))
    return Axis(ticks[0], ticks[-1], ticks)


def power_axis(values: Sequence[float]) -> Axis:
    """An axis of powers of ten; 2 and 5 are ticked too where there are few powers. Zero and below have no place on it.

    >>> power_axis([4.0, 209000.0]).ticks
    (10.0, 100.0, 1000.0, 10000.0, 100000.0)
    """
    known = [v for v in values if math.isfinite(v) and v > 0] or [1.0, 10.0]
    low, high = _round(min(known), up=False), _round(max(known), up=True)
    if high < low * 10 * (1 - 1e-9):
        high = low * 10
    first, last = math.floor(math.log10(low) + 1e-9), math.floor(math.log10(high) + 1e-9)
    steps = (1, 2, 5) if high / low <= 1000 else (1,)
    marked = [float(f"{m * 10.0**k:.12g}") for k in range(first, last + 1) for m in steps]
    ticks = tuple(t for t in marked if low * (1 - 1e-9) <= t <= high * (1 + 1e-9))
    return Axis(low, high, ticks, log=True)


def _round(value: float, *, up: bool) -> float:
    """The nearest 1, 2 or 5 times a power of ten on that side."""
    power = 10.0 ** math.floor(math.log10(value) + 1e-9)
    if up:
        return float(f"{next(m * power for m in (1, 2, 5, 10) if m * power >= value * (1 - 1e-9)):.12g}")
    return float(f"{next(m * power for m in (5, 2, 1) if m * power <= value * (1 + 1e-9)):.12g}")


def written(value: float) -> str:
    """A tick's number, thousands apart by a thin space.

    >>> written(20000.0), written(0.5), written(-0.0)
    ('20 000', '0.5', '0')
    """
    text = f"{value:z.10f}".rstrip("0").rstrip(".")
    whole, _, part = text.partition(".")
    whole = f"{int(whole):,}".replace(",", " ") if abs(int(whole)) >= 10000 else whole
    return f"{whole}.{part}" if part else whole
