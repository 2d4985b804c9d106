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
FELT_FRAC = 500e-6
PLUG = 5.0  # how fast the vent comes to hold what stood upstream, a volume, until the front is there
MOST_APART = 1.0
SETTLED = 1.0  # volumes after the front before a rise may be a leak
(
    GAS, POCKET, BULK, STAGE_1, STAGE_2, SHOWN_1, SHOWN, LN_K, TREND, VOLUMES, FRONT, LN_LEAK, LN_LEAK_0, SUPPLY,
    LN_OUTGAS, OUT_TIME, CORNER, EXCHANGE, DELAY, LAG, LAG_2, LN_END, RELAX, LN_ROOT, LN_BASE, GAIN,
    OFFSET,
) = range(27)  # fmt: skip
COLUMNS = 27
# LN_BASE: ln leak before it opened further, 0 where it did not
# one vector of widths and rates, so that they can be tuned: see beliefs.py
(
    WALK, TREND_WALK, TREND_HOME, PULL, LEAK_WALK, JITTER, JUMP_RATE, JUMP_MEAN, JUMP_SD, PROPOSED, STILL_WALK, BURST,
    BURST_MEAN, BURST_SD, DOUBTED, LEAST, PART, LN_EVEN,
) = range(18)  # fmt: skip


STAGES = np.array([[0.12, 10.0], [0.2, 15.0], [0.35, 20.0], [0.5, 100.0]])  # forecast: volumes a step, how many steps


@njit(cache=True)
def kept(time_s: float, step_s: float) -> float:
    """What a first-order lag keeps of the past over a step; nothing where it is much quicker than the step."""
    return math.exp(-step_s / time_s) if time_s > 1e-3 * step_s else 0.0


@njit(cache=True)
def tank(y: float, from_x: float, to_x: float, time_s: float, step_s: float, keep: float) -> float:
    """A first-order lag over one step whose input runs straight from one value to the other: exact."""
    rise = (to_x - from_x) * (time_s / step_s)
    return to_x - rise + (y - from_x + rise) * keep


@njit(cache=True)
def crossing(before: float, after: float, target: float, at_s: float, step_s: float) -> float:
    """When a falling value passed the target within a step, on a log scale."""
    if before <= target or after >= before:
        return at_s
    share = math.log(before / target) / math.log(before / after)
    return at_s + min(1.0, share) * step_s


@njit(cache=True)
def note(now: float, was: float, clock: int, targets: Array, when: Array, at_s: float, step_s: float) -> None:
    """Keep the last moment at which gas (clock 0) or indication (1) went below each target; above it none is known."""
    for n in range(targets.size):
        if now >= targets[n]:
            when[clock, n] = np.nan
        elif math.isnan(when[clock, n]):
            when[clock, n] = crossing(was, now, targets[n], at_s, step_s)


