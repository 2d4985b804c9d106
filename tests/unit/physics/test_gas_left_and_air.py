"""What is left in a cylinder, argon in a pit, whose leak it is, and how warm a dam gets: closed forms, exact."""

import math

import pytest
from CoolProp.CoolProp import PropsSI

from brightroot.base.errors import OutOfRange, Refused
from brightroot.physics.heat.dams import dam_K, dam_rise_dK, dam_rise_most_dK
from brightroot.physics.heat.ring import ArcRun, Ring
from brightroot.physics.purge.cylinder import usable_argon_m3
from brightroot.physics.purge.gas_left import left_argon_m3, left_pressure_Pa, wanted_argon_m3
from brightroot.physics.purge.ingress import mixed_oxygen_frac, open_stop_frac
from brightroot.physics.purge.open_arc import arc_backing_m3_s
from brightroot.physics.purge.pit import argon_depth_m, lip_reached_s
from brightroot.physics.purge.room_air import supply_limit_reached_s, supply_oxygen_frac
from brightroot.physics.purge.sample_line import line_adds_frac, pipe_leak_m3_s, unthinned_frac
from brightroot.physics.purge.vent import gap_share_frac, overpressure_Pa, wind_Pa, wind_withstood_m_s

L_MIN, ML_MIN = 1 / 6e4, 1 / 6e7
STATE = {
    "heel_pressure_Pa": 5e5, "cylinder_K": 293.15, "water_volume_m3": 0.05, "reference_K": 288.15,
    "reference_pressure_Pa": 101325.0,
}  # fmt: skip


@pytest.mark.parametrize("bar", [20, 69, 120, 200, 300])
def test_the_gauge_comes_back(bar):
    usable = usable_argon_m3(cylinder_pressure_Pa=bar * 1e5, **STATE)
    assert left_pressure_Pa(usable_argon_m3=usable, **STATE) == pytest.approx(bar * 1e5, abs=200)


@pytest.mark.parametrize("bar, celsius", [(200, 20), (150, -5), (69, 35), (300, 20)])
def test_what_is_drawn_is_what_the_equation_of_state_says(bar, celsius):
    """Outside: mass left by the reference equation of state (CoolProp), within the fit's 0.35 %."""
    kelvin = celsius + 273.15
    state = {**STATE, "cylinder_K": kelvin}
    mass = 0.05 * (PropsSI("D", "P", bar * 1e5, "T", kelvin, "Argon") - PropsSI("D", "P", 5e5, "T", kelvin, "Argon"))
    volume = mass / PropsSI("D", "P", 101325, "T", 288.15, "Argon")
    assert usable_argon_m3(cylinder_pressure_Pa=bar * 1e5, **state) == pytest.approx(volume, rel=4e-3)


def test_drawn_past_the_heel_leaves_nothing():
    assert left_argon_m3(filled_argon_m3=1.0, drawn_argon_m3=1.4) == 0.0


def test_the_reserve_is_on_all_three():
    whole = wanted_argon_m3(torch_m3=0.1, trail_m3=0.2, backing_m3=0.3, reserve_1=1.5)
    assert whole == pytest.approx(0.9)
    with pytest.raises(OutOfRange):
        wanted_argon_m3(torch_m3=0.1, trail_m3=0.2, backing_m3=0.3, reserve_1=0.5)


def test_a_pit_of_four_square_metres_is_knee_deep_after_a_hundred_minutes():
    assert argon_depth_m(argon_m3=2.0, bottom_m2=4.0) == pytest.approx(0.5)
    left = lip_reached_s(argon_m3=1.0, bottom_m2=4.0, lip_m=0.5, argon_flow_m3_s=20 * L_MIN)
    assert left == pytest.approx(3000.0)
    assert lip_reached_s(argon_m3=9.0, bottom_m2=4.0, lip_m=0.5, argon_flow_m3_s=20 * L_MIN) == 0.0


def test_the_moment_of_the_limit_is_where_the_room_is_at_it():
    room = {"argon_flow_m3_s": 20 * L_MIN, "ventilation_m3_s": 8 / 3600, "room_m3": 10.0}
    at = supply_limit_reached_s(limit_frac=0.195, **room)
    assert supply_oxygen_frac(elapsed_s=at, **room) == pytest.approx(0.195, abs=1e-9)
    enough = {**room, "ventilation_m3_s": 16.2 / 3600}
    assert supply_limit_reached_s(limit_frac=0.195, **enough) is None


@pytest.mark.parametrize("leak_mL, supply, hose", [(4.2, 3, 0), (0.7, 5, 40), (0.0, 8, 12)])
def test_two_flows_tell_the_pipes_leak_from_the_rest(leak_mL, supply, hose):
    def plateau(flow_L):
        return (supply + hose) * 1e-6 + 0.20946 * leak_mL * ML_MIN / (flow_L * L_MIN)

    seen = {
        "plateau_frac": plateau(10), "flow_m3_s": 10 * L_MIN, "other_plateau_frac": plateau(15),
        "other_flow_m3_s": 15 * L_MIN,
    }  # fmt: skip
    assert pipe_leak_m3_s(**seen) == pytest.approx(leak_mL * ML_MIN, abs=1e-15)
    assert unthinned_frac(**seen) == pytest.approx((supply + hose) * 1e-6, abs=1e-12)


