"""How past forecasts did: what was said when the display first came down to 1,000 ppm, against what it showed later."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from itertools import pairwise
from statistics import median

from brightroot.base.source import Datum
from brightroot.live.estimators.purge import purge_of
from brightroot.model.plan import Plan
from brightroot.model.record import JointRecord
from brightroot.physics.purge.filter.inputs import Purge

SCORED_FROM_FRAC = 1000e-6


@dataclass(frozen=True, slots=True)
class Score:
    """One purge: when the forecast was made, the seconds it told (5, 50, 95 %), and the seconds it took."""

    at_s: float
    told_s: tuple[float, float, float]
    took_s: float

    @property
    def miss_s(self) -> float:
        """How far the middle was off, either way."""
        return abs(self.told_s[1] - self.took_s)

    @property
    def inside(self) -> bool:
        """Whether it came within the range told."""
        return self.told_s[0] <= self.took_s <= self.told_s[2]


@dataclass(frozen=True, slots=True)
class Scores:
    """Several purges together."""

    count: int
    median_miss_s: float
    worst_miss_s: float
    inside_count: int


def score_of(plan: Plan, record: JointRecord, *, cells: Mapping[str, Datum]) -> Score | None:
    """The score of a record's purge; None where it was read too little, or its course was changed on the way."""
    purge = purge_of(plan, record, cells=cells)
    return None if purge is None else scored(purge)


def scored(purge: Purge) -> Score | None:
    """The forecast at the first number of 1,000 ppm or less, under a flow that was then left alone."""
    from brightroot.physics.purge.filter.run import filtered

    target = purge.targets_frac[0]
    read = [(look.at_s, look.oxygen_frac) for look in purge.looks if look.oxygen_frac is not None]
    first = next((at for at, value in read if value <= SCORED_FROM_FRAC), None)
    took_at = _crossed_s(read, target)
    if first is None or took_at is None or took_at <= first:
        return None
    changed = [at for at, _ in purge.flows if first < at < took_at]
    changed += [done.at_s for done in purge.events if first < done.at_s < took_at]
    if changed:
        return None
    known = replace(
        purge,
        looks=tuple(look for look in purge.looks if look.at_s <= first),
        flows=tuple(step for step in purge.flows if step[0] <= first),
        events=tuple(done for done in purge.events if done.at_s <= first),
    )
    shown = filtered(known, at_s=(first,))[0].targets[0].monitor_shows_s
    if shown is None:
        return None
    return Score(first, (shown.p05 - first, shown.p50 - first, shown.p95 - first), took_at - first)


def _crossed_s(read: list[tuple[float, float]], target: float) -> float | None:
    """When the display came to the target: between two numbers, as a straight line of the logarithm."""
    for (sooner, high), (later, low) in pairwise(read):
        if low <= target < high:
            share = math.log(high / target) / math.log(high / max(low, 1e-9))
            return sooner + share * (later - sooner)
    return None


def together(scores: tuple[Score, ...]) -> Scores | None:
    """The scores of several purges; None of none."""
    if not scores:
        return None
    misses = [score.miss_s for score in scores]
    return Scores(len(scores), median(misses), max(misses), sum(score.inside for score in scores))
