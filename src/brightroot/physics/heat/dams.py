"""How warm a dam gets: the heat of the whole joint arriving along the pipe at where it stands."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from brightroot.base.formula import formula
from brightroot.base.source import Standing
from brightroot.physics.demand import not_negative, positive
from brightroot.physics.heat.green import rise_dK
from brightroot.physics.heat.ring import ArcRun, Ring

AROUND = 8
LOOKS = 160
LAST_S = 3 * 3600.0  # after the last arc the heat still travels
PEAK_1 = 1 / math.sqrt(2 * math.pi * math.e)  # of a plane source, at its best moment


@formula(
    result="rise_dK",
    equation="ΔT_max = H/(ρc·A·z·√(2πe))",
    hand="{net_heat_J:.0} J / (ρc × {section_m2:mm².0} mm² × {distance_m:mm.0} mm × 4.13) = {rise_dK:K.0} K at most",
    source="derivation/heat-conduction",
    where="plane source in a long bar, at its best moment, no losses",
    standing=Standing.DERIVED,
    holds={"distance_m": (0.03, 5.0), "net_heat_J": (1e2, 1e8)},
)
def dam_rise_most_dK(*, net_heat_J: float, capacity_J_m3K: float, section_m2: float, distance_m: float) -> float:
    """The most that heat put in all at once can warm the pipe at a distance, either side, without any loss on the way.

    Real joints are made in an hour and lose most of it to the air: the engine's number is well under this one.

    >>> round(dam_rise_most_dK(net_heat_J=4e5, capacity_J_m3K=2.4e6, section_m2=1.76e-3, distance_m=0.3))
    76
    """
    not_negative(net_heat_J=net_heat_J)
    positive(capacity_J_m3K=capacity_J_m3K, section_m2=section_m2, distance_m=distance_m)
    return net_heat_J / (capacity_J_m3K * section_m2 * distance_m) * PEAK_1


@formula(
    result="dam_K",
    equation="T_dam = T_ambient + ΔT, ΔT by Green's function of all runs at the dam's distance",
    hand="{ambient_K:°C.0} °C and the {rise_dK:K.0} K that the engine finds at the dam = {dam_K:°C.0} °C",
    source="derivation/heat-conduction",
    where="full wall, constant properties",
    standing=Standing.DERIVED,
    holds={"ambient_K": (233.15, 333.15), "rise_dK": (0.0, 600.0)},
)
def dam_K(*, ambient_K: float, rise_dK: float) -> float:
    """Temperature of the pipe's inside where the dam stands, at its warmest; the dam itself gets no warmer.

    >>> round(dam_K(ambient_K=293.15, rise_dK=31.0) - 273.15)
    51
    """
    positive(ambient_K=ambient_K)
    not_negative(rise_dK=rise_dK)
    return ambient_K + rise_dK


def dam_rise_dK(*, ring: Ring, runs: Sequence[ArcRun], distance_m: float) -> float:
    """The largest rise of the inside at a distance from the weld plane, from the first arc to three hours after the last.

    Looks at eight places round the pipe and 160 moments, closer together at first. The pipe goes on past the dam.
    """
    positive(distance_m=distance_m)
    if not runs:
        return 0.0
    long = replace(ring, half_length_m=max(ring.half_length_m, distance_m + 0.1))
    first, last = runs[0].start_s, runs[-1].stop_s
    times = np.concatenate([np.linspace(first, last, LOOKS // 2), last + np.geomspace(5.0, LAST_S, LOOKS // 2)])
    around = np.linspace(0.0, 2 * math.pi, AROUND, endpoint=False)
    seen = rise_dK(ring=long, runs=list(runs), theta_rad=around, z_m=distance_m, side="inside", time_s=times)
    return max(0.0, float(seen.max()))
