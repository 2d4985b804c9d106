"""The film against an ODE solver, its two limits, and the supply coefficient of the note."""

import itertools
import math

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from brightroot.base.errors import OutOfRange
from brightroot.base.formula import FORMULAS
from brightroot.base.show import fill_hand
from brightroot.physics.tint.growth import film_after_m, kinetic_m2_s, supply_m_s, thicker_m

NM = 1e-9


def test_anchor():
    assert kinetic_m2_s(metal_K=873.15) == pytest.approx(11.7e-18)
    rise = kinetic_m2_s(metal_K=1073.15) / kinetic_m2_s(metal_K=873.15)
    assert rise == pytest.approx(math.exp(150e3 / 8.314462618 * (1 / 873.15 - 1 / 1073.15)))


def test_supply_is_least_at_600():
    """0.0066 nm/s per ppm at 600 °C, 0.0089 at 1227 °C."""
    low, high = (supply_m_s(metal_K=t, oxygen_frac=1e-6, moisture_frac=0.0) / NM for t in (873.15, 1500.15))
    assert (round(low, 4), round(high, 4)) == (0.0066, 0.0089)
    assert supply_m_s(metal_K=1000, oxygen_frac=0.0, moisture_frac=2e-6) == pytest.approx(
        supply_m_s(metal_K=1000, oxygen_frac=1e-6, moisture_frac=0.0)
    )


def test_supply_rules_thin_films_and_kinetics_thick_ones():
    thin = thicker_m(film_m=0.0, seconds_s=1.0, kinetic_m2_s=1e-9, supply_m_s=0.2 * NM)
    thick = thicker_m(film_m=0.0, seconds_s=100.0, kinetic_m2_s=1e-17, supply_m_s=1.0)
    assert thin == pytest.approx(0.2 * NM, rel=1e-6)
    assert thick == pytest.approx(math.sqrt(1e-17 * 100), rel=1e-6)


def test_no_oxygen_no_growth():
    assert film_after_m(history_s_K=[(0, 1200), (60, 900)], oxygen_frac=0.0, moisture_frac=0.0) == 3e-9


@pytest.mark.parametrize("activation", [110e3, 150e3, 250e3])
@pytest.mark.parametrize("first_nm", [0.0, 3.0, 40.0])
@pytest.mark.parametrize("ppm", [5.0, 2000.0])
def test_against_an_ode_solver(activation, first_nm, ppm):
    times, metal = np.array([0.0, 4.0, 5.0, 30.0, 90.0]), np.array([400.0, 1600.0, 1600.0, 900.0, 500.0])

    def rate(t, x):
        hot = np.interp(t, times, metal)
        mid = (hot + 300) / 2
        kp = 11.7 * np.exp(-activation / 8.314462618 * (1 / hot - 1 / 873.15))
        supply = 5.2 * 0.20e-4 * (mid / 300) ** 1.7 / 0.02 * 101325 / (8.314462618 * mid) * ppm * 1e-6 * 19.5e-6 * 1e9
        return 1 / (2 * x / kp + 1 / supply)

    film = [first_nm]
    for start, stop in itertools.pairwise(times):  # piece by piece, so that no kink is stepped over
        film = solve_ivp(rate, (start, stop), film, method="LSODA", rtol=1e-10, atol=1e-12).y[:, -1]
    found = film_after_m(
        history_s_K=list(zip(times, metal, strict=True)), oxygen_frac=ppm * 1e-6, moisture_frac=0.0,
        first_film_m=first_nm * NM, activation_J_mol=activation,
    )  # fmt: skip
    assert found / NM == pytest.approx(film[0], rel=1e-4)


def test_the_trade_s_ten_to_fifty_ppm_stay_silver():
    """About 10 s above 600 °C: 4.5 to 5 nm at 20 ppm, 7 nm at 50, 10 to 11 at 100."""
    history = [(0.0, 1600.0), (10.0, 873.15)]
    for ppm, low, high in [(20, 4.4, 5.2), (50, 6.3, 8.0), (100, 9.5, 12.0)]:
        film = film_after_m(history_s_K=history, oxygen_frac=ppm * 1e-6, moisture_frac=0.0) / NM
        assert low < film < high


def test_cards_are_strict():
    with pytest.raises(OutOfRange):
        supply_m_s(metal_K=1000.0, oxygen_frac=0.2, moisture_frac=0.0)


@pytest.mark.parametrize("name", sorted(n for n in FORMULAS if n.startswith("tint.growth")))
def test_hand_sentence_fills(name):
    card = FORMULAS[name]
    values = dict.fromkeys([*card.function.__annotations__, card.result], 500.0)
    assert "{" not in fill_hand(card.hand, values)
