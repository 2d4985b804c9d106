"""Growth of the oxide film on hot titanium: the slower of the metal's own kinetics and the oxygen that arrives."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Sequence

from brightroot.base.formula import FORMULAS, formula
from brightroot.base.source import Standing
from brightroot.physics.demand import not_negative, positive

GAS_J_molK = 8.314462618
PRESSURE_Pa = 101325.0
OXIDE_m3_mol = 19.5e-6  # molar volume as the supply equation takes it
KP_AT_K = 873.15
KP600_m2_s = 11.7e-18
FIRST_FILM_m = 3e-9
STEP_K = 0.5


@formula(
    result="kinetic_m2_s",
    equation="kp = kp600·exp(−Q/R·(1/T − 1/873.15))",
    hand="{kp600_m2_s} m²/s at 600 °C and Q {activation_J_mol} J/mol give {kinetic_m2_s} m²/s at {metal_K:°C.0} °C",
    source="paper/gemelli-2007",
    where="parabolic, 650 to 750 °C; anchored on colours after 30 min in air at 600 °C (one trade page): weak",
    standing=Standing.MEMORY,
    holds={"metal_K": (600.0, 1950.0), "activation_J_mol": (50e3, 300e3), "kp600_m2_s": (1e-19, 1e-15)},
)
def kinetic_m2_s(*, metal_K: float, activation_J_mol: float = 150e3, kp600_m2_s: float = KP600_m2_s) -> float:
    """Parabolic rate constant of titanium's film; activation energy 110 to 250 kJ/mol in published work.

    >>> round(kinetic_m2_s(metal_K=873.15) * 1e18, 1)
    11.7
    """
    positive(metal_K=metal_K, kp600_m2_s=kp600_m2_s)
    not_negative(activation_J_mol=activation_J_mol)
    return kp600_m2_s * math.exp(-activation_J_mol / GAS_J_molK * (1 / metal_K - 1 / KP_AT_K))


@formula(
    result="supply_m_s",
    equation="r = Sh·D/L · P/(R·Tf) · (O₂ + ½·H₂O) · V_M, Tf = (T + 300)/2, D = 0.20e-4·(Tf/300)^1.7",
    hand="about 0.0075 nm/s for each ppm: {oxygen_frac:ppm.0} ppm O₂ and half of {moisture_frac:ppm.0} ppm H₂O give"
    " {supply_m_s} m/s",
    source="derivation/oxygen-supply",
    where="boundary layer over a hot surface of length L; Sh 5.2, L 20 mm by default",
    standing=Standing.DERIVED,
    holds={"metal_K": (600.0, 1950.0), "oxygen_frac": (0.0, 0.001), "moisture_frac": (0.0, 0.001)},
)
def supply_m_s(
    *, metal_K: float, oxygen_frac: float, moisture_frac: float, sherwood_1: float = 5.2, surface_m: float = 0.02
) -> float:
    """Film that the arriving oxygen can make in a second if the metal takes all of it; good to a factor of three.

    >>> [round(supply_m_s(metal_K=t, oxygen_frac=1e-6, moisture_frac=0.0) * 1e9, 4) for t in (873.15, 1500.0)]
    [0.0066, 0.0089]
    """
    positive(metal_K=metal_K, surface_m=surface_m)
    not_negative(oxygen_frac=oxygen_frac, moisture_frac=moisture_frac, sherwood_1=sherwood_1)
    film_K = (metal_K + 300) / 2
    diffusivity_m2_s = 0.20e-4 * (film_K / 300) ** 1.7
    arriving: float = sherwood_1 * diffusivity_m2_s / surface_m * PRESSURE_Pa / (GAS_J_molK * film_K)
    return arriving * (oxygen_frac + moisture_frac / 2) * OXIDE_m3_mol


def thicker_m(*, film_m: float, seconds_s: float, kinetic_m2_s: float, supply_m_s: float) -> float:
    """The film after some seconds at one temperature, exactly: x²/kp + x/r grows with time.

    >>> round(thicker_m(film_m=3e-9, seconds_s=10.0, kinetic_m2_s=1e-9, supply_m_s=0.15e-9) * 1e9, 3)
    4.5
    """
    if supply_m_s <= 0:
        return film_m
    # dx/dt = 1/(2x/kp + 1/r): a quadratic in the added film, written so that nothing cancels
    ease = 2 * film_m / kinetic_m2_s + 1 / supply_m_s
    return film_m + 2 * seconds_s / (ease + math.sqrt(ease * ease + 4 * seconds_s / kinetic_m2_s))


def film_after_m(
    *, history_s_K: Sequence[tuple[float, float]], oxygen_frac: float, moisture_frac: float, first_film_m: float = FIRST_FILM_m,
    activation_J_mol: float = 150e3, kp600_m2_s: float = KP600_m2_s, sherwood_1: float = 5.2, surface_m: float = 0.02,
) -> float:  # fmt: skip
    """Film after a temperature history, straight between its points, in gas of constant purity.

    Each piece is cut into steps of half a kelvin, solved exactly at the step's middle: 1e-5 of an ODE solver.

    >>> history = [(0.0, 873.15), (10.0, 873.15)]
    >>> round(film_after_m(history_s_K=history, oxygen_frac=20e-6, moisture_frac=0.0) * 1e9, 2)
    4.22
    """
    # the bare functions: a history passes below the range of the cards, where nothing grows
    kinetic: Callable[..., float] = FORMULAS["tint.growth.kinetic_m2_s"].function
    supply: Callable[..., float] = FORMULAS["tint.growth.supply_m_s"].function
    film_m = first_film_m
    for (start_s, from_K), (stop_s, to_K) in itertools.pairwise(history_s_K):
        steps = max(1, math.ceil(abs(to_K - from_K) / STEP_K))
        for step in range(steps):
            metal_K = from_K + (to_K - from_K) * (step + 0.5) / steps
            film_m = thicker_m(
                film_m=film_m,
                seconds_s=(stop_s - start_s) / steps,
                kinetic_m2_s=kinetic(metal_K=metal_K, activation_J_mol=activation_J_mol, kp600_m2_s=kp600_m2_s),
                supply_m_s=supply(
                    metal_K=metal_K, oxygen_frac=oxygen_frac, moisture_frac=moisture_frac, sherwood_1=sherwood_1,
                    surface_m=surface_m,
                ),
            )  # fmt: skip
    return film_m
