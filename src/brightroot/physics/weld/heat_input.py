"""Heat a length of weld: what the arc spends, and the share of it that a rule book counts as heat input."""

from __future__ import annotations

from brightroot.base.formula import formula
from brightroot.base.source import Standing
from brightroot.physics.demand import fraction, positive

EN_1011_1_GTAW = 0.6  # efficiency that EN 1011-1 gives for process 141, as reprinted by TWI and steel makers
HOLDS = {"voltage_V": (5.0, 40.0), "current_A": (3.0, 500.0), "travel_m_s": (0.0002, 0.02)}


@formula(
    result="arc_energy_J_m",
    equation="E = U·I/v",
    hand="{voltage_V:V.1} V × {current_A:A.0} A × 60 / (1000 × {travel_m_s:mm/min.0} mm/min)"
    " = {arc_energy_J_m:kJ/mm.2} kJ/mm",
    source="standard/en-1011-1",
    where="clause on heat input, efficiency 1",
    standing=Standing.PUBLISHED,
    holds=HOLDS,
)
def arc_energy_J_m(*, voltage_V: float, current_A: float, travel_m_s: float) -> float:
    """Energy that the arc spends on a metre of weld, after EN 1011-1 with efficiency 1.

    Mean voltage and current of a steady arc; with pulsed current the mean of the product is wanted instead.
    Some American codes call this figure heat input.

    >>> round(arc_energy_J_m(voltage_V=10, current_A=70, travel_m_s=0.0015) / 1e6, 3)
    0.467
    """
    positive(voltage_V=voltage_V, current_A=current_A, travel_m_s=travel_m_s)
    return voltage_V * current_A / travel_m_s


@formula(
    result="heat_input_J_m",
    equation="Q = η·U·I/v",
    hand="{efficiency_frac:1.2} × {voltage_V:V.1} V × {current_A:A.0} A × 60 / (1000 × {travel_m_s:mm/min.0} mm/min)"
    " = {heat_input_J_m:kJ/mm.2} kJ/mm",
    source="standard/en-1011-1",
    where="clause on heat input; table of efficiencies: process 141, 0.6",
    standing=Standing.PUBLISHED,
    holds={**HOLDS, "efficiency_frac": (0.3, 1.0)},
)
def heat_input_J_m(*, efficiency_frac: float, voltage_V: float, current_A: float, travel_m_s: float) -> float:
    """Heat input a metre of weld, after EN 1011-1.

    The 0.6 of the rule is a convention for comparing processes. Calorimetry of GTAW finds more (about 0.6 to 0.8):
    the thermal engine uses its own figure, not this one.

    >>> round(heat_input_J_m(efficiency_frac=0.6, voltage_V=10, current_A=70, travel_m_s=0.0015) / 1e6, 3)
    0.28
    """
    fraction(efficiency_frac=efficiency_frac)
    positive(efficiency_frac=efficiency_frac, voltage_V=voltage_V, current_A=current_A, travel_m_s=travel_m_s)
    return efficiency_frac * voltage_V * current_A / travel_m_s
