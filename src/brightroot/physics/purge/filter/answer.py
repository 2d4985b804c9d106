"""What the filter says: quantiles, two clocks for each target, the chance of never, and a verdict."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
LEVELS = (0.05, 0.5, 0.95)
VERDICTS = ("check_instrument", "leak", "stalled", "at_target", "wait", "not_measured")


class Quantiles(NamedTuple):
    """5, 50 and 95 %."""

    p05: float
    p50: float
    p95: float


@dataclass(frozen=True, slots=True)
class TargetAnswer:
    """One target under the present flow. The clocks are seconds of the record, given that it is reached; None at no flow.

    `reached` speaks of the gas at the vent and is never true before the indication says so.
    """

    target_frac: float
    p_never: float
    gas_reaches_s: Quantiles | None
    monitor_shows_s: Quantiles | None
    reached: bool


@dataclass(frozen=True, slots=True)
class Cause:
    """Why it may never get there, how likely among the causes, and the one test that tells it from the others."""

    name: str
    share_frac: float
    test: str


@dataclass(frozen=True, slots=True)
class Answer:
    """All that is said at one moment. `band`: seconds, then low, middle and high of the gas at the vent."""

    at_s: float
    vent_frac: Quantiles
    root_frac: Quantiles
    targets: tuple[TargetAnswer, ...]
    floor_frac: Quantiles
    leak_m3_s: Quantiles
    verdict: str
    causes: tuple[Cause, ...]
    flags: tuple[str, ...]
    argon_m3: float
    seed: int
    band: tuple[tuple[float, float, float, float], ...] = ()


def quantiles(values: Array, weights: Array) -> Quantiles:
    """Weighted 5, 50 and 95 %, each particle standing for the middle of its share."""
    order = np.argsort(values)
    sorted_weights = weights[order]
    places = np.cumsum(sorted_weights) - 0.5 * sorted_weights
    low, middle, high = np.interp(LEVELS, places / sorted_weights.sum(), values[order])
    return Quantiles(float(low), float(middle), float(high))
