"""One run on a cold pipe of full wall: answers by Green's function, each with a sum that a person can set beside it.

These cards are what a plan's heat figures open to. The plan itself asks the finite volumes, which know the groove, the
filler, the properties by temperature and the heat of the earlier runs: there the two may differ, and why is known.
"""

from __future__ import annotations

import math
from typing import Any

from brightroot.base.errors import Refused
from brightroot.base.formula import formula
from brightroot.base.source import Standing
from brightroot.physics.heat.questions import Band3, RunHeat, after_run
from brightroot.physics.heat.ring import ArcRun, Ring

HOLDS = {
    "net_power_W": (50.0, 3000.0),
    "arc_time_s": (2.0, 600.0),
    "run_length_m": (0.005, 0.5),
    "wall_m": (0.0005, 0.013),
    "outer_diameter_m": (0.015, 1.0),
    "conductivity_W_mK": (5.0, 60.0),
    "heat_capacity_J_m3K": (1.0e6, 6.0e6),
    "ambient_K": (243.15, 423.15),
}
_WHAT = "∂H/∂t = ∇²∫k dT + arc − losses, finite volumes on the joint's own groove, run after run"
_CARD: dict[str, Any] = {
    "equation": _WHAT,
    "source": "derivation/finite-volumes",
    "where": "full wall: within 1 K at one inch of independent 3-D solutions; the groove's part is checked against finer grids",
    "standing": Standing.DERIVED,
    "holds": HOLDS,
}
_HEAT = "Heat {net_power_W:W.0} W × {arc_time_s:s.0} s. "


def cold_run(
    *, net_power_W: float, arc_time_s: float, run_length_m: float, outer_diameter_m: float, wall_m: float,
    conductivity_W_mK: float, heat_capacity_J_m3K: float, loss_outer_W_m2K: float, loss_inner_W_m2K: float,
    ambient_K: float, limit_K: float, release_K: float, reading_distance_m: float,
) -> RunHeat:  # fmt: skip
    """All answers of one run on a cold, long pipe."""
    ring = Ring(
        outer_diameter_m,
        wall_m,
        1.0,
        conductivity_W_mK,
        heat_capacity_J_m3K,
        loss_outer_W_m2K,
        loss_inner_W_m2K,
        ambient_K,
    )
    run = ArcRun(0.0, arc_time_s, 0.0, run_length_m / (outer_diameter_m / 2), net_power_W)
    return after_run(
        ring=ring, runs=[run], index=0, limit_K=limit_K, release_K=release_K, reading_z_m=reading_distance_m,
        next_run=None, low_1=1.0, high_1=1.0, probe_low_1=1.0, probe_high_1=1.0,
    )  # fmt: skip


def _number(answer: Band3, name: str) -> float:
    if answer.value is None:
        raise Refused(
            field=name, wanted="a pipe that cools within four hours", got="it does not", reason="refused.never"
        )
    return answer.value


@formula(
    result="reading_K",
    hand=_HEAT + "Spread evenly at once over a plate it could rise no more at {reading_distance_m:mm.1} mm than"
    " heat per metre / (wall × ρc × distance × 4.13); the engine says {reading_K:°C.0} °C at arc-off",
    **_CARD,
)
def reading_at_arc_off_K(*, reading_distance_m: float, **run: float) -> float:
    """Temperature at the probe's place at arc-off. It keeps rising: this is not the peak.

    >>> from brightroot.physics.heat.run import EXAMPLE
    >>> round(reading_at_arc_off_K(**EXAMPLE) - 273.15)
    95
    """
    return _number(cold_run(reading_distance_m=reading_distance_m, **run).reading_at_arc_off_K, "reading_K")


@formula(
    result="reading_K",
    hand=_HEAT + "A long bead in a thin plate peaks at heat per metre / (wall × ρc × distance × 4.13) above ambient:"
    " no run can read higher; the engine says {reading_K:°C.0} °C for this one",
    **_CARD,
)
def reading_peak_K(*, reading_distance_m: float, **run: float) -> float:
    """Highest temperature at the probe's place.

    >>> from brightroot.physics.heat.run import EXAMPLE
    >>> round(reading_peak_K(**EXAMPLE) - 273.15)
    184
    """
    return _number(cold_run(reading_distance_m=reading_distance_m, **run).reading_peak_K, "reading_K")


