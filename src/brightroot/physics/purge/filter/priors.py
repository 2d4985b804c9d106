"""The particles before the first reading, and what each thing done to the purge makes uncertain again."""

from __future__ import annotations

import math

import numpy as np
from numpy.random import Generator
from numpy.typing import NDArray

from brightroot.physics.purge.filter import kernels as k
from brightroot.physics.purge.filter.beliefs import BELIEFS, Beliefs
from brightroot.physics.purge.filter.inputs import Purge

Array = NDArray[np.float64]


def widths(purge: Purge, beliefs: Beliefs = BELIEFS) -> Array:
    """The march's own numbers, in the order in which the kernels name them."""
    b = beliefs
    least = b.least_right if purge.feed == "low" or purge.vertical else b.least_wrong
    return np.array([
        b.walk, b.trend_walk, b.trend_home, b.pull, b.leak_walk, b.jitter, b.jump_rate, b.jump_mean, b.jump_sd,
        b.proposed, b.still_walk, b.burst, b.burst_mean, b.burst_sd, b.doubted, math.log(least), b.part, math.log(b.even_k),
    ])  # fmt: skip


def drawn(purge: Purge, *, count: int, rng: Generator, beliefs: Beliefs = BELIEFS) -> Array:
    """Particles before the purge begins."""
    b, rows, wrong = beliefs, np.zeros((count, k.COLUMNS)), purge.wrong_way

    def spread(sd: float) -> Array:
        return sd * rng.standard_normal(count)

    for column in (k.GAS, k.POCKET, k.BULK, k.STAGE_1, k.STAGE_2, k.SHOWN_1, k.SHOWN):
        rows[:, column] = purge.start_frac
    way = "upright" if purge.vertical else "wrong" if wrong else "right"
    for column, name in ((k.LN_K, "k"), (k.LN_END, "end")):
        rows[:, column] = math.log(getattr(b, f"{name}_{way}")) + spread(getattr(b, f"{name}_{way}_sd"))
    rows[:, k.TREND] = spread(b.trend_sd)
    rows[:, k.FRONT] = (b.front_wrong if wrong else b.front_right) * np.exp(spread(b.front_sd))
    per_frac = next((flow for _, flow in purge.flows if flow > 0.0), purge.volume_m3 / 60.0) / k.AIR
    rows[:, k.LN_LEAK] = math.log(b.leak_frac * per_frac) + spread(b.leak_sd)
    rows[:, k.LN_LEAK_0] = rows[:, k.LN_LEAK] + math.log(b.still_leak) + spread(b.still_leak_sd)
    rows[:, k.SUPPLY] = supply(purge, count, rng, b)
    rows[:, k.LN_OUTGAS] = math.log(b.outgas_frac * per_frac) + spread(b.outgas_sd)
    rows[:, k.OUT_TIME] = b.outgas_s * np.exp(spread(b.outgas_s_sd))
    branch = rng.random(count) < b.branch
    rows[:, k.CORNER] = np.where(branch, b.branch_share * np.exp(spread(b.branch_share_sd)), 0.0)
    rows[:, k.EXCHANGE] = np.exp(spread(b.branch_s_sd)) / b.branch_s
    rows[:, k.DELAY] = max(purge.monitor.delay_s, 0.1) * np.exp(spread(b.lag_sd))
    rows[:, k.LAG] = max(purge.monitor.lag_s, 0.1) * np.exp(spread(b.lag_sd))
    rows[:, k.LAG_2] = max(b.lag_2 * purge.monitor.lag_s, 0.1) * np.exp(spread(b.lag_2_sd))
    rows[:, k.GAIN] = np.exp(spread(b.gain_sd))
    rows[:, k.OFFSET] = spread(b.offset_sd_frac)
    rows[:, k.RELAX] = b.still_s * np.exp(spread(b.still_s_sd))
    rows[:, k.LN_ROOT] = spread(1.0)
    return rows


def supply(purge: Purge, count: int, rng: Generator, beliefs: Beliefs = BELIEFS) -> Array:
    """Oxygen in the argon: about as measured, else anything up to a little over what its grade allows."""
    if purge.supply_frac is not None:
        return purge.supply_frac * np.exp(0.15 * rng.standard_normal(count))
    return purge.supply_max_frac * rng.uniform(beliefs.supply_low, beliefs.supply_high, count)


def at_stop(rows: Array, rng: Generator, beliefs: Beliefs = BELIEFS) -> None:
    """The gas stands: what the vent then drifts to is near what it held, but not known."""
    rows[:, k.BULK] = rows[:, k.GAS] * np.exp(0.1 + beliefs.still_sd * rng.standard_normal(len(rows)))


