"""Gas to finish: what is left in a cylinder by now, what its gauge should read, and what a root and its cooling want."""

from __future__ import annotations

from brightroot.base.formula import card_of, formula
from brightroot.base.source import Standing
from brightroot.physics.demand import not_negative, positive
from brightroot.physics.purge.cylinder import HOLDS, usable_argon_m3

_ABOVE_HEEL = card_of(usable_argon_m3).function  # without its range: the halving looks beyond it


@formula(
    result="usable_argon_m3",
    equation="V_left = V_usable − Σ Q·t",
    hand="{filled_argon_m3:L.0} L above the heel when it was read, less {drawn_argon_m3:L.0} L since"
    " = {usable_argon_m3:L.0} L",
    source="derivation/mass-balance",
    standing=Standing.DERIVED,
)
def left_argon_m3(*, filled_argon_m3: float, drawn_argon_m3: float) -> float:
    """Argon above the heel by now; none where more has been drawn than there was.

    Flows are what the flowmeters were set to: a leak before them, or a flow nobody wrote down, is not in it.

    >>> round(left_argon_m3(filled_argon_m3=2.0, drawn_argon_m3=0.75), 2)
    1.25
    """
    not_negative(filled_argon_m3=filled_argon_m3, drawn_argon_m3=drawn_argon_m3)
    return max(0.0, filled_argon_m3 - drawn_argon_m3)


@formula(
    result="wanted_argon_m3",
    equation="V = m·ΣQ·t",
    hand="{reserve_1:.2} × ({torch_m3:L.0} + {trail_m3:L.0} + {backing_m3:L.0}) L = {wanted_argon_m3:L.0} L",
    source="derivation/mass-balance",
    standing=Standing.DERIVED,
    holds={"reserve_1": (1.0, 3.0)},
)
def wanted_argon_m3(*, torch_m3: float, trail_m3: float, backing_m3: float, reserve_1: float) -> float:
    """Argon that the arcs ahead and their cooling want, with a reserve for whatever takes longer.

    >>> round(wanted_argon_m3(torch_m3=0.1, trail_m3=0.2, backing_m3=0.3, reserve_1=1.25), 2)
    0.75
    """
    not_negative(torch_m3=torch_m3, trail_m3=trail_m3, backing_m3=backing_m3)
    positive(reserve_1=reserve_1)
    return reserve_1 * (torch_m3 + trail_m3 + backing_m3)


@formula(
    result="cylinder_pressure_Pa",
    equation="solve V(p) − V(p_heel) = V_left for p",
    hand="{usable_argon_m3:L.0} L above the heel of {heel_pressure_Pa:bar.0} bar in {water_volume_m3:L.0} L at"
    " {cylinder_K:°C.0} °C: the gauge should show about {cylinder_pressure_Pa:bar.0} bar",
    source="derivation/real-gas",
    standing=Standing.DERIVED,
    holds={"water_volume_m3": (0.0005, 1.0), "cylinder_K": HOLDS["cylinder_K"], "heel_pressure_Pa": (0.0, 310e5)},
)
def left_pressure_Pa(
    *,
    usable_argon_m3: float,
    heel_pressure_Pa: float,
    cylinder_K: float,
    water_volume_m3: float,
    reference_K: float,
    reference_pressure_Pa: float,
) -> float:
    """What the gauge should show by now: a gauge that shows less has a leak, or a flow nobody wrote down.

    Solved by halving to 100 Pa; at most 310 bar.

    >>> p = left_pressure_Pa(usable_argon_m3=6.84, heel_pressure_Pa=70e5, cylinder_K=293.15, water_volume_m3=0.05,
    ...                      reference_K=293.15, reference_pressure_Pa=101325)
    >>> round(p / 1e5)
    200
    """
    not_negative(usable_argon_m3=usable_argon_m3)
    fixed = {
        "heel_pressure_Pa": heel_pressure_Pa,
        "cylinder_K": cylinder_K,
        "water_volume_m3": water_volume_m3,
        "reference_K": reference_K,
        "reference_pressure_Pa": reference_pressure_Pa,
    }
    low, high = heel_pressure_Pa, 310e5
    while high - low > 100.0:
        middle = (low + high) / 2
        enough = _ABOVE_HEEL(cylinder_pressure_Pa=middle, **fixed) >= usable_argon_m3
        low, high = (low, middle) if enough else (middle, high)
    return (low + high) / 2
