"""Readings that a person should look at again: frozen, in percent, or far from anything that the gas could do."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from brightroot.physics.purge.filter.inputs import Look, Monitor, Purge
from brightroot.physics.purge.filter.observe import display, normalised

Array = NDArray[np.float64]
CHANCE = 1e-5  # of a row of equal numbers from a monitor that still lives
FEWEST = 4
FAR_SD = 5.0
EXPLAINED = 0.0003  # share of the particles that must come near a reading
PERCENT = 1e4


def frozen(seen: Sequence[Look], monitor: Monitor) -> bool:
    """The same number so often that its own scatter should have moved the last figure long ago.

    >>> row = [Look(10.0 * n, 480e-6) for n in range(6)]
    >>> frozen(row, Monitor()), frozen(row[:3], Monitor())
    (True, False)
    """
    last = seen[-1].oxygen_frac if seen else None
    if last is None or last <= 0.0:
        return False
    count = 0
    for look in reversed(seen):
        if look.oxygen_frac != last:
            break
        count += 1
    sd = math.hypot(monitor.noise_rel_1 * last, monitor.noise_abs_frac)
    if count < FEWEST or sd <= 0.0:
        return False
    figure = max(1e-6, 10.0 ** (math.floor(math.log10(last)) - 2))
    alike = min(0.9, figure / (2.0 * math.sqrt(math.pi) * sd))
    return (count - 1) * math.log(alike) < math.log(CHANCE)


def odd_because(rows: Array, logs: Array, look: Look, least_frac: float, purge: Purge) -> str:
    """`percent` where the number fits as per cent only, `jump` where no gas could have done it, else nothing."""
    value = look.oxygen_frac
    if value is None:
        return ""
    shown = display(rows)
    weights = normalised(logs)
    if _explained(shown, weights, value, purge.monitor) > EXPLAINED:
        return ""
    if value * PERCENT <= 0.25 and _explained(shown, weights, value * PERCENT, purge.monitor) > EXPLAINED:
        return "percent"
    # gas may fall faster than was thought, but no faster than the monitor can follow
    if least_frac <= value <= float(weights @ shown):
        return ""
    return "jump"


def least_shown_frac(before_frac: float, span_s: float, monitor: Monitor) -> float:
    """The lowest that a monitor can show so long after a number, had pure argon come to its cell at once.

    >>> round(least_shown_frac(1000e-6, 16.0, Monitor(lag_s=8.0)) * 1e6)
    9
    """
    return 0.5 * before_frac * math.exp(-span_s / (0.5 * max(monitor.lag_s, 1.0)))


def _explained(shown: Array, weights: Array, value: float, monitor: Monitor) -> float:
    """Weight of the particles near the number; one far off in ratio or in scatter does not count."""
    sd = np.hypot(np.hypot(monitor.noise_rel_1, 0.03) * shown, 1.5 * monitor.noise_abs_frac)
    return float(np.sum(weights[np.abs(value - shown) < FAR_SD * sd]))
