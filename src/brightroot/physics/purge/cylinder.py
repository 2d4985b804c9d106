"""Argon in cylinders: what one holds as a real gas, what is left above the heel, how long it lasts, how many it takes.

Pressures are absolute: a gauge reads about one bar less. Volumes are at a stated reference pressure and temperature;
flowmeters and gas suppliers use different ones (15 °C or 20 °C, 1 atm or 1 bar), which alone makes 3 %.
"""

from __future__ import annotations

import math

from brightroot.base.errors import Refused
from brightroot.base.formula import formula
from brightroot.base.source import Standing
from brightroot.physics.demand import not_negative, positive, said

# Z − 1 as a sum over powers of p/100 bar (rows, from 1) and of T/293.15 K − 1 (columns, from 0), least squares on the
# reference equation of state between 0.5 and 310 bar and −30 and 60 °C
REAL_GAS = (
    (-0.0674703, 0.329394, -0.645592),
    (0.0124374, 0.0337435, -0.406292),
    (0.00546711, -0.0632795, 0.359856),
    (-0.000862855, 0.0097376, -0.0575114),
)
HOLDS = {"cylinder_pressure_Pa": (0.0, 310e5), "cylinder_K": (243.15, 333.15)}


@formula(
    result="compressibility_1",
    equation="Z = 1 + Σ a_ij·(p/100 bar)^i·(T/293.15 − 1)^j, i 1–4, j 0–2",
    hand="argon at {cylinder_pressure_Pa:bar.0} bar and {cylinder_K:°C.0} °C: Z = {compressibility_1:.4}",
    source="derivation/real-gas",
    where="fit to the reference equation of state",
    standing=Standing.DERIVED,
    holds=HOLDS,
)
def compressibility_1(*, cylinder_pressure_Pa: float, cylinder_K: float) -> float:
    """Compressibility factor of argon; below one, so a full cylinder holds more than the ideal gas.

    Within 0.13 % of the reference equation of state from 1 to 300 bar and −20 to 50 °C, 0.35 % at the card's corners.

    >>> round(compressibility_1(cylinder_pressure_Pa=200e5, cylinder_K=293.15), 4)
    0.9447
    """
    return _compressibility(pressure_Pa=cylinder_pressure_Pa, gas_K=cylinder_K)


@formula(
    result="argon_m3",
    equation="V = V_water·(p/Z)·(T_ref/T)·(Z_ref/p_ref)",
    hand="{water_volume_m3:L.0} L × {cylinder_pressure_Pa:bar.0} bar / Z × {reference_K:K.2} K / {cylinder_K:K.2} K"
    " / {reference_pressure_Pa:bar.3} bar = {argon_m3:m³.2} m³",
    source="derivation/real-gas",
    standing=Standing.DERIVED,
    holds={**HOLDS, "water_volume_m3": (0.0005, 1.0), "reference_K": (273.15, 298.15)},
)
def cylinder_argon_m3(
    *,
    cylinder_pressure_Pa: float,
    cylinder_K: float,
    water_volume_m3: float,
    reference_K: float,
    reference_pressure_Pa: float,
) -> float:
    """All of the argon in a cylinder, as a volume at the reference state.

    The gas must have had time to take the temperature given: a cylinder in the sun reads high, a fresh draw reads low.

    >>> v = cylinder_argon_m3(cylinder_pressure_Pa=200e5, cylinder_K=293.15, water_volume_m3=0.05,
    ...                       reference_K=288.15, reference_pressure_Pa=101325)
    >>> round(v, 2)
    10.26
    """
    return _argon_m3(
        pressure_Pa=cylinder_pressure_Pa,
        gas_K=cylinder_K,
        water_volume_m3=water_volume_m3,
        reference_K=reference_K,
        reference_pressure_Pa=reference_pressure_Pa,
    )


