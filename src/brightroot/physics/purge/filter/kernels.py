"""The inner loops of the purge filter, compiled: gas, pocket and monitor of every particle marched over small steps.

One row a particle, one column a quantity (the names below). Oxygen is a fraction, times are seconds, κ is the share of
the distance to the floor that a volume takes away (per volume, as a rate), leaks are m³/s of air.
"""

from __future__ import annotations

import math

import numpy as np
from numba import njit
from numpy.random import Generator
from numpy.typing import NDArray

Array = NDArray[np.float64]
AIR = 0.20946
(
    GAS, POCKET, BULK, STAGE_1, STAGE_2, SHOWN_1, SHOWN, LN_K, TREND, VOLUMES, FRONT, LN_LEAK, LN_LEAK_0, SUPPLY,
    LN_OUTGAS, OUT_TIME, COUPLING, EXCHANGE, DELAY, LAG, LAG_2, LN_END, RELAX, LN_ROOT, LN_BASE,
) = range(25)  # fmt: skip
COLUMNS = 25
# LN_BASE: ln leak before it opened further, 0 where it did not
# one vector of widths and rates, so that they can be tuned: see priors.py
WALK, TREND_WALK, TREND_HOME, PULL, LEAK_WALK, STATIC_WALK, JUMP_RATE, JUMP_MEAN, JUMP_SD, PROPOSED, STILL_WALK = range(11)


@njit(cache=True)
def tank(y: float, from_x: float, to_x: float, time_s: float, step_s: float) -> float:
    """A first-order lag over one step whose input runs straight from one value to the other: exact."""
    if time_s < 1e-3 * step_s:
        return to_x
    slope = (to_x - from_x) / step_s
    late = math.exp(-step_s / time_s)
    return to_x - slope * time_s + (y - from_x + slope * time_s) * late


@njit(cache=True)
def step(row: Array, at_s: float, step_s: float, flow: float, volume: float, w: Array, rng: Generator) -> None:
    """One particle over one step."""
    n = flow * step_s / volume
    gas = row[GAS]
    leak = math.exp(row[LN_LEAK]) if flow > 0.0 else math.exp(row[LN_LEAK_0])
    out = math.exp(row[LN_OUTGAS]) / (1.0 + (at_s + 0.5 * step_s) / row[OUT_TIME])
    if flow > 0.0:
        root_n = math.sqrt(n)
        row[VOLUMES] += n
        gate = 1.0 / (1.0 + math.exp(-(row[VOLUMES] - 0.5 * n - row[FRONT]) / (0.05 + 0.2 * row[FRONT])))
        fade = 1.0 - math.exp(-w[PULL] * n)
        row[LN_K] += row[TREND] * n + w[WALK] * root_n * rng.standard_normal() + fade * (row[LN_END] - row[LN_K])
        row[TREND] += (
            -row[TREND] * (1.0 - math.exp(-n / w[TREND_HOME])) + w[TREND_WALK] * root_n * rng.standard_normal()
        )
        floor = row[SUPPLY] + (leak + out) * AIR / flow
        drop, pocket, bulk = math.exp(row[LN_K]) * gate * n, row[COUPLING] * n, 2.0 * (1.0 - gate) * n
        total = drop + pocket + bulk
        aim = (drop * floor + pocket * row[POCKET] + bulk * row[BULK]) / total
        now = aim + (gas - aim) * math.exp(-total)
        row[BULK] += (1.0 - math.exp(-gate * n)) * (now - row[BULK])
        row[POCKET] += (1.0 - math.exp(-row[EXCHANGE] * n)) * (0.5 * (gas + now) - row[POCKET])
    else:
        drift = w[STILL_WALK] * math.sqrt(step_s) * rng.standard_normal()
        row[BULK] = min(AIR, row[BULK] * math.exp(drift) + (leak + out) * AIR / volume * step_s)
        now = row[BULK] + (gas - row[BULK]) * math.exp(-step_s / row[RELAX])
    stage = tank(row[STAGE_1], gas, now, 0.5 * row[DELAY], step_s)
    after = tank(row[STAGE_2], row[STAGE_1], stage, 0.5 * row[DELAY], step_s)
    shown = tank(row[SHOWN_1], row[STAGE_2], after, row[LAG], step_s)
    row[SHOWN] = tank(row[SHOWN], row[SHOWN_1], shown, row[LAG_2], step_s)
    row[GAS], row[STAGE_1], row[STAGE_2], row[SHOWN_1] = now, stage, after, shown


