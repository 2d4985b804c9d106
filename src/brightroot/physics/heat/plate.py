"""Plates: the closed answers that the engine must meet in its limits, and that a person can work out on paper."""

from __future__ import annotations

import math

from scipy.special import k0e

from brightroot.base.formula import formula
from brightroot.base.source import Standing
from brightroot.physics.demand import positive

_METAL = {"conductivity_W_mK": (5.0, 100.0), "heat_capacity_J_m3K": (1.0e6, 6.0e6)}


@formula(
    result="rise_dK",
    equation="ΔT = Q/(2π·k·r) · exp(−v·(ξ + r)/2a)",
    hand="{net_power_W:W.0} W / (2π × {conductivity_W_mK:.1} × distance), less what the arc has not yet warmed:"
    " {rise_dK:K.0} K",
    source="paper/rosenthal-1946",
    where="moving point on a thick plate, from memory",
    standing=Standing.MEMORY,
    holds=_METAL,
)
def thick_plate_rise_dK(
    *, net_power_W: float, travel_m_s: float, ahead_m: float, across_m: float, conductivity_W_mK: float,
    heat_capacity_J_m3K: float,
) -> float:  # fmt: skip
    """Steady rise on the surface of a thick plate under a moving point; `ahead_m` is negative behind the arc.

    >>> round(thick_plate_rise_dK(net_power_W=1000, travel_m_s=0.002, ahead_m=-0.02, across_m=0.0,
    ...     conductivity_W_mK=20.0, heat_capacity_J_m3K=2.7e6))
    398
    """
    away = math.hypot(ahead_m, across_m)
    positive(away_m=away, conductivity_W_mK=conductivity_W_mK, heat_capacity_J_m3K=heat_capacity_J_m3K)
    pace = travel_m_s * heat_capacity_J_m3K / (2 * conductivity_W_mK)
    return net_power_W / (2 * math.pi * conductivity_W_mK * away) * math.exp(-pace * (ahead_m + away))


@formula(
    result="rise_dK",
    equation="ΔT = Q/(2π·k·d) · exp(−v·ξ/2a) · K₀(v·r/2a)",
    hand="{net_power_W:W.0} W / (2π × {conductivity_W_mK:.1} × {wall_m:mm.2} mm) × Bessel's K₀: {rise_dK:K.0} K",
    source="paper/rosenthal-1946",
    where="moving line through a thin plate, from memory",
    standing=Standing.MEMORY,
    holds={**_METAL, "wall_m": (0.0003, 0.02)},
)
def thin_plate_rise_dK(
    *, net_power_W: float, travel_m_s: float, ahead_m: float, across_m: float, wall_m: float,
    conductivity_W_mK: float, heat_capacity_J_m3K: float,
) -> float:  # fmt: skip
    """Steady rise in a thin plate without losses under a moving line source; `ahead_m` is negative behind the arc.

    >>> round(thin_plate_rise_dK(net_power_W=600, travel_m_s=0.002, ahead_m=0.0, across_m=0.0254, wall_m=0.003,
    ...     conductivity_W_mK=20.0, heat_capacity_J_m3K=2.7e6))
    34
    """
    away = math.hypot(ahead_m, across_m)
    positive(away_m=away, wall_m=wall_m, conductivity_W_mK=conductivity_W_mK, heat_capacity_J_m3K=heat_capacity_J_m3K)
    pace = travel_m_s * heat_capacity_J_m3K / (2 * conductivity_W_mK)
    bessel = float(k0e(pace * away)) * math.exp(-pace * (ahead_m + away))
    return net_power_W / (2 * math.pi * conductivity_W_mK * wall_m) * bessel


@formula(
    result="hold_s",
    equation="t = (q/d)² / (4π·k·ρc·(T − T₀)²)",
    hand="({heat_input_J_m:kJ/mm.3} kJ/mm / {wall_m:mm.2} mm)² / (4π × {conductivity_W_mK:.1} × ρc ×"
    " ({release_K:°C.0} − {ambient_K:°C.0})² K²) = {hold_s:s.0} s",
    source="paper/rosenthal-1946",
    where="thin plate, long bead, on the weld line, from memory",
    standing=Standing.MEMORY,
    holds={**_METAL, "wall_m": (0.0003, 0.02), "heat_input_J_m": (1e4, 3e6)},
)
def long_bead_hold_s(
    *, heat_input_J_m: float, wall_m: float, conductivity_W_mK: float, heat_capacity_J_m3K: float, release_K: float,
    ambient_K: float,
) -> float:  # fmt: skip
    """Time to cool to a temperature behind a bead that never ends, in a wide cold plate without losses.

    Net heat a metre. A short run cools sideways too: for a quarter of NPS 3 this is about five times the engine's
    hold. It bounds the hold from above until the pipe as a whole is warm.

    >>> round(long_bead_hold_s(heat_input_J_m=485.7e3, wall_m=0.00549, conductivity_W_mK=20, heat_capacity_J_m3K=2.706e6,
    ...     release_K=533.15, ambient_K=298.15))
    208
    """
    positive(
        heat_input_J_m=heat_input_J_m, wall_m=wall_m, conductivity_W_mK=conductivity_W_mK,
        heat_capacity_J_m3K=heat_capacity_J_m3K, over_ambient_K=release_K - ambient_K,
    )  # fmt: skip
    spread = 4 * math.pi * conductivity_W_mK * heat_capacity_J_m3K
    return (heat_input_J_m / wall_m / (release_K - ambient_K)) ** 2 / spread


@formula(
    result="cooling_s",
    equation="t8/5 = (4300 − 4.3·T₀)·10⁵·(q/d)²·(1/(500 − T₀)² − 1/(800 − T₀)²)",
    hand="{heat_input_J_m:kJ/mm.2} kJ/mm in {wall_m:mm.1} mm of steel at {ambient_K:°C.0} °C: {cooling_s:s.1} s",
    source="standard/en-1011-2",
    where="two-dimensional heat flow, shape factor 1, from memory",
    standing=Standing.MEMORY,
    holds={"heat_input_J_m": (1e5, 3e6), "wall_m": (0.001, 0.02), "ambient_K": (253.15, 573.15)},
)
def steel_cooling_s(*, heat_input_J_m: float, wall_m: float, ambient_K: float) -> float:
    """Cooling time of unalloyed steel from 800 to 500 °C in a thin plate: a check on the engine, no figure of a plan.

    Its coefficient stands for λρc = 1.85e8 at 0 °C and 1.888e8 W·J/(m⁴K²) at 20 °C.

    >>> round(steel_cooling_s(heat_input_J_m=500e3, wall_m=0.004, ambient_K=293.15), 1)
    17.8
    """
    positive(heat_input_J_m=heat_input_J_m, wall_m=wall_m, ambient_K=ambient_K)
    cold = ambient_K - 273.15
    share = (heat_input_J_m / 1e6 / (wall_m * 1e3)) ** 2
    return (4300 - 4.3 * cold) * 1e5 * share * (1 / (500 - cold) ** 2 - 1 / (800 - cold) ** 2)
