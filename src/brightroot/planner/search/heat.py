"""The ring's heat for the search: tables made once a joint, and each run's own heat made once a stretch."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from brightroot.physics.heat.kernel import weights_1_m
from brightroot.physics.heat.modal import Modes, cold, modes, with_run
from brightroot.physics.heat.ring import ARC_SIGMA_M, ArcRun, Ring
from brightroot.planner.search.task import Layer, Task, Way

Array = NDArray[np.float64]
State = NDArray[np.complex128]
GATES, ALONG = 5, 7
HORIZON_S = 14400.0


@dataclass(frozen=True, eq=False, slots=True)
class Tables:
    """Waves, rates and weights of one ring. Rises come out in kelvin."""

    own: Modes
    wave: Array
    rate: Array
    loss: float
    probe: Array
    weld: Array


@dataclass(frozen=True, eq=False, slots=True)
class WayHeat:
    """Angles and heat of every stretch of a way. Gains are for one watt."""

    gates: Array  # gates × (cos, sin) × waves
    gate_of: NDArray[np.int64]
    along: tuple[Array, ...]
    gains: tuple[State, ...]
    durations_s: Array


@lru_cache(maxsize=64)
def tables(ring: Ring, reading_m: float) -> Tables:
    """The tables of a ring and a place of reading."""
    own = modes(ring)
    spread = ring.diffusivity_m2_s
    thick = 2 * np.pi * ring.mean_radius_m * ring.wall_m * ring.heat_capacity_J_m3K
    count = own.round_arc_1.size
    wave = np.asarray(np.arange(count, dtype=np.float64) ** 2 * spread / ring.mean_radius_m**2)
    rate = own.decay_1_s[0, 0] - ring.loss_rate
    probe, weld = (
        weights_1_m(spread_m2_s=spread, half_length_m=ring.half_length_m, sigma_m=ARC_SIGMA_M, z_m=z) / thick
        for z in (reading_m, 0.0)
    )
    return Tables(own, wave, np.ascontiguousarray(rate), ring.loss_rate, probe, weld)


def turned(own: Modes, angles: Array) -> Array:
    """Cosines and sines of angles for each wave."""
    order = np.arange(own.round_arc_1.size)
    return np.ascontiguousarray(np.stack([np.cos(np.outer(angles, order)), np.sin(np.outer(angles, order))], axis=1))


@lru_cache(maxsize=512)
def way_heat(ring: Ring, way: Way) -> WayHeat:
    """A way's angles and heat."""
    own = modes(ring)
    radius = ring.outer_diameter_m / 2
    gates = np.concatenate([np.linspace(s.from_rad, s.from_rad + s.sweep_rad, GATES) for s in way.stretches])
    durations = np.array([abs(s.sweep_rad) * radius / way.travel_m_s for s in way.stretches])
    nothing = cold(own)
    return WayHeat(
        turned(own, gates),
        np.arange(len(way.stretches) + 1) * GATES,
        tuple(turned(own, np.linspace(s.from_rad, s.from_rad + s.sweep_rad, ALONG)) for s in way.stretches),
        tuple(
            np.ascontiguousarray(with_run(own, nothing, ArcRun(0.0, float(d), s.from_rad, s.sweep_rad, 1.0))[0])
            for s, d in zip(way.stretches, durations, strict=True)
        ),
        durations,
    )


def heat_of(task: Task, layer: Layer, way: int) -> WayHeat:
    """The heat of one way of a layer."""
    return way_heat(task.ring, layer.ways[way])


def nothing_yet(ring: Ring) -> State:
    """The table of a cold joint."""
    return np.ascontiguousarray(cold(modes(ring))[0])
