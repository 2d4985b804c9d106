"""What is believed before the first reading, and how far a purge may wander: widths tuned on simulated purges."""

from __future__ import annotations

import math

import numpy as np
from numpy.random import Generator
from numpy.typing import NDArray

from brightroot.physics.purge.filter import kernels as k
from brightroot.physics.purge.filter.inputs import Purge

Array = NDArray[np.float64]
ML_MIN = 1e-6 / 60

# walk of ln κ and of its trend (per root volume), volumes over which a trend dies out, pull to the late ln κ,
# walk of ln leak (per root second), walk of the slow parameters, leaks opening per second: rate, mean and spread of the
# jump of ln leak, how many times more often than that it is tried, walk of standing gas (per root second)
WIDTHS = np.array([0.10, 0.25, 1.0, 0.05, 0.004, 0.12, 4e-5, 1.5, 1.0, 8.0, 0.02])


def drawn(purge: Purge, *, count: int, rng: Generator) -> Array:
    """Particles before the purge begins."""
    rows = np.zeros((count, k.COLUMNS))

    def lognormal(middle: float, sd: float) -> Array:
        return middle * np.exp(sd * rng.standard_normal(count))

    for column in (k.GAS, k.POCKET, k.BULK, k.STAGE_1, k.STAGE_2, k.SHOWN_1, k.SHOWN):
        rows[:, column] = purge.start_frac
    wrong = purge.wrong_way
    rows[:, k.LN_K] = np.log(lognormal(1.1 if wrong else 1.7, 0.5))
    rows[:, k.LN_END] = np.log(lognormal(1.2 if wrong else 1.8, 0.4))
    rows[:, k.TREND] = 0.25 * rng.standard_normal(count)
    rows[:, k.FRONT] = rng.uniform(0.0, 0.4 if wrong else 0.9, count)
    rows[:, k.LN_LEAK] = np.log(lognormal(0.25 * ML_MIN, 1.3))
    rows[:, k.LN_LEAK_0] = rows[:, k.LN_LEAK] + np.log(lognormal(3.0, 0.6))
    rows[:, k.SUPPLY] = supply(purge, count, rng)
    rows[:, k.LN_OUTGAS] = np.log(lognormal(0.5 * ML_MIN, 0.5))
    rows[:, k.OUT_TIME] = lognormal(60.0, 0.4)
    branch = rng.random(count) < 0.12
    rows[:, k.COUPLING] = np.where(branch, lognormal(0.01, 1.5), 1e-6)
    rows[:, k.EXCHANGE] = lognormal(0.2, 0.8)
    rows[:, k.DELAY] = lognormal(max(purge.monitor.delay_s, 0.1), 0.25)
    rows[:, k.LAG] = lognormal(max(purge.monitor.lag_s, 0.1), 0.25)
    rows[:, k.LAG_2] = lognormal(max(0.25 * purge.monitor.lag_s, 0.1), 0.4)
    rows[:, k.RELAX] = lognormal(120.0, 0.7)
    rows[:, k.LN_ROOT] = 0.11 + math.log(1.8 / 0.7) / 3.29 * rng.standard_normal(count)
    return rows


def supply(purge: Purge, count: int, rng: Generator) -> Array:
    """Oxygen in the argon: about as measured, else anything up to a little over what its grade allows."""
    if purge.supply_frac is not None:
        return purge.supply_frac * np.exp(0.15 * rng.standard_normal(count))
    return purge.supply_max_frac * rng.uniform(0.3, 1.1, count)


def after_stop(rows: Array, rng: Generator) -> None:
    """Gas moves again after a stop: a new front, and a κ that remembers the old one only in part."""
    count = len(rows)
    rows[:, k.VOLUMES] = 0.0
    rows[:, k.FRONT] = rng.uniform(0.0, 0.8, count)
    rows[:, k.LN_K] = 0.5 * rows[:, k.LN_K] + 0.5 * math.log(2.2) + 0.45 * rng.standard_normal(count)
    rows[:, k.LN_END] = math.log(2.0) + 0.4 * rng.standard_normal(count)
    rows[:, k.TREND] = 0.25 * rng.standard_normal(count)


