"""The ring's heat as a few numbers that decay: waves round the pipe times exponentials in time. For planning and live work.

Green's function along the pipe is a Gaussian that spreads as t^-½; a sum of exponentials stands for it from 2 s to
20,000 s. What remains of all earlier runs is then one small table that a pause multiplies and a run adds to, exactly
and in proportion to net power: no history is kept. The wall is even through, properties are constant, losses linear;
several losses are carried side by side.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

from brightroot.base.errors import Refused
from brightroot.physics.heat.kernel import kernel_error_frac, rates_1_s, weights_1_m
from brightroot.physics.heat.ring import ARC_SIGMA_M, ArcRun, Ring
from brightroot.physics.heat.volumes.schedule import last_below_s

Array = NDArray[np.float64]
State = NDArray[np.complex128]
LEAST_WAVES = 17
WAVES_A_METRE = 400  # of mean radius: a large ring's runs are short beside it
LOOKS = 60


@dataclass(frozen=True, eq=False, slots=True)
class Modes:
    """`decay_1_s` is losses × waves × rates; `round_arc_1` is how much of each wave an arc's own width leaves."""

    ring: Ring
    losses_1: tuple[float, ...]
    sigma_m: float
    decay_1_s: Array
    round_arc_1: Array


@lru_cache(maxsize=64)
def modes(ring: Ring, *, losses_1: tuple[float, ...] = (1.0,), sigma_m: float = ARC_SIGMA_M) -> Modes:
    """The modes of a ring, for each of some factors on its losses.

    >>> ring = Ring(0.0889, 0.00549, 0.15, 20.0, 2.7e6, 12.0, 8.0, 298.15)
    >>> modes(ring).decay_1_s.shape
    (1, 17, 13)
    """
    spread = ring.diffusivity_m2_s
    count = max(LEAST_WAVES, round(WAVES_A_METRE * ring.mean_radius_m))
    waves = np.arange(count) ** 2 * spread / ring.mean_radius_m**2
    rates = rates_1_s(spread_m2_s=spread, half_length_m=ring.half_length_m, sigma_m=sigma_m)
    lost = ring.loss_rate * np.array(losses_1)
    round_arc = np.exp(-((np.arange(count) * sigma_m / (ring.outer_diameter_m / 2)) ** 2) / 2)
    return Modes(ring, losses_1, sigma_m, lost[:, None, None] + waves[:, None] + rates, round_arc)


def cold(own: Modes) -> State:
    """No heat yet."""
    return np.zeros(own.decay_1_s.shape, dtype=complex)


def after_pause(own: Modes, state: State, *, pause_s: float) -> State:
    """What is left after a pause. Exact. Raises Refused for a pause below nothing."""
    if pause_s < 0:
        raise Refused(field="pause_s", wanted="zero or more", got=f"{pause_s:g} s")
    return np.asarray(state * np.exp(-own.decay_1_s * pause_s))


def with_run(own: Modes, state: State, run: ArcRun) -> State:
    """The state when a run that begins now has ended: what was left, and its own heat. Exact for the modes."""
    order = np.arange(own.round_arc_1.size)[:, None]
    # ∫ e^{-i n θ(t)} e^{-r (T - t)} dt over the run
    rate = own.decay_1_s - 1j * order * (run.sweep_rad / run.duration_s)
    gained = own.round_arc_1[:, None] * np.exp(-1j * order * run.to_rad) * -np.expm1(-rate * run.duration_s) / rate
    return np.asarray(after_pause(own, state, pause_s=run.duration_s) + run.net_power_W * gained)


def left_by(own: Modes, runs: Sequence[ArcRun], *, time_s: float) -> State:
    """What runs with their own times have left at a moment after the last of them. Kept by what came before: one more run, or a
    later moment, costs no more than itself."""
    if not runs:
        return cold(own)
    return after_pause(own, _after(own, tuple(runs)), pause_s=time_s - runs[-1].stop_s)


@lru_cache(maxsize=128)
def _after(own: Modes, runs: tuple[ArcRun, ...]) -> State:
    return with_run(own, left_by(own, runs[:-1], time_s=runs[-1].start_s), runs[-1])


def rise_dK(own: Modes, state: State, *, theta_rad: ArrayLike, z_m: float) -> Array:
    """Rise in the middle of the wall at angles, a distance from the weld plane. Shape losses × angles.

    Against Green's function (mean of both faces) on three pipes: 0.2 % of the highest rise at one inch from 2 s after
    arc-off, 1 % from half a second; on the weld 0.5 % from 2 s, 3 % from half a second.

    >>> ring = Ring(0.0889, 0.00549, 0.15, 20.0, 2.7e6, 12.0, 8.0, 298.15)
    >>> own = modes(ring)
    >>> left = left_by(own, [ArcRun(0.0, 33.25, 0.0, 1.0472, 680.0)], time_s=52.25)
    >>> round(float(rise_dK(own, left, theta_rad=1.0472, z_m=0.0254)[0, 0]), -1)
    160.0
    """
    return _round(own, state @ _weights(own, z_m), theta_rad)


def pauses_until_s(
    own: Modes, state: State, *, limit_dK: float, theta_rad: ArrayLike, z_m: float, horizon_s: float = 14400.0
) -> tuple[float | None, ...]:
    """For each loss the shortest pause after which places stay under a rise; None where it is longer than the horizon.

    Between looks the logs of rise and time lie on a smooth curve: 0.5 % of the pause or 0.1 s.
    """
    if limit_dK <= 0:
        return (None,) * len(own.losses_1)
    looks = np.concatenate([[0.0], np.geomspace(1.0, horizon_s, LOOKS)])
    fallen = np.exp(-own.decay_1_s * looks[:, None, None, None])
    waves = np.einsum("tlwr,lwr->tlw", fallen, state * _weights(own, z_m))
    rise = np.log(np.maximum(_round(own, waves, theta_rad).max(axis=-1), 1e-9))
    found = [last_below_s(np.log1p(looks), column, float(np.log(limit_dK))) for column in rise.T]
    return tuple(None if one is None else float(np.expm1(one)) for one in found)


def _weights(own: Modes, z_m: float) -> Array:
    ring = own.ring
    return weights_1_m(
        spread_m2_s=ring.diffusivity_m2_s, half_length_m=ring.half_length_m, sigma_m=own.sigma_m, z_m=abs(z_m)
    )


def fit_error_frac(own: Modes, *, z_m: float) -> float:
    """How far the exponentials are off from 2 s to 20,000 s: of the value on the weld, of the largest value elsewhere."""
    ring = own.ring
    return kernel_error_frac(
        spread_m2_s=ring.diffusivity_m2_s, half_length_m=ring.half_length_m, sigma_m=own.sigma_m, z_m=abs(z_m)
    )


def _round(own: Modes, waves: State, theta_rad: ArrayLike) -> Array:
    """Waves (last axis) summed at angles."""
    ring = own.ring
    angles = np.atleast_1d(np.asarray(theta_rad, dtype=float))
    order = np.arange(waves.shape[-1])
    turned = np.exp(1j * np.outer(order, angles)) * np.where(order, 2.0, 1.0)[:, None]
    thickness = 2 * np.pi * ring.mean_radius_m * ring.wall_m * ring.heat_capacity_J_m3K
    return np.asarray((waves.real @ turned.real - waves.imag @ turned.imag) / thickness)