@formula(
    result="usable_argon_m3",
    equation="V_usable = V(p) − V(p_heel)",
    hand="what is in {water_volume_m3:L.0} L at {cylinder_pressure_Pa:bar.0} bar less what is in it at"
    " {heel_pressure_Pa:bar.0} bar = {usable_argon_m3:m³.2} m³",
    source="derivation/real-gas",
    standing=Standing.DERIVED,
    holds={**HOLDS, "heel_pressure_Pa": (0.0, 310e5), "water_volume_m3": (0.0005, 1.0)},
)
def usable_argon_m3(
    *,
    cylinder_pressure_Pa: float,
    heel_pressure_Pa: float,
    cylinder_K: float,
    water_volume_m3: float,
    reference_K: float,
    reference_pressure_Pa: float,
) -> float:
    """Argon that may be drawn before the pressure reaches the heel; none where it is already there.

    Some shops take a cylinder off titanium at 69 bar (1000 psi), as moisture rises toward the end.

    >>> v = usable_argon_m3(cylinder_pressure_Pa=200e5, heel_pressure_Pa=70e5, cylinder_K=293.15,
    ...                     water_volume_m3=0.05, reference_K=293.15, reference_pressure_Pa=101325)
    >>> round(30.2 / v, 1)
    4.4
    """
    not_negative(cylinder_pressure_Pa=cylinder_pressure_Pa, heel_pressure_Pa=heel_pressure_Pa)
    full_m3, heel_m3 = (
        _argon_m3(
            pressure_Pa=pressure_Pa,
            gas_K=cylinder_K,
            water_volume_m3=water_volume_m3,
            reference_K=reference_K,
            reference_pressure_Pa=reference_pressure_Pa,
        )
        for pressure_Pa in (cylinder_pressure_Pa, heel_pressure_Pa)
    )
    return max(0.0, full_m3 - heel_m3)


@formula(
    result="gas_left_s",
    equation="t = V_usable/Q",
    hand="{usable_argon_m3:L.0} L / {flow_m3_s:L/min.1} L/min = {gas_left_s:min.1} min",
    source="derivation/mass-balance",
    standing=Standing.DERIVED,
    holds={"flow_m3_s": (1e-6, 5e-3)},
)
def gas_left_s(*, usable_argon_m3: float, flow_m3_s: float) -> float:
    """How long the usable gas lasts with every flow on; flow and volume at the same reference state.

    >>> round(gas_left_s(usable_argon_m3=0.5, flow_m3_s=34 / 6e4) / 60, 1)
    14.7
    """
    not_negative(usable_argon_m3=usable_argon_m3)
    positive(flow_m3_s=flow_m3_s)
    return usable_argon_m3 / flow_m3_s


@formula(
    result="cylinders_1",
    equation="n = V_total/V_usable",
    hand="{total_argon_m3:m³.1} m³ / {usable_argon_m3:m³.2} m³ a cylinder = {cylinders_1:.1}",
    source="derivation/mass-balance",
    standing=Standing.DERIVED,
)
def cylinders_1(*, total_argon_m3: float, usable_argon_m3: float) -> float:
    """Cylinders that a total takes, not rounded: 3.0 says how near the edge it is.

    >>> round(cylinders_1(total_argon_m3=30.2, usable_argon_m3=10.19), 2)
    2.96
    """
    return _cylinders(total_argon_m3=total_argon_m3, usable_argon_m3=usable_argon_m3)


@formula(
    result="cylinders_count",
    equation="n = ⌈V_total/V_usable⌉",
    hand="{total_argon_m3:m³.1} m³ in cylinders that give {usable_argon_m3:m³.2} m³ each: {cylinders_count:.0}",
    source="derivation/mass-balance",
    standing=Standing.DERIVED,
)
def cylinders_count(*, total_argon_m3: float, usable_argon_m3: float) -> int:
    """Whole cylinders to have at hand.

    >>> cylinders_count(total_argon_m3=30.2, usable_argon_m3=6.84)
    5
    """
    return math.ceil(_cylinders(total_argon_m3=total_argon_m3, usable_argon_m3=usable_argon_m3) - 1e-9)


def _compressibility(*, pressure_Pa: float, gas_K: float) -> float:
    not_negative(cylinder_pressure_Pa=pressure_Pa)
    positive(cylinder_K=gas_K)
    p, t = pressure_Pa / 1e7, gas_K / 293.15 - 1
    z = 0.0
    for first, second, third in reversed(REAL_GAS):
        z = (z + first + second * t + third * t * t) * p
    return 1 + z


def _argon_m3(
    *, pressure_Pa: float, gas_K: float, water_volume_m3: float, reference_K: float, reference_pressure_Pa: float
) -> float:
    positive(water_volume_m3=water_volume_m3, reference_K=reference_K, reference_pressure_Pa=reference_pressure_Pa)
    inside = pressure_Pa / (_compressibility(pressure_Pa=pressure_Pa, gas_K=gas_K) * gas_K)
    outside = reference_pressure_Pa / (
        _compressibility(pressure_Pa=reference_pressure_Pa, gas_K=reference_K) * reference_K
    )
    return water_volume_m3 * inside / outside


def _cylinders(*, total_argon_m3: float, usable_argon_m3: float) -> float:
    not_negative(total_argon_m3=total_argon_m3)
    if not usable_argon_m3 > 0:
        got = said(usable_argon_m3, name="usable_argon_m3")
        raise Refused(field="usable_argon_m3", wanted="some gas above the heel pressure", got=got)
    return total_argon_m3 / usable_argon_m3