@njit(cache=True)
def flowing(
    row: Array, when: Array, targets: Array, at_s: float, step_s: float, count: int, flow: float, volume: float,
    w: Array, rng: Generator, stop_frac: float,
) -> float:  # fmt: skip
    """One particle over equal steps under a flow; ends early once gas and indication are under `stop_frac`. Seconds."""
    n = flow * step_s / volume
    root_n, fade = math.sqrt(n), 1.0 - math.exp(-w[PULL] * n)
    home, burst = 1.0 - math.exp(-n / w[TREND_HOME]), w[BURST] * n
    gas, pocket, bulk, volumes, front = row[GAS], row[POCKET], row[BULK], row[VOLUMES], row[FRONT]
    one, two, three, shown = row[STAGE_1], row[STAGE_2], row[SHOWN_1], row[SHOWN]
    ln_k, trend, end = row[LN_K], row[TREND], row[LN_END]
    half, lag, lag_2 = 0.5 * row[DELAY], row[LAG], row[LAG_2]
    keep_half, keep_1, keep_2 = kept(half, step_s), kept(lag, step_s), kept(lag_2, step_s)
    steady = row[SUPPLY] + math.exp(row[LN_LEAK]) * AIR / flow
    out = math.exp(row[LN_OUTGAS]) * AIR / flow
    out_time = row[OUT_TIME]
    seep, gone = row[CORNER] * row[EXCHANGE] * volume / flow, 1.0 - math.exp(-row[EXCHANGE] * step_s)
    width = 0.05 + 0.2 * front
    for _ in range(count):
        volumes += n
        ln_k += trend * n + w[WALK] * root_n * rng.standard_normal() + fade * (end - ln_k)
        # a stream that displaces does so more and more, one that goes round in corners less and less
        ln_k += min(1.0, math.exp(ln_k) * n) * w[PART] * min(MOST_APART, ln_k - w[LN_EVEN])
        trend += -trend * home + w[TREND_WALK] * root_n * rng.standard_normal()
        if rng.random() < burst:
            ln_k += w[BURST_MEAN] + w[BURST_SD] * rng.standard_normal()
        if ln_k < w[LEAST]:
            ln_k, trend = 2.0 * w[LEAST] - ln_k, max(trend, 0.0)
        # a side branch feeds the stream as a leak does: the balance holds whatever the mixing
        floor = steady + out / (1.0 + (at_s + 0.5 * step_s) / out_time) + seep * max(0.0, pocket - gas)
        past = (volumes - 0.5 * n - front) / width
        if past > 12.0:
            now = floor + (gas - floor) * math.exp(-math.exp(ln_k) * n)
            bulk += min(1.0, n) * (now - bulk)
        else:
            gate = 1.0 / (1.0 + math.exp(-past))
            drop, plug = math.exp(ln_k) * gate * n, PLUG * (1.0 - gate) * n
            aim = (drop * floor + plug * bulk) / (drop + plug)
            now = aim + (gas - aim) * math.exp(-drop - plug)
            bulk += min(1.0, gate * n) * (now - bulk)
        pocket += gone * (0.5 * (gas + now) - pocket)
        stage = tank(one, gas, now, half, step_s, keep_half)
        after = tank(two, one, stage, half, step_s, keep_half)
        cell = tank(three, two, after, lag, step_s, keep_1)
        was = shown
        shown = tank(shown, three, cell, lag_2, step_s, keep_2)
        note(now, gas, 0, targets, when, at_s, step_s)
        note(shown, was, 1, targets, when, at_s, step_s)
        gas, one, two, three = now, stage, after, cell
        at_s += step_s
        if gas < stop_frac and shown < stop_frac:
            break
    row[GAS], row[POCKET], row[BULK], row[VOLUMES] = gas, pocket, bulk, volumes
    row[STAGE_1], row[STAGE_2], row[SHOWN_1], row[SHOWN] = one, two, three, shown
    row[LN_K], row[TREND] = ln_k, trend
    return at_s


@njit(cache=True)
def standing(
    row: Array, when: Array, targets: Array, at_s: float, step_s: float, count: int, volume: float, w: Array,
    rng: Generator,
) -> None:  # fmt: skip
    """One particle over equal steps while no gas flows: air seeps in, corners and stream even out."""
    leak, out = math.exp(row[LN_LEAK_0]) * AIR / volume, math.exp(row[LN_OUTGAS]) * AIR / volume
    keep_half, keep_1, keep_2 = kept(0.5 * row[DELAY], step_s), kept(row[LAG], step_s), kept(row[LAG_2], step_s)
    even, gone = math.exp(-step_s / row[RELAX]), 1.0 - math.exp(-row[EXCHANGE] * step_s)
    for _ in range(count):
        gas, was = row[GAS], row[SHOWN]
        seep = row[CORNER] * gone * max(0.0, row[POCKET] - row[BULK])
        drift = math.exp(w[STILL_WALK] * math.sqrt(step_s) * rng.standard_normal())
        air = (leak + out / (1.0 + at_s / row[OUT_TIME])) * step_s
        row[BULK] = min(AIR, row[BULK] * drift + air + seep)
        row[GAS] = row[BULK] + (gas - row[BULK]) * even
        row[POCKET] += gone * (row[BULK] - row[POCKET])
        stage = tank(row[STAGE_1], gas, row[GAS], 0.5 * row[DELAY], step_s, keep_half)
        after = tank(row[STAGE_2], row[STAGE_1], stage, 0.5 * row[DELAY], step_s, keep_half)
        cell = tank(row[SHOWN_1], row[STAGE_2], after, row[LAG], step_s, keep_1)
        row[SHOWN] = tank(row[SHOWN], row[SHOWN_1], cell, row[LAG_2], step_s, keep_2)
        row[STAGE_1], row[STAGE_2], row[SHOWN_1] = stage, after, cell
        note(row[GAS], gas, 0, targets, when, at_s, step_s)
        note(row[SHOWN], was, 1, targets, when, at_s, step_s)
        at_s += step_s


