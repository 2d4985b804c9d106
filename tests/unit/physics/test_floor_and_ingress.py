import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from brightroot.base.errors import Refused
from brightroot.physics.purge.floor import (
    floor_frac,
    flow_for_target_m3_s,
    in_leak_budget_m3_s,
    in_leak_from_plateau_m3_s,
)
from brightroot.physics.purge.ingress import mixed_oxygen_frac, oxygen_upper_frac

L_MIN, ML_MIN = 1 / 60000, 1 / 60000000
PROBE_OUT = {
    "last_frac": 11e-6,
    "supply_frac": 3e-6,
    "in_leak_m3_s": 2 * ML_MIN,
    "flow_m3_s": 8 * L_MIN,
    "volume_m3": 0.01229,
    "silent_s": 540.0,
}


def test_one_millilitre_adds_twenty_one_ppm():
    added = floor_frac(supply_frac=0, in_leak_m3_s=ML_MIN, flow_m3_s=10 * L_MIN)
    assert added * 1e6 == pytest.approx(20.9, abs=0.05)


def test_leak_budget():
    budget = in_leak_budget_m3_s(target_frac=20e-6, supply_frac=5e-6, flow_m3_s=10 * L_MIN)
    assert budget / ML_MIN == pytest.approx(0.72, abs=0.005)


def test_the_stall_of_joint_four():
    for plateau in (61.6e-6, 62e-6):
        leak = in_leak_from_plateau_m3_s(plateau_frac=plateau, supply_frac=3e-6, flow_m3_s=15 * L_MIN)
        assert leak / ML_MIN == pytest.approx(4.2, abs=0.05)
    leak = in_leak_from_plateau_m3_s(plateau_frac=61.6e-6, supply_frac=3e-6, flow_m3_s=15 * L_MIN)
    needed = flow_for_target_m3_s(target_frac=15e-6, supply_frac=3e-6, in_leak_m3_s=leak)
    assert needed / L_MIN == pytest.approx(73, abs=0.5)


@settings(max_examples=30)
@given(st.floats(0, 1e-5), st.floats(0, 5e-7), st.floats(1e-5, 1e-3), st.floats(1.01, 3))
def test_floor_is_undone_and_falls_with_flow(supply, leak, flow, more):
    floor = floor_frac(supply_frac=supply, in_leak_m3_s=leak, flow_m3_s=flow)
    if leak > 1e-12:
        assert floor_frac(supply_frac=supply, in_leak_m3_s=leak, flow_m3_s=flow * more) < floor
    if floor <= 1:
        again = in_leak_from_plateau_m3_s(plateau_frac=floor, supply_frac=supply, flow_m3_s=flow)
        assert again == pytest.approx(leak, abs=1e-15)


def test_refuses_what_cannot_be():
    with pytest.raises(Refused, match="target_frac"):
        in_leak_budget_m3_s(target_frac=5e-6, supply_frac=5e-6, flow_m3_s=10 * L_MIN)
    with pytest.raises(Refused, match="plateau_frac"):
        in_leak_from_plateau_m3_s(plateau_frac=2e-6, supply_frac=3e-6, flow_m3_s=10 * L_MIN)
    with pytest.raises(Refused, match="flow_m3_s"):
        floor_frac.card.function(supply_frac=0, in_leak_m3_s=ML_MIN, flow_m3_s=0)


def test_without_flow_it_rises_evenly():
    # by hand: 2 mL/min of air for 9 min into 12.29 L: 18 mL × 0.20946 / 12290 mL = 306.8 ppm on top of 11
    still = PROBE_OUT | {"flow_m3_s": 0}
    assert mixed_oxygen_frac(**still) * 1e6 == pytest.approx(317.8, abs=0.1)
    half = mixed_oxygen_frac(**still | {"silent_s": 270}) - 11e-6
    assert mixed_oxygen_frac(**still) - 11e-6 == pytest.approx(2 * half)


def test_no_flow_is_the_limit_of_little_flow():
    still = mixed_oxygen_frac(**PROBE_OUT | {"flow_m3_s": 0})
    assert mixed_oxygen_frac(**PROBE_OUT | {"flow_m3_s": 1e-13}) == pytest.approx(still, rel=1e-6)


def test_long_silence_comes_to_the_floor_and_never_above_air():
    floor = floor_frac(supply_frac=3e-6, in_leak_m3_s=2 * ML_MIN, flow_m3_s=8 * L_MIN)
    assert mixed_oxygen_frac(**PROBE_OUT | {"silent_s": 80000}) == pytest.approx(floor, rel=1e-9)
    flooded = PROBE_OUT | {"flow_m3_s": 0, "in_leak_m3_s": 1e-4, "silent_s": 80000}
    assert oxygen_upper_frac(**flooded) == 0.20946


@settings(max_examples=40)
@given(st.floats(0, 1e-6), st.floats(0, 3e-4), st.floats(0, 3600), st.floats(1, 3600))
def test_the_bound_only_grows_with_silence(leak, flow, silent, more):
    state = PROBE_OUT | {"in_leak_m3_s": leak, "flow_m3_s": flow}
    now = oxygen_upper_frac(**state | {"silent_s": silent})
    later = oxygen_upper_frac(**state | {"silent_s": silent + more})
    assert later >= now * (1 - 1e-12)
    assert now >= state["last_frac"]
    assert math.isfinite(later)
