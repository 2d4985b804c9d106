"""How far the heat of a run may be off: every doubtful input as a share of the rise, on the weld and at the probe."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from brightroot.base.formula import Assumed, Estimate
from brightroot.base.source import Datum
from brightroot.physics.heat.ring import ArcRun, Ring
from brightroot.physics.heat.sensitivity import Doubts, Swings, probe_swings, weld_swings

WELD_LOOK_S = 30.0  # after arc-off: about the hold


@dataclass(frozen=True, slots=True)
class Metal:
    """The ring's constants as figures with their ranges."""

    conductivity: Assumed
    capacity: Assumed
    loss_outer: Estimate
    loss_inner: Estimate


@dataclass(frozen=True, slots=True)
class Spread:
    """How far the rise of one run swings with everything doubtful, on the hot weld and at the probe."""

    weld: Swings
    probe: Swings


def spread_of(metal: Metal, ring: Ring, run: ArcRun, reading_m: float, cells: Mapping[str, Datum]) -> Spread:
    """The swings of the first run on a cold pipe stand for all: they are shares of the rise."""
    efficiency, travel = cells["efficiency_frac"], cells["travel_spread_1"]
    doubts = Doubts(
        efficiency_1=(efficiency.low / efficiency.value, efficiency.high / efficiency.value),
        speed_1=(travel.low, travel.high),
        conductivity_1=(
            metal.conductivity.low / metal.conductivity.value,
            metal.conductivity.high / metal.conductivity.value,
        ),
        capacity_1=(metal.capacity.low / metal.capacity.value, metal.capacity.high / metal.capacity.value),
        loss_1=(metal.loss_outer.low / metal.loss_outer.value, metal.loss_outer.high / metal.loss_outer.value),
        probe_m=cells["probe_spread_m"].value,
    )
    return Spread(
        weld_swings(ring=ring, run=run, after_s=WELD_LOOK_S, doubts=doubts),
        probe_swings(ring=ring, run=run, reading_z_m=reading_m, doubts=doubts),
    )


# the name of a swing -> the input that it belongs to
SWINGS_OF = {
    "efficiency": "net_power_W",
    "speed": "arc_time_s",
    "wall": "wall_m",
    "conductivity": "conductivity_W_mK",
    "capacity": "heat_capacity_J_m3K",
    "probe": "reading_distance_m",
}


def shares(swings: Swings) -> dict[str, float]:
    """Each input's share of the spread."""
    squares = {SWINGS_OF[s.name]: (s.high_1 - s.low_1) ** 2 for s in swings.each if s.name in SWINGS_OF}
    total = sum(squares.values())
    return {name: square / total for name, square in squares.items()}
