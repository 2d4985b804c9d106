import math

import pytest
from scipy.integrate import quad

from brightroot.base.errors import Refused
from brightroot.base.formula import FORMULAS
from brightroot.base.show import fill_hand
from brightroot.physics.heat import plate, properties, run  # noqa: F401  (their cards)
from brightroot.physics.heat.plate import long_bead_hold_s, thick_plate_rise_dK, thin_plate_rise_dK

METAL = {"conductivity_W_mK": 20.0, "heat_capacity_J_m3K": 2.7e6}


def test_thin_plate_is_the_sum_of_its_instants():
    def instant(tau):
        a = 20.0 / 2.7e6
        away = (-0.01 + 0.002 * tau) ** 2 + 0.02**2
        return math.exp(-away / (4 * a * tau)) / tau

    summed = 300.0 / (4 * math.pi * 20.0 * 0.003) * quad(instant, 1e-6, 5000, limit=500)[0]
    found = thin_plate_rise_dK(net_power_W=300.0, travel_m_s=0.002, ahead_m=-0.01, across_m=0.02, wall_m=0.003, **METAL)
    assert found == pytest.approx(summed, rel=1e-3)


def test_thick_plate_falls_off_faster_ahead():
    behind, ahead = (
        thick_plate_rise_dK(net_power_W=800.0, travel_m_s=0.002, ahead_m=x, across_m=0.005, **METAL)
        for x in (-0.01, 0.01)
    )
    assert behind / ahead == pytest.approx(math.exp(0.002 * 2.7e6 / 40 * 0.02), rel=1e-9)


def test_on_the_arc_itself_there_is_no_answer():
    with pytest.raises(Refused):
        thick_plate_rise_dK(net_power_W=800.0, travel_m_s=0.002, ahead_m=0.0, across_m=0.0, **METAL)


def test_long_bead_is_the_thin_plate_far_behind():
    hold = long_bead_hold_s(heat_input_J_m=300e3, wall_m=0.003, release_K=533.15, ambient_K=298.15, **METAL)
    far = thin_plate_rise_dK(
        net_power_W=600.0, travel_m_s=0.002, ahead_m=-0.002 * hold, across_m=0.0, wall_m=0.003, **METAL
    )
    assert far == pytest.approx(235.0, rel=0.01)


def test_release_below_ambient_is_refused():
    with pytest.raises(Refused):
        long_bead_hold_s(heat_input_J_m=3e5, wall_m=0.003, release_K=290.0, ambient_K=298.15, **METAL)


@pytest.mark.parametrize("name", sorted(n for n in FORMULAS if n.startswith("heat.")))
def test_hand_sentence_fills(name):
    card = FORMULAS[name]
    names = [*card.function.__annotations__]
    values = dict.fromkeys([*names, card.result, *run.HOLDS, *run.EXAMPLE], 500.0)
    assert "{" not in fill_hand(card.hand, values)
