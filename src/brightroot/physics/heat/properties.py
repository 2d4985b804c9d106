"""One conductivity, one heat capacity and one loss for an engine that wants constants, with the spread that this costs."""

from __future__ import annotations

import numpy as np

from brightroot.base.formula import formula
from brightroot.base.source import Standing
from brightroot.physics.demand import not_negative, positive

STEFAN_BOLTZMANN_W_m2K4 = 5.670374419e-8  # CODATA 2018


def mean_over(
    *, temperature_K: tuple[float, ...], value: tuple[float, ...], from_K: float, to_K: float
) -> tuple[float, float, float]:
    """(least, mean, largest) of a property between two temperatures; beyond the table its end values hold.

    >>> mean_over(temperature_K=(300.0, 500.0), value=(20.0, 22.0), from_K=300.0, to_K=500.0)
    (20.0, 21.0, 22.0)
    """
    grid = np.linspace(from_K, to_K, 201)
    line = np.interp(grid, temperature_K, value)
    return float(line.min()), float(line.mean()), float(line.max())


@formula(
    result="loss_W_m2K",
    equation="h = h_conv + 4·ε·σ·T_m³",
    hand="{convection_W_m2K:.1} + 4 × {emissivity_1:.2} × 5.67e-8 × {surface_K:K.0}³ = {loss_W_m2K:.1} W/m²K",
    source="derivation/heat-loss",
    standing=Standing.DERIVED,
    holds={"convection_W_m2K": (0.0, 100.0), "emissivity_1": (0.0, 1.0), "surface_K": (250.0, 1200.0)},
)
def loss_W_m2K(*, convection_W_m2K: float, emissivity_1: float, surface_K: float) -> float:
    """Convection and radiation of a face as one coefficient, made linear about a representative temperature.

    At 500 K the radiative part is within 30 % between 400 and 600 K; losses move a hold by 1 to 3 K only.

    >>> round(loss_W_m2K(convection_W_m2K=12.0, emissivity_1=0.35, surface_K=500.0), 1)
    21.9
    """
    return convection_W_m2K + 4 * emissivity_1 * STEFAN_BOLTZMANN_W_m2K4 * surface_K**3


@formula(
    result="net_power_W",
    equation="Q = η·U·I",
    hand="{efficiency_frac:.2} × {voltage_V:V.1} V × {current_A:A.0} A = {net_power_W:W.0} W",
    source="paper/stenbacka-2012",
    where="plausible η 0.73 to 0.82 for GTAW; we use 0.75, 0.6 to 0.8",
    standing=Standing.PUBLISHED,
    holds={"efficiency_frac": (0.3, 0.95), "voltage_V": (6.0, 25.0), "current_A": (3.0, 400.0)},
)
def net_power_W(*, efficiency_frac: float, voltage_V: float, current_A: float) -> float:
    """Power that reaches the metal. The efficiency is the least known input of the whole heat plan: calibrate it.

    >>> round(net_power_W(efficiency_frac=0.75, voltage_V=10.5, current_A=80.0))
    630
    """
    return efficiency_frac * voltage_V * current_A


@formula(
    result="pulsed_A",
    equation="I = (I·t + I_b·t_b) / (t + t_b)",
    hand="({current_A:A.0} × {pulse_s:s.2} + {background_A:A.0} × {between_s:s.2}) / (both times) = {pulsed_A:A.0} A",
    source="derivation/geometry",
    standing=Standing.DERIVED,
    holds={"current_A": (3.0, 400.0), "background_A": (0.0, 400.0), "pulse_s": (0.001, 3.0), "between_s": (0.001, 3.0)},
)
def pulsed_A(*, current_A: float, background_A: float, pulse_s: float, between_s: float) -> float:
    """Current that a pulse comes to. Volts nearly stay, so heat follows the mean.

    Pulses of a second told one by one move the reading an inch away by less than 1 K (tested); under the arc they
    matter, and no temperature is told there.

    >>> pulsed_A(current_A=100.0, background_A=40.0, pulse_s=0.5, between_s=0.5)
    70.0
    """
    positive(pulse_s=pulse_s, between_s=between_s, current_A=current_A)
    not_negative(background_A=background_A)
    return (current_A * pulse_s + background_A * between_s) / (pulse_s + between_s)
