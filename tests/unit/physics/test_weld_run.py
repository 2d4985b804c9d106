import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from brightroot.base.errors import OutOfRange, Refused
from brightroot.base.formula import Assumed, estimate
from brightroot.physics.weld.heat_input import EN_1011_1_GTAW, arc_energy_J_m, heat_input_J_m
from brightroot.physics.weld.shield_length import (
    hot_length_m,
    lift_m,
    shield_length_m,
    shield_spare_m,
    travel_for_shield_m_s,
)
from brightroot.physics.weld.travel import arc_time_s, travel_from_melt_m_s, travel_m_s

MELT = {
    "efficiency_frac": 0.65,
    "melting_frac": 0.25,
    "voltage_V": 10,
    "current_A": 70,
    "density_kg_m3": 4510,
    "melt_enthalpy_J_kg": 1.4e6,
    "fused_area_m2": 10e-6,
}


def test_arc_energy_by_hand():
    # 60 × 10 × 80 / (1000 × 80 mm/min) = 0.6 kJ/mm; × 0.6 = 0.36
    arc = {"voltage_V": 10, "current_A": 80, "travel_m_s": 0.08 / 60}
    assert arc_energy_J_m(**arc) == pytest.approx(0.6e6)
    assert heat_input_J_m(efficiency_frac=EN_1011_1_GTAW, **arc) == pytest.approx(0.36e6)


def test_heat_input_refuses_more_than_all_and_names_its_range():
    arc = {"voltage_V": 10, "current_A": 80, "travel_m_s": 0.001}
    with pytest.raises(OutOfRange, match="current_A"):
        arc_energy_J_m(**arc | {"current_A": 5000})
    with pytest.raises(Refused, match="efficiency_frac"):
        heat_input_J_m.card.function(efficiency_frac=1.2, **arc)
    with pytest.raises(Refused, match="travel_m_s"):
        arc_energy_J_m.card.function(**arc | {"travel_m_s": 0})


def test_travel_and_arc_time_are_inverse():
    assert travel_m_s(run_length_m=0.09, arc_time_s=60) * 60000 == pytest.approx(90)
    assert arc_time_s(run_length_m=0.09, travel_m_s=travel_m_s(run_length_m=0.09, arc_time_s=60)) == pytest.approx(60)


def test_travel_from_melt_by_hand_and_its_trend():
    # 113.75 W melts; 4510 × 1.4e6 × 10e-6 = 63140 J/m; 1.80 mm/s
    assert travel_from_melt_m_s(**MELT) == pytest.approx(1.8016e-3, rel=1e-4)
    assert travel_from_melt_m_s(**MELT | {"current_A": 140}) == pytest.approx(2 * travel_from_melt_m_s(**MELT))
    assert travel_from_melt_m_s(**MELT | {"fused_area_m2": 20e-6}) == pytest.approx(travel_from_melt_m_s(**MELT) / 2)


def test_the_melting_share_dominates_the_travel_estimate():
    loose = Assumed(value=0.25, low=0.15, high=0.35, ref="practice/common")
    figure = estimate(travel_from_melt_m_s, **MELT | {"melting_frac": loose})
    assert figure.dominant is not None and figure.dominant.name == "melting_frac"
    assert figure.low < figure.value < figure.high


def test_shield_by_hand():
    # 90 mm/min for 24 s is 36 mm; 20 mm more is 56; 50 in hand is 6 too short
    hot_m = hot_length_m(travel_m_s=0.0015, time_above_s=24)
    needed_m = shield_length_m(hot_length_m=hot_m, allowance_m=0.02)
    assert needed_m == pytest.approx(0.056)
    assert shield_spare_m(shield_in_hand_m=0.05, shield_length_m=needed_m) == pytest.approx(-0.006)
    assert travel_for_shield_m_s(shield_in_hand_m=needed_m, allowance_m=0.02, time_above_s=24) == pytest.approx(0.0015)
    assert travel_for_shield_m_s(shield_in_hand_m=0.01, allowance_m=0.02, time_above_s=24) == 0


def test_lift_by_hand():
    # 3-4-5: radius 40, half length 30: 50 − 40 = 10 mm
    assert lift_m(shield_in_hand_m=0.06, outer_diameter_m=0.08) == pytest.approx(0.01)


@settings(max_examples=25)
@given(st.floats(0.02, 0.2), st.floats(0.02, 1.0), st.floats(1.01, 2))
def test_lift_grows_with_length_and_shrinks_with_pipe(length_m, od_m, more):
    lift = lift_m(shield_in_hand_m=length_m, outer_diameter_m=od_m)
    assert lift_m(shield_in_hand_m=min(0.3, length_m * more), outer_diameter_m=od_m) > lift
    assert 0 < lift_m(shield_in_hand_m=length_m, outer_diameter_m=od_m * more) < lift


@pytest.mark.parametrize("bad", [0.0, -1.0, math.nan, math.inf])
def test_impossible_numbers_are_refused(bad):
    with pytest.raises(Refused, match="run_length_m"):
        travel_m_s.card.function(run_length_m=bad, arc_time_s=10)
    with pytest.raises(Refused, match="travel_m_s"):
        arc_time_s.card.function(run_length_m=0.1, travel_m_s=bad)
