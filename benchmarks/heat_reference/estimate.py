"""What three grids of one family say: the order at which a figure converges, and what error is left in the finest."""

from __future__ import annotations

import math
from typing import Any

import numpy as np

RATIO = 1.5
METHOD = (
    f"finite elements on three grids, every cell and step {RATIO} times the next: |fine − medium| / ({RATIO}^p − 1), p the observed"
    " order held between 1 and 2; where the three do not converge one way, p = 1 on the larger of the two differences"
)  # fmt: skip
STILL = 1e-9


def error_of(coarse: float, medium: float, fine: float) -> float:
    """Of the fine figure.

    >>> round(error_of(1.5 ** 4, 1.5 ** 2, 1.0), 6)
    1.0
    """
    first, second = medium - coarse, fine - medium
    if max(abs(first), abs(second)) < STILL:
        return 0.0
    order = order_of(coarse, medium, fine)
    if order is None or order <= 0:
        return max(abs(first), abs(second)) / (RATIO - 1)
    return float(abs(second) / (RATIO ** min(max(order, 1.0), 2.0) - 1))


def order_of(coarse: float, medium: float, fine: float) -> float | None:
    """Observed order; None where the differences change sign or vanish."""
    first, second = medium - coarse, fine - medium
    if first * second <= 0 or abs(second) < STILL:
        return None
    return math.log(first / second) / math.log(RATIO)


def over(found: list[Any], ask: Any) -> Any:
    """`ask` of every figure of three like objects; None where one has none."""
    one = found[-1]
    if isinstance(one, dict):
        return {key: over([each[key] for each in found], ask) for key in one if key not in ("run", "t_end")}
    if isinstance(one, list):
        return [over(list(row), ask) for row in zip(*found, strict=True)]
    if None in found:
        return None
    value = ask(*found)
    return None if value is None else round(value, 4)


def points_error(medium: dict[str, list[float]], fine: dict[str, list[float]]) -> dict[str, dict[str, float]]:
    """At second order, over all times; the largest are while an arc passes."""
    told = {}
    for point, values in fine.items():
        off = np.abs(np.array(values) - np.array(medium[point])) / (RATIO**2 - 1)
        told[point] = {"max_K": round(float(off.max()), 2), "rms_K": round(float(np.sqrt((off**2).mean())), 3)}
    return told