@pytest.mark.parametrize("change", [{"other_flow_m3_s": 10.2 * L_MIN}, {"other_plateau_frac": 80e-6}])
def test_flows_too_alike_and_a_plateau_that_rises_are_asked_back(change):
    seen = {
        "plateau_frac": 60e-6, "flow_m3_s": 10 * L_MIN, "other_plateau_frac": 45e-6, "other_flow_m3_s": 15 * L_MIN,
    }  # fmt: skip
    with pytest.raises(Refused):
        pipe_leak_m3_s(**seen | change)


def test_the_sample_line_adds_what_it_adds():
    assert line_adds_frac(hose_end_frac=95e-6, cylinder_argon_frac=4e-6) == pytest.approx(91e-6)
    assert line_adds_frac(hose_end_frac=3e-6, cylinder_argon_frac=4e-6) == 0.0


def test_wind_and_pressure_are_each_others_inverse():
    for wind in (0.3, 1.0, 3.0):
        pressure = wind_Pa(wind_m_s=wind, air_density_kg_m3=1.2046)
        assert wind_withstood_m_s(overpressure_Pa=pressure, air_density_kg_m3=1.2046) == pytest.approx(wind)


def test_the_arc_gets_its_share_by_area_and_the_orifice_is_as_others_have_it():
    """Outside: `fluids` gives the same flow through each opening at the pressure that both share."""
    from fluids.flow_meter import flow_meter_discharge

    vent, gap, flow = 78.5e-6, 317e-6, 15 * L_MIN
    share = gap_share_frac(vent_area_m2=vent, gap_area_m2=gap)
    pressure = overpressure_Pa(
        flow_m3_s=flow, vent_area_m2=vent, gap_area_m2=gap, density_kg_m3=1.6618, discharge_1=0.61
    )
    wide = 100.0  # a pipe so wide that the approach does not count
    through = [
        flow_meter_discharge(
            D=wide, Do=2 * math.sqrt(area / math.pi), P1=101325 + pressure, P2=101325.0, rho=1.6618, C=0.61
        ) / 1.6618
        for area in (vent, gap)
    ]  # fmt: skip
    assert sum(through) == pytest.approx(flow, rel=1e-6)
    assert through[1] / sum(through) == pytest.approx(share, rel=1e-6)
    assert arc_backing_m3_s(least_flow_m3_s=share * flow, share_frac=share) == pytest.approx(flow)


def test_a_stop_with_an_arc_open_goes_to_air_and_a_taped_one_creeps():
    taped = mixed_oxygen_frac(
        last_frac=15e-6, supply_frac=3e-6, in_leak_m3_s=10 * ML_MIN, flow_m3_s=0.0, volume_m3=0.0123, silent_s=300
    )
    open_ = open_stop_frac(last_frac=15e-6, exchange_m3_s=1.6 * L_MIN, volume_m3=0.0123, silent_s=300)
    assert taped == pytest.approx(15e-6 + 0.20946 * 10 * ML_MIN * 300 / 0.0123)
    assert open_ == pytest.approx(0.20946 - (0.20946 - 15e-6) * math.exp(-1.6 * L_MIN * 300 / 0.0123))
    assert open_stop_frac(last_frac=15e-6, exchange_m3_s=1.6 * L_MIN, volume_m3=0.0123, silent_s=8e4) == pytest.approx(
        0.20946
    )


# dams


def ring(**changes):
    facts = {
        "outer_diameter_m": 0.0889, "wall_m": 0.00549, "half_length_m": 1.0, "conductivity_W_mK": 20.0,
        "heat_capacity_J_m3K": 2.7e6, "loss_outer_W_m2K": 0.0, "loss_inner_W_m2K": 0.0, "ambient_K": 293.15,
    }  # fmt: skip
    return Ring(**facts | changes)


def test_one_short_burst_reaches_the_closed_form_of_a_plane_source():
    """With no losses and all the heat at once the engine's peak far away is the formula's, within 2 %."""
    long = ring(half_length_m=3.0)
    burst = [ArcRun(0.0, 20.0, k * math.pi / 2, math.pi / 2, 4000.0) for k in range(4)]
    section = math.pi * (0.0889 - 0.00549) * 0.00549
    most = dam_rise_most_dK(net_heat_J=4 * 80e3, capacity_J_m3K=2.7e6, section_m2=section, distance_m=0.2)
    assert dam_rise_dK(ring=long, runs=burst, distance_m=0.2) == pytest.approx(most, rel=0.02)


def test_losses_and_distance_keep_a_dam_cool():
    runs = [ArcRun(300.0 * k, 40.0, k * 1.0, 1.0, 680.0) for k in range(6)]
    near, far = (dam_rise_dK(ring=ring(loss_outer_W_m2K=20.0), runs=runs, distance_m=z) for z in (0.05, 0.3))
    assert near > 5 * far >= 0.0
    assert dam_rise_dK(ring=ring(), runs=[], distance_m=0.1) == 0.0
    assert dam_K(ambient_K=293.15, rise_dK=near) == pytest.approx(293.15 + near)
