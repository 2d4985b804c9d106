"""Pressure inside: the vent and the open gap as one orifice, the weight of an argon column, and the wind."""

from __future__ import annotations

import math

from brightroot.base.formula import formula
from brightroot.base.source import Standing
from brightroot.physics.demand import fraction, not_negative, positive

SHARP_EDGE_1 = 0.61  # discharge coefficient of a sharp-edged opening
GRAVITY_m_s2 = 9.80665
DENSITY = {"density_kg_m3": (0.5, 3.0), "discharge_1": (0.4, 1.0)}


@formula(
    result="opening_area_m2",
    equation="A = π/4·d²",
    hand="π/4 × {opening_diameter_m:mm.1}² = {opening_area_m2:mm².1} mm²",
    source="derivation/geometry",
    standing=Standing.DERIVED,
    holds={"opening_diameter_m": (0.0005, 0.2)},
)
def opening_area_m2(*, opening_diameter_m: float) -> float:
    """Area of a round vent.

    >>> round(opening_area_m2(opening_diameter_m=0.005) * 1e6, 2)
    19.63
    """
    positive(opening_diameter_m=opening_diameter_m)
    return math.pi / 4 * opening_diameter_m**2


@formula(
    result="overpressure_Pa",
    equation="Δp = ρ/2·(Q/(C_d·(A_vent + A_gap)))²",
    hand="{density_kg_m3} / 2 × ({flow_m3_s:m³/s} / ({discharge_1:.2} × ({vent_area_m2:m²} + {gap_area_m2:m²})))²"
    " = {overpressure_Pa:Pa.1} Pa",
    source="derivation/orifice",
    standing=Standing.DERIVED,
    holds={**DENSITY, "flow_m3_s": (0.0, 5e-3)},
)
def overpressure_Pa(
    *, flow_m3_s: float, vent_area_m2: float, gap_area_m2: float, density_kg_m3: float, discharge_1: float
) -> float:
    """Pressure inside over that outside when the flow leaves through the vent and the open gap.

    Openings in parallel share one pressure, so their areas add; give zero for the one that is shut. No opening at all
    is refused: the pressure would climb to the regulator's. Long thin paths (tape laps, hoses) resist more than this.

    >>> p = overpressure_Pa(flow_m3_s=10 / 6e4, vent_area_m2=19.635e-6, gap_area_m2=0, density_kg_m3=1.6618,
    ...                     discharge_1=0.61)
    >>> round(p)
    161
    """
    not_negative(flow_m3_s=flow_m3_s, vent_area_m2=vent_area_m2, gap_area_m2=gap_area_m2)
    positive(open_area_m2=vent_area_m2 + gap_area_m2, density_kg_m3=density_kg_m3, discharge_1=discharge_1)
    return density_kg_m3 / 2 * (flow_m3_s / (discharge_1 * (vent_area_m2 + gap_area_m2))) ** 2


@formula(
    result="flow_m3_s",
    equation="Q = C_d·(A_vent + A_gap)·√(2Δp/ρ)",
    hand="{discharge_1:.2} × ({vent_area_m2:m²} + {gap_area_m2:m²}) × √(2 × {overpressure_Pa:Pa.0} / {density_kg_m3})"
    " = {flow_m3_s:L/min.1} L/min",
    source="derivation/orifice",
    standing=Standing.DERIVED,
    holds={**DENSITY, "overpressure_Pa": (0.0, 5000.0)},
)
def flow_for_pressure_m3_s(
    *, overpressure_Pa: float, vent_area_m2: float, gap_area_m2: float, density_kg_m3: float, discharge_1: float
) -> float:
    """Flow that keeps the inside at a pressure: what to step down to before the last arc closes (gap area zero).

    >>> q = flow_for_pressure_m3_s(overpressure_Pa=25, vent_area_m2=19.635e-6, gap_area_m2=0, density_kg_m3=1.6618,
    ...                            discharge_1=0.61)
    >>> round(q * 6e4, 1)
    3.9
    """
    not_negative(overpressure_Pa=overpressure_Pa, vent_area_m2=vent_area_m2, gap_area_m2=gap_area_m2)
    positive(open_area_m2=vent_area_m2 + gap_area_m2, density_kg_m3=density_kg_m3, discharge_1=discharge_1)
    return discharge_1 * (vent_area_m2 + gap_area_m2) * math.sqrt(2 * overpressure_Pa / density_kg_m3)


@formula(
    result="vent_diameter_m",
    equation="d = 2·√(A/π)",
    hand="2 × √({vent_area_m2:mm².1} mm² / π) = {vent_diameter_m:mm.1} mm",
    source="derivation/geometry",
    standing=Standing.DERIVED,
    holds={"vent_area_m2": (0.0, 0.1)},
)
def vent_diameter_m(*, vent_area_m2: float) -> float:
    """Diameter of the round vent with that area.

    >>> round(vent_diameter_m(vent_area_m2=50.27e-6) * 1000, 1)
    8.0
    """
    not_negative(vent_area_m2=vent_area_m2)
    return 2 * math.sqrt(vent_area_m2 / math.pi)