@formula(
    result="peak_after_s",
    hand="heat needs about distance² / (2·diffusivity) = {reading_distance_m:mm.1}² mm² / (2 × k/ρc) to arrive, counted"
    " from the middle of the run; the engine says {peak_after_s:s.0} s after arc-off",
    **_CARD,
)
def peak_after_s(*, reading_distance_m: float, **run: float) -> float:
    """Seconds after arc-off until the probe's place is hottest: a reading before that is still rising.

    >>> from brightroot.physics.heat.run import EXAMPLE
    >>> peak_after_s(**EXAMPLE)
    19.0
    """
    return _number(cold_run(reading_distance_m=reading_distance_m, **run).peak_after_s, "peak_after_s")


@formula(
    result="wait_s",
    hand=_HEAT + "The engine says {wait_s:s.0} s after arc-off until the probe stays under {limit_K:°C.0} °C; the"
    " thermometer decides, not this clock",
    **_CARD,
)
def wait_s(*, limit_K: float, **run: float) -> float:
    """Seconds after arc-off until the probe's place is under the interpass limit and stays there.

    >>> from brightroot.physics.heat.run import EXAMPLE
    >>> round(wait_s(**EXAMPLE))
    133
    """
    return _number(cold_run(limit_K=limit_K, **run).wait_s, "wait_s")


@formula(
    result="hold_s",
    hand=_HEAT
    + "As one spot in a plate it falls to {release_K:°C.0} °C after Q/(4π·k·wall·ΔT), counted from the middle"
    " of the run, a quarter or so too long; the engine says {hold_s:s.0} s after arc-off",
    **_CARD,
)
def hold_s(*, release_K: float, **run: float) -> float:
    """Seconds after arc-off until every part just welded is under the release temperature, outside and inside.

    >>> from brightroot.physics.heat.run import EXAMPLE
    >>> round(hold_s(**EXAMPLE))
    43
    """
    heat = cold_run(release_K=release_K, **run)
    return max(_number(heat.hold_outer_s, "hold_s"), _number(heat.hold_inner_s, "hold_s"))


@formula(
    result="hot_length_m",
    hand="The arc moves {run_length_m:mm.0} mm in {arc_time_s:s.0} s; the engine says that {hot_length_m:mm.0} mm behind it"
    " are over {release_K:°C.0} °C at arc-off",
    **_CARD,
)
def hot_length_m(*, release_K: float, **run: float) -> float:
    """Length behind the arc, along the outer face, that is hotter than the release temperature at arc-off.

    >>> from brightroot.physics.heat.run import EXAMPLE
    >>> round(hot_length_m(**EXAMPLE) * 1000)
    51
    """
    return _number(cold_run(release_K=release_K, **run).hot_length_outer_m, "hot_length_m")


@formula(
    result="hold_s",
    equation="t = Q·t_arc / (4π·k·d·(T − T₀)) − t_arc/2",
    hand="{net_power_W:W.0} × {arc_time_s:s.0} / (4π × {conductivity_W_mK:.1} × {wall_m:mm.2} mm ×"
    " ({release_K:°C.0} − {ambient_K:°C.0}) K) − {arc_time_s:s.0}/2 = {hold_s:s.0} s",
    source="paper/rosenthal-1946",
    where="instantaneous spot in a thin plate, from memory",
    standing=Standing.MEMORY,
    holds={
        k: v for k, v in HOLDS.items() if k in ("net_power_W", "arc_time_s", "wall_m", "conductivity_W_mK", "ambient_K")
    },
)
def spot_hold_s(
    *,
    net_power_W: float,
    arc_time_s: float,
    wall_m: float,
    conductivity_W_mK: float,
    release_K: float,
    ambient_K: float,
) -> float:
    """The hold by hand: all heat as one spot in a plate. For short runs 10 to 40 % longer than the engine's.

    >>> round(spot_hold_s(net_power_W=680, arc_time_s=33.25, wall_m=0.00549, conductivity_W_mK=20, release_K=533.15,
    ...     ambient_K=298.15))
    53
    """
    spot = net_power_W * arc_time_s / (4 * math.pi * conductivity_W_mK * wall_m * (release_K - ambient_K))
    return spot - arc_time_s / 2


EXAMPLE = {
    "net_power_W": 680.0, "arc_time_s": 33.2485, "run_length_m": 0.0465479, "outer_diameter_m": 0.0889, "wall_m": 0.00549,
    "conductivity_W_mK": 20.0, "heat_capacity_J_m3K": 2.706e6, "loss_outer_W_m2K": 12.0, "loss_inner_W_m2K": 8.0,
    "ambient_K": 298.15, "limit_K": 366.45, "release_K": 533.15, "reading_distance_m": 0.0254,
}  # fmt: skip
