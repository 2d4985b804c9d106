"""What a person or a spreadsheet would do with the same readings: two-point extrapolation, and an exponential with a floor.

Both are given the monitor's nominal delay and lag, and both take the crossing itself once a reading lies below the target.
"""

from __future__ import annotations

import math
import warnings
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import OptimizeWarning, curve_fit

Floats = NDArray[np.float64]
FIT_FROM_PPM = 5000.0
DRAWS = 400


@dataclass(frozen=True)
class Said:
    """A forecast: when the gas passes the target, or that it never does; the interval where the method has one."""

    p50_s: float | None
    p05_s: float | None = None
    p95_s: float | None = None
    p_never: float | None = None


def two_point(times_s: Sequence[float], ppm: Sequence[float], *, target_ppm: float, late_s: float) -> Said:
    """A straight line in the logarithm through the last two readings.

    >>> round(two_point([0.0, 10.0], [1000.0, 500.0], target_ppm=250.0, late_s=4.0).p50_s)
    16
    """
    seen = crossed(times_s, ppm, target_ppm)
    if seen is not None:
        return Said(seen - late_s)
    if len(ppm) < 2 or ppm[-1] >= ppm[-2]:
        return Said(None)
    slope = math.log(ppm[-1] / ppm[-2]) / (times_s[-1] - times_s[-2])
    return Said(times_s[-1] + math.log(target_ppm / ppm[-1]) / slope - late_s)


def exponential_and_floor(times_s: Sequence[float], ppm: Sequence[float], *, target_ppm: float, late_s: float) -> Said:
    """`floor + exp(a − b·t)` fitted to the logarithm of the readings; its interval from the fit's own covariance."""
    seen = crossed(times_s, ppm, target_ppm)
    kept = [(t, x) for t, x in zip(times_s, ppm, strict=True) if x <= FIT_FROM_PPM]
    if len(kept) < 4:
        return Said(None if seen is None else seen - late_s)
    t = np.array([t for t, _ in kept])
    log = np.log([x for _, x in kept])
    begin, scale = t[0], max(float(t[-1] - t[0]), 1.0)
    fitted = _fitted((t - begin) / scale, log)
    if fitted is None:
        return Said(None if seen is None else seen - late_s)
    best, spread = fitted
    rng = np.random.default_rng(1)
    draws = rng.multivariate_normal(best, spread, size=DRAWS, check_valid="ignore")
    times = np.array([_passes(row, target_ppm) for row in draws])
    reached = np.isfinite(times)
    p_never = float(1 - reached.mean())
    own = _passes(best, target_ppm)
    p50 = begin + own * scale - late_s if math.isfinite(own) else None
    if seen is not None:
        p50 = seen - late_s
    if not reached.any():
        return Said(p50, p_never=p_never)
    low, high = begin + np.quantile(times[reached], [0.05, 0.95]) * scale - late_s
    return Said(p50, float(low), float(high), p_never)


def crossed(times_s: Sequence[float], ppm: Sequence[float], target_ppm: float) -> float | None:
    """Where the readings came to lie below the target for good, straight in the logarithm; none while the last is above it.

    >>> crossed([0.0, 10.0], [100.0, 25.0], 50.0)
    5.0
    """
    if not ppm or ppm[-1] >= target_ppm:
        return None
    last = max((n for n, x in enumerate(ppm) if x >= target_ppm), default=-1)
    if last < 0:
        return times_s[0]
    before, after = math.log(ppm[last] / target_ppm), math.log(ppm[last + 1] / target_ppm)
    return times_s[last] + (times_s[last + 1] - times_s[last]) * before / (before - after)


def _fitted(t: Floats, log: Floats) -> tuple[Floats, Floats] | None:
    """Best ln floor, a and ln b, with their covariance; none where the fit finds nothing."""

    def curve(t: Floats, ln_floor: float, a: float, ln_b: float) -> Floats:
        found: Floats = np.logaddexp(ln_floor, a - np.exp(ln_b) * t)
        return found

    drop = max(float(log[0] - log[-1]), 0.1)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", OptimizeWarning)
        warnings.simplefilter("ignore", RuntimeWarning)
        try:
            best, spread = curve_fit(
                curve, t, log, p0=(float(log.min()) - 1.5, float(log[0]), math.log(drop)),
                bounds=([-3.0, -5.0, -6.0], [13.0, 15.0, 6.0]), maxfev=2000,
            )  # fmt: skip
        except (RuntimeError, ValueError):
            return None
    return (best, spread) if np.isfinite(spread).all() else None


def _passes(row: Floats, target_ppm: float) -> float:
    """When that curve passes the target, in its own scale of time; infinite where its floor lies above."""
    ln_floor, a, ln_b = (float(x) for x in row)
    above = target_ppm - math.exp(min(ln_floor, 20.0))
    if above <= 0:
        return math.inf
    return (a - math.log(above)) / math.exp(min(max(ln_b, -30.0), 30.0))
