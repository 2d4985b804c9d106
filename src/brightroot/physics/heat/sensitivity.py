"""What moves a rise, and by how much: each doubtful input moved to its ends on one representative run.

The swings are shares of the rise; a figure's range is its rise times (1 ± their quadrature).
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from brightroot.physics.heat.green import temperature_K
from brightroot.physics.heat.ring import ArcRun, Ring

LOOKS_S = np.concatenate([np.arange(0.0, 10.0, 2.0), np.geomspace(10.0, 400.0, 30)])


@dataclass(frozen=True, slots=True)
class Doubts:
    """Low and high of every doubtful input, as a factor on the value taken; the probe's place in metres."""

    efficiency_1: tuple[float, float] = (0.8, 16 / 15)  # 0.6 to 0.8 about 0.75
    speed_1: tuple[float, float] = (0.8, 1.2)
    wall_1: tuple[float, float] = (0.875, 1.0)  # mill tolerance
    conductivity_1: tuple[float, float] = (0.95, 1.05)
    capacity_1: tuple[float, float] = (0.95, 1.05)
    loss_1: tuple[float, float] = (0.5, 2.0)
    probe_m: float = 0.003


@dataclass(frozen=True, slots=True)
class Swing:
    """One input: what the rise becomes, as a factor, at the input's two ends; smaller one first."""

    name: str
    low_1: float
    high_1: float


@dataclass(frozen=True, slots=True)
class Swings:
    """All inputs, and together in quadrature: the factors for the low and the high end of a rise."""

    each: tuple[Swing, ...]
    low_1: float
    high_1: float

    @property
    def dominant(self) -> Swing:
        """The input that moves the rise most."""
        return max(self.each, key=lambda swing: swing.high_1 - swing.low_1)


def probe_swings(*, ring: Ring, run: ArcRun, reading_z_m: float = 0.0254, doubts: Doubts | None = None) -> Swings:
    """Swings of the highest rise at the probe's place, outside, where the arc went off.

    >>> ring = Ring(0.0603, 0.0055, 0.2, 19.6, 2.7e6, 25.0, 12.0, 298.15)
    >>> probe_swings(ring=ring, run=ArcRun(0.0, 30.0, 0.0, 1.5, 560.0)).dominant.name
    'speed'
    """
    doubts = doubts or Doubts()

    def rise(ring: Ring, run: ArcRun, shift_m: float) -> float:
        return float(
            temperature_K(
                ring=ring, runs=[run], theta_rad=run.to_rad, z_m=reading_z_m + shift_m, side="outside",
                time_s=run.stop_s + LOOKS_S,
            ).max() - ring.ambient_K
        )  # fmt: skip

    return _swings(ring, run, doubts, rise, probe=True)


def weld_swings(*, ring: Ring, run: ArcRun, after_s: float, doubts: Doubts | None = None) -> Swings:
    """Swings of the rise in the middle of the run, on the weld, `after_s` after arc-off (about the hold)."""
    doubts = doubts or Doubts()
    middle = run.from_rad + run.sweep_rad / 2

    def rise(ring: Ring, run: ArcRun, shift_m: float) -> float:
        found = temperature_K(
            ring=ring, runs=[run], theta_rad=middle, z_m=shift_m, side="outside", time_s=run.stop_s + after_s
        )
        return float(found) - ring.ambient_K

    return _swings(ring, run, doubts, rise, probe=False)


def _swings(
    ring: Ring, run: ArcRun, doubts: Doubts, rise: Callable[[Ring, ArcRun, float], float], *, probe: bool
) -> Swings:
    centre = rise(ring, run, 0.0)
    ends: dict[str, tuple[float, float]] = {
        "efficiency": doubts.efficiency_1,  # the rise is linear in it
        "speed": _pair(lambda k: rise(ring, replace(run, duration_s=run.duration_s / k), 0.0) / centre, doubts.speed_1),
        "wall": _pair(lambda k: rise(replace(ring, wall_m=ring.wall_m * k), run, 0.0) / centre, doubts.wall_1),
        "conductivity": _pair(
            lambda k: rise(replace(ring, conductivity_W_mK=ring.conductivity_W_mK * k), run, 0.0) / centre,
            doubts.conductivity_1,
        ),
        "capacity": _pair(
            lambda k: rise(replace(ring, heat_capacity_J_m3K=ring.heat_capacity_J_m3K * k), run, 0.0) / centre,
            doubts.capacity_1,
        ),
        "loss": _pair(lambda k: rise(_lossy(ring, k), run, 0.0) / centre, doubts.loss_1),
    }
    if probe:
        ends["probe"] = _pair(lambda shift: rise(ring, run, shift) / centre, (-doubts.probe_m, doubts.probe_m))
    each = tuple(Swing(name, min(*pair, 1.0), max(*pair, 1.0)) for name, pair in ends.items())
    below = math.sqrt(sum((1 - swing.low_1) ** 2 for swing in each))
    above = math.sqrt(sum((swing.high_1 - 1) ** 2 for swing in each))
    return Swings(each, max(0.0, 1 - below), 1 + above)


def _pair(at: Callable[[float], float], ends: tuple[float, float]) -> tuple[float, float]:
    return at(ends[0]), at(ends[1])


def _lossy(ring: Ring, k: float) -> Ring:
    return replace(ring, loss_outer_W_m2K=ring.loss_outer_W_m2K * k, loss_inner_W_m2K=ring.loss_inner_W_m2K * k)
