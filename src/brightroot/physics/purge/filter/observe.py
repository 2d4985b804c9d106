"""One reading against every particle: how likely it is, and drawing anew where few particles still count."""

from __future__ import annotations

import math

import numpy as np
from numpy.random import Generator
from numpy.typing import NDArray
from scipy.special import ndtr

from brightroot.physics.purge.filter import kernels as k
from brightroot.physics.purge.filter.inputs import Look, Monitor

Array = NDArray[np.float64]
FREEDOM = 6.0  # of Student's t: a few readings are further off than a bell curve allows
UNSEEN_1 = 0.02  # of the indication: a floor so far under it leaves no mark in the readings
REFRESHED = 0.3
ROUNDED_1 = 0.003  # three figures on the display


def log_likelihood(shown: Array, look: Look, monitor: Monitor) -> Array:
    """Log likelihood of the look for each indicated value; out of range it speaks only of the side."""
    sd = np.hypot(np.hypot(monitor.noise_rel_1 * shown, ROUNDED_1 * shown), monitor.noise_abs_frac)
    if look.state == "over range":
        chance = ndtr((shown - monitor.over_frac) / sd)
    elif look.state == "under range":
        chance = ndtr((monitor.low_frac - shown) / sd)
    else:
        assert look.oxygen_frac is not None
        off = (look.oxygen_frac - shown) / sd
        return -np.log(sd) - 0.5 * (FREEDOM + 1.0) * np.log1p(off * off / FREEDOM)
    found: Array = np.log(np.maximum(chance, 1e-12))
    return found


def display(rows: Array) -> Array:
    """What each particle's monitor would show: its gain and its zero are a little off."""
    found: Array = np.maximum(0.0, rows[:, k.GAIN] * rows[:, k.SHOWN] + rows[:, k.OFFSET])
    return found


def normalised(logs: Array) -> Array:
    """Weights that sum to one."""
    weights = np.exp(logs - logs.max())
    found: Array = weights / weights.sum()
    return found


def effective_count(weights: Array) -> float:
    """How many equal particles the weights are worth."""
    return float(1.0 / np.sum(weights * weights))


def chosen(weights: Array, rng: Generator) -> NDArray[np.intp]:
    """Systematic draw: which particle each new one copies."""
    count = len(weights)
    places = (rng.random() + np.arange(count)) / count
    found: NDArray[np.intp] = np.minimum(np.searchsorted(np.cumsum(weights), places), count - 1)
    return found


def jittered(rows: Array, width: float, rng: Generator) -> None:
    """Copies move apart a little in what stays constant, without widening the whole: shrink, then spread."""
    keep = math.sqrt(1.0 - width * width)
    for column in (k.DELAY, k.LAG, k.LAG_2, k.SUPPLY, k.OUT_TIME, k.EXCHANGE, k.POCKET):
        _moved(rows, column, np.log(np.maximum(rows[:, column], 1e-12)), keep, width, rng, logs=True)
    for column in (k.LN_OUTGAS, k.LN_END, k.LN_LEAK, k.LN_LEAK_0, k.LN_ROOT, k.GAIN, k.OFFSET):
        _moved(rows, column, rows[:, column], keep, width, rng, logs=False)


def refreshed(rows: Array, fresh: Array, flow: float, doubted: float, rng: Generator) -> None:
    """Leak and supply drawn anew where the past says nothing of them: their floor is far under what is shown."""
    if flow <= 0.0:
        return
    now, new = (_floor(these, flow) for these in (rows, fresh))
    silent = (now < UNSEEN_1 * rows[:, k.SHOWN]) & (new < UNSEEN_1 * rows[:, k.SHOWN])
    # a few everywhere: what was taken for a floor may have been slow mixing; a rise, though, is no such doubt
    doubt = (rng.random(len(rows)) < doubted) & (new < rows[:, k.GAS])
    taken = (silent & (rng.random(len(rows)) < REFRESHED)) | doubt
    for column in (k.LN_LEAK, k.LN_LEAK_0, k.SUPPLY, k.LN_OUTGAS):
        rows[taken, column] = fresh[taken, column]


def _floor(rows: Array, flow: float) -> Array:
    found: Array = rows[:, k.SUPPLY] + (np.exp(rows[:, k.LN_LEAK]) + np.exp(rows[:, k.LN_OUTGAS])) * k.AIR / flow
    return found


def _moved(rows: Array, column: int, values: Array, keep: float, width: float, rng: Generator, *, logs: bool) -> None:
    middle, sd = values.mean(), values.std()
    moved = middle + keep * (values - middle) + width * sd * rng.standard_normal(len(values))
    rows[:, column] = np.exp(moved) if logs else moved