@njit(cache=True)
def crossing(before: float, after: float, target: float, at_s: float, step_s: float) -> float:
    """When a falling value passed the target within a step, on a log scale."""
    share = math.log(before / target) / math.log(before / after)
    return at_s + min(1.0, max(0.0, share)) * step_s


@njit(cache=True)
def note(row: Array, was: Array, targets: Array, when: Array, at_s: float, step_s: float) -> None:
    """Keep the last moment at which gas and indication went below each target; above it the moment is unknown."""
    for k in range(targets.size):
        for clock, column in ((0, GAS), (1, SHOWN)):
            if row[column] >= targets[k]:
                when[clock, k] = np.nan
            elif math.isnan(when[clock, k]):
                when[clock, k] = crossing(max(was[clock], targets[k]), row[column], targets[k], at_s, step_s)


@njit(cache=True)
def march(
    rows: Array, when: Array, weights: Array, targets: Array, at_s: float, until_s: float, flow: float, volume: float,
    w: Array, rng: Generator,
) -> None:  # fmt: skip
    """All particles from one moment to another under one flow; a leak may open on the way. `weights` are logarithms."""
    span = until_s - at_s
    longest = 0.12 * volume / flow if flow > 0.0 else 20.0
    count = max(1, math.ceil(span / min(max(longest, 0.5), 20.0)))
    step_s = span / count
    true, tried = w[JUMP_RATE] * span, min(0.5, w[JUMP_RATE] * w[PROPOSED] * span)
    was = np.empty(2)
    for i in range(rows.shape[0]):
        row = rows[i]
        row[LN_LEAK] += w[LEAK_WALK] * math.sqrt(span) * rng.standard_normal()
        jumps, place = rng.random() < tried, rng.random()
        weights[i] += math.log(true / tried) if jumps else math.log((1.0 - true) / (1.0 - tried))
        for k in range(count):
            if jumps and k == int(place * count):
                if row[LN_BASE] == 0.0:
                    row[LN_BASE] = row[LN_LEAK]
                row[LN_LEAK] += w[JUMP_MEAN] + w[JUMP_SD] * rng.standard_normal()
            was[0], was[1] = row[GAS], row[SHOWN]
            step(row, at_s + k * step_s, step_s, flow, volume, w, rng)
            note(row, was, targets, when[i], at_s + k * step_s, step_s)


@njit(cache=True)
def forecast(
    rows: Array, when: Array, targets: Array, at_s: float, flow: float, volume: float, horizon_1: float, w: Array,
    rng: Generator,
) -> None:  # fmt: skip
    """Every particle on under the present flow until both clocks have passed every target or the horizon is met."""
    was = np.empty(2)
    low = targets.min()
    for i in range(rows.shape[0]):
        row, time_s, n, volumes = rows[i], at_s, 0.12, 0.0
        while volumes < horizon_1:
            step_s = n * volume / flow
            was[0], was[1] = row[GAS], row[SHOWN]
            step(row, time_s, step_s, flow, volume, w, rng)
            note(row, was, targets, when[i], time_s, step_s)
            time_s += step_s
            volumes += n
            n = min(0.5, n * 1.04)
            if row[GAS] < low and row[SHOWN] < low:
                break
            floor = row[SUPPLY] + math.exp(row[LN_LEAK]) * AIR / flow
            if floor >= low and row[GAS] < 1.02 * floor and row[SHOWN] < 1.02 * floor:
                break


@njit(cache=True)
def band(
    rows: Array, times_s: Array, at_s: float, flow: float, volume: float, w: Array, rng: Generator
) -> Array:  # fmt: skip
    """The gas of every particle at each of the times, under the present flow."""
    found = np.empty((rows.shape[0], times_s.size))
    for i in range(rows.shape[0]):
        time_s = at_s
        for k in range(times_s.size):
            span = times_s[k] - time_s
            if span > 0.0:
                longest = 0.25 * volume / flow if flow > 0.0 else 30.0
                count = max(1, math.ceil(span / longest))
                for m in range(count):
                    step(rows[i], time_s + m * span / count, span / count, flow, volume, w, rng)
                time_s = times_s[k]
            found[i, k] = rows[i, GAS]
    return found
