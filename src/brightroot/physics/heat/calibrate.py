"""Net power and losses re-estimated from readings: a small grid of both, weighed by what was read.

The rise is linear in net power, so one look for each loss is enough, by whatever tells it: Green's function, its modes (for
live work), or either times what a finer engine finds at each reading. Two readings can always be matched by power and
speed together: a match says what to expect next, not that the model is right.
"""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from brightroot.base.errors import Refused
from brightroot.physics.heat.green import temperature_K
from brightroot.physics.heat.modal import left_by, modes, rise_dK
from brightroot.physics.heat.ring import ArcRun, Ring

Array = NDArray[np.float64]
POWER_1 = np.linspace(0.3, 1.7, 281)  # of the runs' stated net power
LOSS_1 = np.geomspace(1 / 3, 3.0, 9)  # of the ring's stated losses
LOSSES_1 = tuple(float(loss) for loss in LOSS_1)
TAILS_1 = (0.05, 0.5, 0.95)  # an answer's low, value and high


@dataclass(frozen=True, slots=True)
class TemperatureSeen:
    """One reading: when, where, what, and how far the thermometer may be off (one standard deviation)."""

    time_s: float
    theta_rad: float
    z_m: float
    side: str
    value_K: float
    spread_K: float
    engine_1: float = 1.0  # the rise here by a finer engine, over Green's function's
    rise_dK: float = 0.0  # that rise, where somebody asked for it


class Rises(Protocol):
    """What tells the rise at a reading and its slope along the pipe, at the stated power, for each loss of LOSS_1."""

    def __call__(self, reading: TemperatureSeen, /) -> tuple[Array, Array]:
        """Both in a row of losses: kelvin, and kelvin a metre."""


@dataclass(frozen=True, slots=True)
class PowerPosterior:
    """Factors on the stated net power and the stated losses: low (5 %), value (50 %), high (95 %), and their grid."""

    low_1: float
    value_1: float
    high_1: float
    loss_low_1: float
    loss_value_1: float
    loss_high_1: float
    misfit_1: float  # root mean square of reading less model in spreads; over 2 the readings deny the model
    weight_1: tuple[tuple[float, ...], ...]  # a row for each loss of LOSS_1, a column for each power of POWER_1


@dataclass(frozen=True, slots=True)
class Reforecast:
    """A question's low, value and high under the posterior; None where it does not come about."""

    low: float | None
    value: float | None
    high: float | None


def calibrated(
    *, ring: Ring, runs: Sequence[ArcRun], readings: Sequence[TemperatureSeen], efficiency_frac: float = 0.75,
    low_frac: float = 0.6, high_frac: float = 0.8, loss_spread_1: float = 1.6, probe_m: float = 0.003,
    rises: Rises | None = None,
) -> PowerPosterior:  # fmt: skip
    """Factors on net power and losses after the readings; with none, those of the prior.

    The prior: efficiency from low to high (90 %) about the one the runs were given, losses within a factor (one
    standard deviation). A probe stands off its place by `probe_m` (one standard deviation), the same way each time.
    `rises` tells what the runs would show; without it Green's function does.

    >>> ring = Ring(0.0889, 0.00549, 0.15, 20.0, 2.7e6, 12.0, 8.0, 298.15)
    >>> run = ArcRun(0.0, 33.25, 0.0, 1.0472, 680.0)
    >>> seen = TemperatureSeen(53.25, 1.0472, 0.0254, "outside", 430.0, 2.0)
    >>> before, after = (calibrated(ring=ring, runs=[run], readings=rows) for rows in ([], [seen]))
    >>> round(before.value_1, 2), round(after.value_1, 2)
    (0.95, 0.92)
    """
    logs = np.log(LOSS_1)[:, None]
    off = (POWER_1 - 1) * efficiency_frac
    side = np.where(off < 0, efficiency_frac - low_frac, high_frac - efficiency_frac) / 1.645
    side = np.maximum(side, 1e-6)  # an efficiency without a spread is taken as it stands
    score = -0.5 * (off / side) ** 2 - 0.5 * (logs / np.log(loss_spread_1)) ** 2
    misfit = np.zeros((LOSS_1.size, POWER_1.size))
    if readings:
        misfit, volume = _misfit(rises or green_rises(ring, runs, probe_m), ring.ambient_K, readings, probe_m)
        score = score - 0.5 * (misfit + volume)
    weight = np.exp(score - score.max())
    weight /= weight.sum()
    low, value, high = _quantiles(POWER_1, weight.sum(axis=0))
    lean, middle, rich = (math.exp(x) for x in _quantiles(np.log(LOSS_1), weight.sum(axis=1)))
    best = float(misfit.ravel()[weight.argmax()])
    rows = tuple(tuple(float(x) for x in row) for row in weight)
    return PowerPosterior(low, value, high, lean, middle, rich, math.sqrt(best / max(len(readings), 1)), rows)