@njit(cache=True)
def opened_leak(row: Array, flow: float, w: Array, rng: Generator) -> float:
    """Ln of a leak that has just opened: some times the old one, or enough to be felt where the gas is nearly argon."""
    if row[GAS] < FELT_FRAC and rng.random() < 0.6:
        return math.log(row[GAS] * flow / AIR) + 0.5 + 0.8 * rng.standard_normal()
    return float(row[LN_LEAK] + w[JUMP_MEAN] + w[JUMP_SD] * rng.standard_normal())


@njit(cache=True)
def march(
    rows: Array, when: Array, weights: Array, targets: Array, at_s: float, until_s: float, flow: float, volume: float,
    w: Array, rng: Generator,
) -> None:  # fmt: skip
    """All particles from one moment to another under one flow; a leak may open on the way. `weights` are logarithms."""
    span = until_s - at_s
    longest = 0.15 * volume / flow if flow > 0.0 else 20.0
    count = max(1, math.ceil(span / min(max(longest, 0.5), 20.0)))
    step_s = span / count
    true, tried = w[JUMP_RATE] * span, min(0.5, w[JUMP_RATE] * w[PROPOSED] * span)
    opened, shut = math.log(true / tried), math.log((1.0 - true) / (1.0 - tried))
    for i in range(rows.shape[0]):
        row = rows[i]
        if flow <= 0.0:
            standing(row, when[i], targets, at_s, step_s, count, volume, w, rng)
            continue
        row[LN_LEAK] += w[LEAK_WALK] * math.sqrt(span) * rng.standard_normal()
        first = count
        if row[VOLUMES] < row[FRONT] + SETTLED:
            pass
        elif rng.random() < tried:
            weights[i] += opened
            first = int(rng.random() * count)
        else:
            weights[i] += shut
        flowing(row, when[i], targets, at_s, step_s, first, flow, volume, w, rng, 0.0)
        if first < count:
            if row[LN_BASE] == 0.0:
                row[LN_BASE] = row[LN_LEAK]
            row[LN_LEAK] = opened_leak(row, flow, w, rng)
            flowing(
                row, when[i], targets, at_s + first * step_s, step_s, count - first, flow, volume, w, rng, 0.0
            )  # fmt: skip


@njit(cache=True)
def forecast(
    rows: Array, when: Array, targets: Array, at_s: float, flow: float, volume: float, w: Array, rng: Generator
) -> None:
    """Every particle on under the present flow until both clocks have passed every target, or never will."""
    low = targets.min()
    for i in range(rows.shape[0]):
        row, time_s = rows[i], at_s
        floor = row[SUPPLY] + math.exp(row[LN_LEAK]) * AIR / flow
        for stage in range(STAGES.shape[0]):
            left = int(STAGES[stage, 1])
            step_s = STAGES[stage, 0] * volume / flow
            while left > 0 and not (row[GAS] < low and row[SHOWN] < low):
                some = min(left, 10)
                time_s = flowing(row, when[i], targets, time_s, step_s, some, flow, volume, w, rng, low)
                left -= some
                if row[GAS] < 1.02 * floor and row[SHOWN] < 1.02 * floor:
                    break
            if (row[GAS] < low and row[SHOWN] < low) or (row[GAS] < 1.02 * floor and row[SHOWN] < 1.02 * floor):
                break


@njit(cache=True)
def band(
    rows: Array, when: Array, targets: Array, times_s: Array, at_s: float, flow: float, volume: float, w: Array,
    rng: Generator,
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
                if flow > 0.0:
                    flowing(
                        rows[i], when[i], targets, time_s, span / count, count, flow, volume, w, rng, 0.0
                    )  # fmt: skip
                else:
                    standing(rows[i], when[i], targets, time_s, span / count, count, volume, w, rng)
                time_s = times_s[k]
            found[i, k] = rows[i, GAS]
    return found
