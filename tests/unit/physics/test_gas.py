import pytest
from CoolProp.CoolProp import PropsSI
from hypothesis import given, settings
from hypothesis import strategies as st

from brightroot.base.errors import OutOfRange, Refused
from brightroot.physics.purge.cylinder import (
    compressibility_1,
    cylinder_argon_m3,
    cylinders_1,
    cylinders_count,
    gas_left_s,
    usable_argon_m3,
)
from brightroot.physics.purge.gas_properties import air_density_kg_m3, argon_density_kg_m3, oxygen_diffusivity_m2_s

ATM = 101325.0
AT15 = {"water_volume_m3": 0.05, "reference_K": 288.15, "reference_pressure_Pa": ATM, "cylinder_K": 293.15}
AT20 = AT15 | {"reference_K": 293.15}


@pytest.mark.parametrize("gas_K", [253.15, 273.15, 293.15, 323.15])
def test_densities_against_the_reference_library(gas_K):
    argon, air = (PropsSI("D", "T", gas_K, "P", ATM, name) for name in ("Argon", "Air"))
    assert argon_density_kg_m3(gas_K=gas_K, gas_pressure_Pa=ATM) == pytest.approx(argon, rel=1.5e-3)
    assert air_density_kg_m3(gas_K=gas_K, gas_pressure_Pa=ATM) == pytest.approx(air, rel=1.5e-3)


@pytest.mark.parametrize(("celsius", "e5"), [(0, 1.67), (20, 1.90), (40, 2.14)])
def test_diffusivity_fit(celsius, e5):
    found = oxygen_diffusivity_m2_s(gas_K=celsius + 273.15, gas_pressure_Pa=ATM)
    assert found * 1e5 == pytest.approx(e5, abs=0.005)


def test_half_the_pressure_doubles_diffusion_and_halves_density():
    low, full = 70e3, 105e3
    ratio = full / low
    assert oxygen_diffusivity_m2_s(gas_K=293.15, gas_pressure_Pa=low) == pytest.approx(
        ratio * oxygen_diffusivity_m2_s(gas_K=293.15, gas_pressure_Pa=full)
    )
    assert ratio * argon_density_kg_m3(gas_K=293.15, gas_pressure_Pa=low) == pytest.approx(
        argon_density_kg_m3(gas_K=293.15, gas_pressure_Pa=full)
    )


@pytest.mark.parametrize("celsius", [-20, -5, 10, 20, 35, 50])
@pytest.mark.parametrize("bar", [1, 20, 70, 120, 160, 200, 250, 300])
def test_compressibility_against_the_reference_library(celsius, bar):
    exact = PropsSI("Z", "T", celsius + 273.15, "P", bar * 1e5, "Argon")
    found = compressibility_1(cylinder_pressure_Pa=bar * 1e5, cylinder_K=celsius + 273.15)
    assert found == pytest.approx(exact, rel=0.0015)  # asked for: 0.005


def test_a_full_cylinder():
    assert cylinder_argon_m3(cylinder_pressure_Pa=200e5, **AT15) == pytest.approx(10.27, abs=0.015)
    assert cylinder_argon_m3(cylinder_pressure_Pa=200e5, **AT20) == pytest.approx(10.44, abs=0.015)
    ideal = 0.05 * 200e5 / ATM
    assert cylinder_argon_m3(cylinder_pressure_Pa=200e5, **AT20) / ideal == pytest.approx(1.058, abs=0.002)
    assert cylinder_argon_m3(cylinder_pressure_Pa=0, **AT20) == 0


def test_thirty_cubic_metres_with_and_without_a_heel():
    to_five = usable_argon_m3(cylinder_pressure_Pa=200e5, heel_pressure_Pa=5e5, **AT20)
    to_seventy = usable_argon_m3(cylinder_pressure_Pa=200e5, heel_pressure_Pa=70e5, **AT20)
    assert cylinders_1(total_argon_m3=30.2, usable_argon_m3=to_five) == pytest.approx(3.0, abs=0.05)
    assert cylinders_1(total_argon_m3=30.2, usable_argon_m3=to_seventy) == pytest.approx(4.4, abs=0.05)
    assert cylinders_count(total_argon_m3=30.2, usable_argon_m3=to_seventy) == 5


def test_change_first_before_joint_eleven():
    usable = usable_argon_m3(cylinder_pressure_Pa=15e5, heel_pressure_Pa=5e5, **AT20)
    assert gas_left_s(usable_argon_m3=usable, flow_m3_s=34 / 60000) / 60 == pytest.approx(14.7, abs=0.05)


def test_at_the_heel_there_is_nothing_left():
    assert usable_argon_m3(cylinder_pressure_Pa=60e5, heel_pressure_Pa=70e5, **AT20) == 0
    with pytest.raises(Refused, match="usable_argon_m3"):
        cylinders_1(total_argon_m3=30, usable_argon_m3=0)


def test_whole_cylinders_do_not_trip_on_the_last_digit():
    assert cylinders_count(total_argon_m3=0.1 + 0.2, usable_argon_m3=0.1) == 3


def test_a_pressure_past_the_fit_is_out_of_range():
    with pytest.raises(OutOfRange, match="cylinder_pressure_Pa"):
        cylinder_argon_m3(cylinder_pressure_Pa=400e5, **AT20)


@settings(max_examples=40)
@given(st.floats(1e5, 290e5), st.floats(253, 323), st.floats(1.01, 1.06))
def test_more_pressure_is_more_gas_and_warmer_is_less(pressure, kelvin, more):
    state = AT20 | {"cylinder_K": kelvin}
    held = cylinder_argon_m3(cylinder_pressure_Pa=pressure, **state)
    assert cylinder_argon_m3(cylinder_pressure_Pa=pressure * more, **state) > held
    assert cylinder_argon_m3(cylinder_pressure_Pa=pressure, **state | {"cylinder_K": kelvin + 5}) < held