@formula(
    result="vent_area_m2",
    equation="A_vent = Q/(C_d·√(2Δp/ρ)) − A_gap",
    hand="{flow_m3_s:m³/s} / ({discharge_1:.2} × √(2 × {overpressure_Pa:Pa.0} / {density_kg_m3})) − {gap_area_m2:m²}"
    " = {vent_area_m2:mm².1} mm²",
    source="derivation/orifice",
    standing=Standing.DERIVED,
    holds={**DENSITY, "overpressure_Pa": (0.5, 5000.0)},
)
def vent_area_needed_m2(
    *, flow_m3_s: float, overpressure_Pa: float, gap_area_m2: float, density_kg_m3: float, discharge_1: float
) -> float:
    """Vent that keeps the pressure at a limit; zero where the gap alone is already enough.

    >>> a = vent_area_needed_m2(flow_m3_s=3.9 / 6e4, overpressure_Pa=25, gap_area_m2=0, density_kg_m3=1.6618,
    ...                         discharge_1=0.61)
    >>> round(a * 1e6, 1)
    19.4
    """
    not_negative(flow_m3_s=flow_m3_s, gap_area_m2=gap_area_m2)
    positive(overpressure_Pa=overpressure_Pa, density_kg_m3=density_kg_m3, discharge_1=discharge_1)
    needed_m2 = flow_m3_s / (discharge_1 * math.sqrt(2 * overpressure_Pa / density_kg_m3))
    return max(0.0, needed_m2 - gap_area_m2)


@formula(
    result="gap_share_frac",
    equation="share = A_gap/(A_vent + A_gap)",
    hand="{gap_area_m2:mm².1} / ({vent_area_m2:mm².1} + {gap_area_m2:mm².1})"
    " = {gap_share_frac:%.0} % leaves by the gap",
    source="derivation/orifice",
    standing=Standing.DERIVED,
)
def gap_share_frac(*, vent_area_m2: float, gap_area_m2: float) -> float:
    """Share of the flow that leaves through the open gap rather than the vent.

    Buoyancy is left out: near twelve less leaves by the gap, near six more.

    >>> round(gap_share_frac(vent_area_m2=20e-6, gap_area_m2=60e-6), 2)
    0.75
    """
    not_negative(vent_area_m2=vent_area_m2, gap_area_m2=gap_area_m2)
    positive(open_area_m2=vent_area_m2 + gap_area_m2)
    return gap_area_m2 / (vent_area_m2 + gap_area_m2)


@formula(
    result="outflow_speed_m_s",
    equation="v = share·Q/A",
    hand="{share_frac:%.0} % of {flow_m3_s:L/min.1} L/min through {open_area_m2:mm².1} mm²"
    " = {outflow_speed_m_s:mm/s.0} mm/s",
    source="derivation/mass-balance",
    standing=Standing.DERIVED,
)
def outflow_speed_m_s(*, flow_m3_s: float, share_frac: float, open_area_m2: float) -> float:
    """Mean speed at which gas leaves through an opening that takes a share of the flow.

    >>> round(outflow_speed_m_s(flow_m3_s=10 / 6e4, share_frac=0.75, open_area_m2=160e-6), 2)
    0.78
    """
    not_negative(flow_m3_s=flow_m3_s)
    fraction(share_frac=share_frac)
    positive(open_area_m2=open_area_m2)
    return share_frac * flow_m3_s / open_area_m2


@formula(
    result="column_Pa",
    equation="Δp = (ρ_argon − ρ_air)·g·h",
    hand="({argon_density_kg_m3} − {air_density_kg_m3}) × 9.81 × {height_m:m.1} m = {column_Pa:Pa.1} Pa",
    source="derivation/buoyancy",
    standing=Standing.DERIVED,
    holds={"height_m": (0.0, 200.0)},
)
def column_Pa(*, height_m: float, argon_density_kg_m3: float, air_density_kg_m3: float) -> float:
    """Pressure at the foot of a riser full of argon, over the air outside: it pushes out low and sucks in high.

    >>> round(column_Pa(height_m=1, argon_density_kg_m3=1.6618, air_density_kg_m3=1.2046), 1)
    4.5
    """
    not_negative(height_m=height_m)
    positive(argon_density_kg_m3=argon_density_kg_m3, air_density_kg_m3=air_density_kg_m3)
    return (argon_density_kg_m3 - air_density_kg_m3) * GRAVITY_m_s2 * height_m


@formula(
    result="wind_Pa",
    equation="Δp = ρ_air/2·w²",
    hand="{air_density_kg_m3} / 2 × {wind_m_s:m/s.1}² = {wind_Pa:Pa.1} Pa",
    source="derivation/orifice",
    where="stagnation pressure",
    standing=Standing.DERIVED,
    holds={"wind_m_s": (0.0, 30.0)},
)
def wind_Pa(*, wind_m_s: float, air_density_kg_m3: float) -> float:
    """Pressure of wind straight on an opening; the most a draught can do.

    >>> round(wind_Pa(wind_m_s=2, air_density_kg_m3=1.2046), 1)
    2.4
    """
    not_negative(wind_m_s=wind_m_s)
    positive(air_density_kg_m3=air_density_kg_m3)
    return air_density_kg_m3 / 2 * wind_m_s**2


@formula(
    result="wind_m_s",
    equation="w = √(2Δp/ρ_air)",
    hand="√(2 × {overpressure_Pa:Pa.2} / {air_density_kg_m3}) = {wind_m_s:m/s.1} m/s",
    source="derivation/orifice",
    where="stagnation pressure",
    standing=Standing.DERIVED,
    holds={"overpressure_Pa": (0.0, 5000.0)},
)
def wind_withstood_m_s(*, overpressure_Pa: float, air_density_kg_m3: float) -> float:
    """Wind straight on an opening at which its pressure is that inside: more, and air is blown in.

    A shop's draught is enough for an open arc; only tape and screens help there.

    >>> round(wind_withstood_m_s(overpressure_Pa=2.409, air_density_kg_m3=1.2046), 2)
    2.0
    """
    not_negative(overpressure_Pa=overpressure_Pa)
    positive(air_density_kg_m3=air_density_kg_m3)
    return math.sqrt(2 * overpressure_Pa / air_density_kg_m3)
