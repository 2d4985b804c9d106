"""How fast the torch goes: from a watch and a rule, or from what the arc can melt."""

from __future__ import annotations

from brightroot.base.formula import formula
from brightroot.base.source import Standing
from brightroot.physics.demand import fraction, positive

TRAVEL_HOLDS = {"travel_m_s": (0.0002, 0.02)}


@formula(
    result="travel_m_s",
    equation="v = length / arc time",
    hand="{run_length_m:mm.0} mm in {arc_time_s:s.0} s of arc × 60 = {travel_m_s:mm/min.0} mm/min",
    source="derivation/geometry",
    standing=Standing.DERIVED,
    holds={"run_length_m": (0.003, 5.0), "arc_time_s": (1.0, 7200.0)},
)
def travel_m_s(*, run_length_m: float, arc_time_s: float) -> float:
    """Mean travel of a run: bead length over the time that the arc was on; stops do not count.

    >>> round(travel_m_s(run_length_m=0.06, arc_time_s=40) * 60000)
    90
    """
    positive(run_length_m=run_length_m, arc_time_s=arc_time_s)
    return run_length_m / arc_time_s


@formula(
    result="arc_time_s",
    equation="t = length / v",
    hand="{run_length_m:mm.0} mm at {travel_m_s:mm/min.0} mm/min × 60 = {arc_time_s:s.0} s",
    source="derivation/geometry",
    standing=Standing.DERIVED,
    holds={"run_length_m": (0.003, 5.0), **TRAVEL_HOLDS},
)
def arc_time_s(*, run_length_m: float, travel_m_s: float) -> float:
    """Time that the arc is on for a run of a given length.

    >>> arc_time_s(run_length_m=0.06, travel_m_s=0.0015)
    40.0
    """
    positive(run_length_m=run_length_m, travel_m_s=travel_m_s)
    return run_length_m / travel_m_s


@formula(
    result="travel_m_s",
    equation="v = η·U·I·f_melt / (ρ·h_melt·A_fused)",
    hand="of {voltage_V:V.1} V × {current_A:A.0} A, {efficiency_frac:%.0} % reaches the pipe and"
    " {melting_frac:%.0} % of that melts; over {density_kg_m3} kg/m³ × {melt_enthalpy_J_kg} J/kg ×"
    " {fused_area_m2:mm².1} mm²"
    " = {travel_m_s:mm/min.0} mm/min",
    source="derivation/mass-balance",
    where="heat balance of the melted section",
    standing=Standing.DERIVED,
    holds={
        "efficiency_frac": (0.3, 1.0),
        "melting_frac": (0.05, 0.7),
        "voltage_V": (5.0, 40.0),
        "current_A": (3.0, 500.0),
        "fused_area_m2": (1e-6, 2e-4),
    },
)
def travel_from_melt_m_s(
    *,
    efficiency_frac: float,
    melting_frac: float,
    voltage_V: float,
    current_A: float,
    density_kg_m3: float,
    melt_enthalpy_J_kg: float,
    fused_area_m2: float,
) -> float:
    """Travel at which the arc melts just the section wanted: rod metal and the edges it fuses.

    `melt_enthalpy_J_kg` is the heat from the joint's temperature to liquid, latent heat included. `melting_frac`, the
    share of the heat that melts rather than warms the pipe, is the uncertain one (roughly 0.1 to 0.5, more for fast
    strong runs, from memory): give it a range. Other inputs equal, travel is proportional to power.

    >>> v = travel_from_melt_m_s(efficiency_frac=0.65, melting_frac=0.25, voltage_V=10, current_A=70,
    ...     density_kg_m3=4510, melt_enthalpy_J_kg=1.4e6, fused_area_m2=10e-6)
    >>> round(v * 60000)
    108
    """
    fraction(efficiency_frac=efficiency_frac, melting_frac=melting_frac)
    positive(
        efficiency_frac=efficiency_frac,
        melting_frac=melting_frac,
        voltage_V=voltage_V,
        current_A=current_A,
        density_kg_m3=density_kg_m3,
        melt_enthalpy_J_kg=melt_enthalpy_J_kg,
        fused_area_m2=fused_area_m2,
    )
    melting_W = efficiency_frac * melting_frac * voltage_V * current_A
    return melting_W / (density_kg_m3 * melt_enthalpy_J_kg * fused_area_m2)
