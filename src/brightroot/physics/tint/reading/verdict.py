"""What the field comes to: areas by class, the worst that counts, patterns, zones, and odds for each criterion."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import NDArray

from brightroot.physics.tint.reading.field import FINE_EDGES_NM, FINE_NAMES, Field
from brightroot.physics.tint.reading.patterns import patterns_of, zones_of
from brightroot.physics.tint.reading.reference import Mask

COUNTS_FRAC = 0.005
POOLED_PX = 3
CLASS_NAMES = ("silver", "straw", "purple or blue or thicker", "scale")
SURE_1 = 0.9
DOUBT_1 = 0.35  # straw and silver are only said where the odds of anything worse are below this

Classes = NDArray[np.uint8]


@dataclass(frozen=True, eq=False, slots=True)
class Verdict:
    """Areas as shares of the weld zone."""

    classes: Classes
    worst: int
    fractions: tuple[float, float, float, float]
    fine: Mapping[str, float]
    odds: Mapping[str, float] = field(default_factory=dict)
    patterns: tuple[str, ...] = ()
    zones: tuple[Mapping[str, Any], ...] = ()
    why: Mapping[str, Any] = field(default_factory=dict)


def classes_of(seen: Field, scale: Mask) -> Classes:
    """Class of each pixel, to the side of doubt, single pixels outvoted by their neighbours."""
    from scipy.ndimage import uniform_filter

    odds = np.stack([uniform_filter(seen.class_odds[..., n], POOLED_PX) for n in range(3)], axis=-1)
    classes = np.where(odds[..., 2] >= DOUBT_1, 2, np.where(odds[..., 1] >= odds[..., 0], 1, 0)).astype(np.uint8)
    classes[scale] = 3
    return classes


def verdict_of(
    seen: Field, zone: Mask, scale: Mask, *, weld_upright: bool = True, why: Mapping[str, Any] | None = None
) -> Verdict:
    """The verdict over a zone."""
    classes = classes_of(seen, scale)
    inside = classes[zone]
    shares = np.bincount(inside, minlength=4) / max(1, len(inside))
    worst = max((n for n in range(4) if shares[n] >= COUNTS_FRAC), default=0)
    fine = np.searchsorted(FINE_EDGES_NM, seen.nm[zone & ~scale], side="right")
    counts = np.bincount(fine, minlength=len(FINE_NAMES)) / max(1, len(inside))
    return Verdict(
        classes, worst, (float(shares[0]), float(shares[1]), float(shares[2]), float(shares[3])),
        {name: round(float(counts[n]), 5) for n, name in enumerate(FINE_NAMES)},
        odds_of(seen, zone, scale), patterns_of(classes, zone, weld_upright=weld_upright),
        zones_of(classes, seen.nm, zone, weld_upright=weld_upright), why or {},
    )  # fmt: skip


def odds_of(seen: Field, zone: Mask, scale: Mask) -> dict[str, float]:
    """Odds that no more of the zone is worse than what a criterion may overlook, for silver only and for silver and straw.

    The area that is worse is known to lie between what is surely worse and what may be; where the least area that
    counts lies between these two, the odds are shared out by it.
    """
    scaled = float(scale[zone].mean()) if zone.any() else 0.0
    odds = seen.class_odds[zone]
    return {
        "silver only": _within(1 - odds[:, 0], scaled),
        "silver and straw": _within(odds[:, 2], scaled),
    }


def _within(worse: NDArray[np.floating[Any]], scaled: float) -> float:
    if scaled >= COUNTS_FRAC:
        return 0.01
    low, high = float((worse > SURE_1).mean()), float((worse > 1 - SURE_1).mean())
    if low >= COUNTS_FRAC:
        return 0.02
    if high <= COUNTS_FRAC:
        return 0.98
    share = np.log((high + 1e-5) / COUNTS_FRAC) / np.log((high + 1e-5) / (low + 1e-5))
    return round(float(np.clip(1 - share, 0.02, 0.98)), 2)