def reforecast(
    *, posterior: PowerPosterior, ring: Ring, runs: Sequence[ArcRun],
    ask: Callable[[Ring, tuple[ArcRun, ...]], float | None],
) -> Reforecast:  # fmt: skip
    """A question asked again under the posterior: five looks, their swings in quadrature.

    `ask` takes a ring and runs and answers a number (or None). Power is taken given the losses, as readings tie them.
    """
    weight = np.array(posterior.weight_1)
    losses = (posterior.loss_low_1, posterior.loss_value_1, posterior.loss_high_1)
    powers = [_quantiles(POWER_1, weight[np.abs(np.log(LOSS_1 / loss)).argmin()]) for loss in losses]

    def look(loss: float, power: float) -> float | None:
        scaled = tuple(dataclasses.replace(run, net_power_W=run.net_power_W * power) for run in runs)
        return ask(_lossy(ring, loss), scaled)

    centre = look(losses[1], powers[1][1])
    others = [look(losses[1], powers[1][0]), look(losses[1], powers[1][2])]
    others += [look(losses[0], powers[0][1]), look(losses[2], powers[2][1])]
    if centre is None:
        return Reforecast(low=min((x for x in others if x is not None), default=None), value=None, high=None)
    swings = [x - centre for x in others if x is not None]
    below = float(np.sqrt(sum(min(x, 0.0) ** 2 for x in swings)))
    above = float(np.sqrt(sum(max(x, 0.0) ** 2 for x in swings)))
    return Reforecast(low=centre - below, value=centre, high=None if None in others else centre + above)


def _lossy(ring: Ring, loss: float) -> Ring:
    return dataclasses.replace(
        ring, loss_outer_W_m2K=ring.loss_outer_W_m2K * loss, loss_inner_W_m2K=ring.loss_inner_W_m2K * loss
    )


def green_rises(ring: Ring, runs: Sequence[ArcRun], probe_m: float) -> Rises:
    """By Green's function: any moment, any side."""

    def told(reading: TemperatureSeen) -> tuple[Array, Array]:
        places = _places(ring, reading, probe_m)
        found = np.array([
            temperature_K(ring=_lossy(ring, float(loss)), runs=runs, theta_rad=reading.theta_rad, z_m=places,
                          side=reading.side, time_s=reading.time_s) - ring.ambient_K
            for loss in LOSS_1
        ])  # fmt: skip
        return found[:, 0], (found[:, 2] - found[:, 1]) / (places[2] - places[1])

    return told


def modal_rises(ring: Ring, runs: Sequence[ArcRun], probe_m: float) -> Rises:
    """By the modes of the ring: from half a second after an arc-off, in microseconds, runs already known costing nothing."""
    own = modes(ring, losses_1=LOSSES_1)

    def told(reading: TemperatureSeen) -> tuple[Array, Array]:
        past = [run for run in runs if run.stop_s <= reading.time_s]
        left = left_by(own, past, time_s=reading.time_s)
        places = _places(ring, reading, probe_m)
        here, near, far = (rise_dK(own, left, theta_rad=reading.theta_rad, z_m=z)[:, 0] for z in places)
        return here, (far - near) / (places[2] - places[1])

    return told


def _places(ring: Ring, reading: TemperatureSeen, probe_m: float) -> tuple[float, float, float]:
    """Where the probe should be, and where it stands if it is off either way."""
    return reading.z_m, max(reading.z_m - probe_m, 0.0), min(reading.z_m + probe_m, ring.half_length_m)


def _misfit(rises: Rises, ambient_K: float, readings: Sequence[TemperatureSeen], probe_m: float) -> tuple[Array, Array]:
    """Losses × powers: squared distance of the readings from the model in spreads, and the log volume of the spreads.

    Each reading is off by its own spread and all are off together by the probe's place, which the power magnifies.
    """
    rise, slope = (np.stack(column, axis=-1)[:, None, :] for column in zip(*(_seen(rises, row) for row in readings)))
    value = np.array([row.value_K - ambient_K for row in readings])
    spread = np.array([_spread(row) for row in readings])
    power = POWER_1[:, None]
    off = (value - power * rise) / spread
    lean = power * slope * probe_m / spread
    wide = 1 + (lean**2).sum(axis=-1)
    squared = (off**2).sum(axis=-1) - (off * lean).sum(axis=-1) ** 2 / wide
    return squared, np.log(wide) + 2 * np.log(spread).sum()


def _seen(rises: Rises, row: TemperatureSeen) -> tuple[Array, Array]:
    """Rise and slope at the reading, at the stated power, as the finer engine has them."""
    rise, slope = rises(row)
    if rise.min() < 1e-6:
        raise Refused(
            field="time_s", wanted="a reading after some heat has reached its place", got=f"{row.time_s:g} s",
            reason="refused.no_heat_yet",
        )  # fmt: skip
    return rise * row.engine_1, slope * row.engine_1


def _spread(row: TemperatureSeen) -> float:
    if not row.spread_K > 0:
        raise Refused(field="spread_K", wanted="a spread above zero", got=f"{row.spread_K:g}")
    return row.spread_K


def _quantiles(grid: Array, weight: Array) -> tuple[float, float, float]:
    """Low, middle and high of a weighed grid, straight between its points."""
    total = np.cumsum(np.maximum(weight, 1e-300))
    at = (total - weight / 2) / total[-1]
    low, middle, high = np.interp(TAILS_1, at, grid)
    return float(low), float(middle), float(high)