def after_stop(
    rows: Array, stood_s: float, volume_m3: float, rng: Generator, beliefs: Beliefs = BELIEFS
) -> None:  # fmt: skip
    """Gas moves again after a stop: what leaked in meanwhile comes to the vent, then a new front; k is half forgotten."""
    count = len(rows)
    still = beliefs.still_leak * np.exp(rows[:, k.LN_LEAK] + beliefs.still_leak_sd * rng.standard_normal(count))
    seeped = still * k.AIR * stood_s / volume_m3
    near = rows[:, k.GAS] * np.exp(0.1 + beliefs.still_sd * rng.standard_normal(count))
    rows[:, k.BULK] = np.minimum(k.AIR, near + beliefs.again_gather * seeped)
    # some of what leaked in lies where the stream passes by
    corner = rng.random(count) < beliefs.again_corner
    rows[corner, k.CORNER] = beliefs.again_share * np.exp(0.7 * rng.standard_normal(int(corner.sum())))
    rows[corner, k.EXCHANGE] = np.exp(0.7 * rng.standard_normal(int(corner.sum()))) / beliefs.again_s
    rows[corner, k.POCKET] = np.minimum(
        k.AIR, rows[corner, k.BULK] * np.exp(0.5 + 0.7 * rng.standard_normal(int(corner.sum())))
    )
    rows[:, k.VOLUMES] = 0.0
    rows[:, k.FRONT] = rng.uniform(0.0, beliefs.again_front, count)
    rows[:, k.LN_K] = (
        0.5 * rows[:, k.LN_K] + 0.5 * math.log(beliefs.again_k) + beliefs.again_sd * rng.standard_normal(count)
    )
    rows[:, k.LN_END] = math.log(beliefs.again_end) + beliefs.end_right_sd * rng.standard_normal(count)
    rows[:, k.TREND] = beliefs.trend_sd * rng.standard_normal(count)


def flow_step(rows: Array, ratio_1: float, rng: Generator, beliefs: Beliefs = BELIEFS) -> None:
    """Another flow mixes in another way, the more so the larger the step."""
    width = beliefs.step_sd * min(1.0, abs(math.log(ratio_1)) / math.log(2.0))
    rows[:, k.LN_K] += width * rng.standard_normal(len(rows))


def event(rows: Array, kind: str, purge: Purge, rng: Generator) -> None:
    """What each thing done makes uncertain again."""
    count = len(rows)
    if kind in ("tape_opened", "tape_closed", "dam_moved"):
        way = {"tape_opened": 1.0, "tape_closed": -1.0}.get(kind, 0.0)
        rows[:, k.LN_BASE] = 0.0
        rows[:, k.LN_K] += -0.2 * way + 0.4 * rng.standard_normal(count)
        for column in (k.LN_LEAK, k.LN_LEAK_0):
            rows[:, column] += 0.7 * way + rng.standard_normal(count)
    elif kind == "cylinder_changed":
        rows[:, k.SUPPLY] = supply(purge, count, rng)
        # air in the hose goes in as a slug of unknown size
        slug = rng.random(count) < 0.5
        rows[slug, k.GAS] += k.AIR * 10.0 ** rng.uniform(-7.0, -3.5, int(slug.sum()))


def line_closed(rows: Array, shown_frac: float | None, rng: Generator) -> None:
    """After an open sample line the monitor still holds room air, of which only the last number is known."""
    held = k.AIR * 10.0 ** rng.uniform(-5.0, 0.0, len(rows)) if shown_frac is None else np.full(len(rows), shown_frac)
    for column in (k.STAGE_1, k.STAGE_2, k.SHOWN_1, k.SHOWN):
        rows[:, column] = np.maximum(rows[:, k.GAS], held)


def shock(rows: Array, shown_frac: float, flow: float, rng: Generator) -> None:
    """Two readings agree on something that no particle foresaw: gas and indication go there, all else is less sure."""
    count = len(rows)
    ratio = shown_frac / np.maximum(rows[:, k.SHOWN], 1e-9)
    for column in (k.GAS, k.STAGE_1, k.STAGE_2, k.SHOWN_1, k.SHOWN):
        rows[:, column] = np.minimum(k.AIR, rows[:, column] * ratio * np.exp(0.05 * rng.standard_normal(count)))
    rows[:, k.GAS] = np.minimum(k.AIR, rows[:, k.GAS] * np.exp(0.3 * rng.standard_normal(count)))
    rows[:, k.LN_K] += 0.3 * rng.standard_normal(count)
    settled = rows[:, k.VOLUMES] > rows[:, k.FRONT] + k.SETTLED
    rows[:, k.BULK] = np.where(settled, rows[:, k.BULK], rows[:, k.GAS])
    open_up = (rng.random(count) < 0.8) & (flow > 0.0) & settled
    rows[:, k.LN_BASE] = np.where(open_up & (rows[:, k.LN_BASE] == 0.0), rows[:, k.LN_LEAK], rows[:, k.LN_BASE])
    felt = np.log(rows[:, k.GAS] * max(flow, 1e-12) / k.AIR) + 0.2 + 0.6 * rng.standard_normal(count)
    rows[:, k.LN_LEAK] = np.where(open_up, np.maximum(felt, rows[:, k.LN_LEAK]), rows[:, k.LN_LEAK])