def at_stop(rows: Array, rng: Generator) -> None:
    """The gas stands: what the vent then drifts to is near what it held, but not known."""
    count = len(rows)
    rows[:, k.BULK] = rows[:, k.GAS] * np.exp(0.1 + 0.5 * rng.standard_normal(count))
    # a slow corner of the pipe itself mixes out while the gas stands; a side branch does not
    mixed = rng.random(count) < 0.7
    rows[mixed, k.POCKET] = rows[mixed, k.BULK]


def flow_step(rows: Array, ratio_1: float, rng: Generator) -> None:
    """Another flow mixes in another way, the more so the larger the step."""
    width = 0.3 * min(1.0, abs(math.log(ratio_1)) / math.log(2.0))
    rows[:, k.LN_K] += width * rng.standard_normal(len(rows))


def event(rows: Array, kind: str, purge: Purge, rng: Generator) -> None:
    """What each thing done makes uncertain again."""
    count = len(rows)
    if kind in ("tape_opened", "tape_closed", "dam_moved"):
        rows[:, k.LN_BASE] = 0.0
    if kind == "tape_opened":
        rows[:, k.LN_LEAK] += 0.7 + 1.0 * rng.standard_normal(count)
        rows[:, k.LN_LEAK_0] += 0.7 + 1.0 * rng.standard_normal(count)
        rows[:, k.LN_K] += -0.2 + 0.4 * rng.standard_normal(count)
    elif kind == "tape_closed":
        rows[:, k.LN_LEAK] += -0.7 + 1.0 * rng.standard_normal(count)
        rows[:, k.LN_LEAK_0] += -0.7 + 1.0 * rng.standard_normal(count)
        rows[:, k.LN_K] += 0.2 + 0.4 * rng.standard_normal(count)
    elif kind == "dam_moved":
        rows[:, k.LN_LEAK] += 1.0 * rng.standard_normal(count)
        rows[:, k.LN_K] += 0.3 * rng.standard_normal(count)
    elif kind == "cylinder_changed":
        rows[:, k.SUPPLY] = supply(purge, count, rng)
        # air in the hose goes in as a slug of unknown size
        rows[:, k.BULK] += k.AIR * 10.0 ** rng.uniform(-7.0, -3.5, count)
        rows[:, k.GAS] += np.where(rng.random(count) < 0.5, rows[:, k.GAS] * rng.uniform(0.0, 0.5, count), 0.0)


def line_closed(rows: Array, shown_frac: float | None, rng: Generator) -> None:
    """After an open sample line the monitor still holds room air, of which only the last number is known."""
    held = k.AIR * 10.0 ** rng.uniform(-5.0, 0.0, len(rows)) if shown_frac is None else np.full(len(rows), shown_frac)
    for column in (k.STAGE_1, k.STAGE_2, k.SHOWN_1, k.SHOWN):
        rows[:, column] = np.maximum(rows[:, k.GAS], held)


def shock(rows: Array, shown_frac: float, rng: Generator) -> None:
    """Two readings agree on something that no particle foresaw: gas and indication go there, all else is less sure."""
    count = len(rows)
    ratio = shown_frac / np.maximum(rows[:, k.SHOWN], 1e-9)
    for column in (k.GAS, k.STAGE_1, k.STAGE_2, k.SHOWN_1, k.SHOWN):
        rows[:, column] = np.minimum(k.AIR, rows[:, column] * ratio * np.exp(0.05 * rng.standard_normal(count)))
    rows[:, k.GAS] = np.minimum(k.AIR, rows[:, k.GAS] * np.exp(0.3 * rng.standard_normal(count)))
    rows[:, k.LN_K] += 0.3 * rng.standard_normal(count)
    open_up = rng.random(count) < 0.5
    rows[:, k.LN_BASE] = np.where(open_up & (rows[:, k.LN_BASE] == 0.0), rows[:, k.LN_LEAK], rows[:, k.LN_BASE])
    rows[:, k.LN_LEAK] += np.where(open_up, 1.5 + rng.standard_normal(count), 0.0)
