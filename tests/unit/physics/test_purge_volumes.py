import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from brightroot.base.errors import Refused
from brightroot.base.formula import estimate
from brightroot.physics.purge.bore import bore_area_m2, purged_volume_m3, run_volume_m3
from brightroot.physics.purge.mixing import (
    STUDY_VOLUMES,
    left_after_frac,
    mixed_volumes_1,
    purge_time_s,
    set_up_volumes_1,
    tanks_volumes_1,
)
from brightroot.physics.purge.root_gas import root_oxygen_frac, vent_target_frac

AIR = 0.20946
L_MIN = 1 / 60000


@pytest.mark.parametrize(
    ("bore_m", "length_m", "litres"), [(0.1615, 0.6, 12.29), (0.0828, 0.4, 2.15), (0.1615, 0.3, 6.15)]
)
def test_volumes_between_dams(bore_m, length_m, litres):
    half = {"first_bore_m": bore_m, "first_length_m": length_m / 2}
    both = purged_volume_m3(second_bore_m=bore_m, second_length_m=length_m / 2, **half)
    assert both * 1000 == pytest.approx(litres, abs=0.006)
    assert both == pytest.approx(run_volume_m3(bore_m=bore_m, length_m=length_m))
    assert both == pytest.approx(bore_area_m2(bore_m=bore_m) * length_m)


def test_two_bores_by_hand():
    # π/4 × (100² × 100 + 50² × 200) mm³ = 1.178 L
    v = purged_volume_m3(first_bore_m=0.1, first_length_m=0.1, second_bore_m=0.05, second_length_m=0.2)
    assert v * 1000 == pytest.approx(1.178, abs=5e-4)


@pytest.mark.parametrize(("ppm", "volumes"), [(1000, 5.34), (50, 8.34), (20, 9.26), (10, 9.95)])
def test_fully_mixed_volumes(ppm, volumes):
    assert mixed_volumes_1(start_frac=AIR, target_frac=ppm * 1e-6, supply_frac=0) == pytest.approx(volumes, abs=0.005)


@pytest.mark.parametrize(("volumes", "ppm"), [(5, 1411), (6, 519)])
def test_five_or_six_volumes_leave(volumes, ppm):
    assert left_after_frac(start_frac=AIR, supply_frac=0, volumes_1=volumes) * 1e6 == pytest.approx(ppm, abs=0.5)


@pytest.mark.parametrize(("tanks", "volumes"), [(1, 9.26), (2, 5.90), (3, 4.66), (5, 3.57), (10, 2.63)])
def test_tanks_in_series(tanks, volumes):
    found = tanks_volumes_1(tanks_count=tanks, start_frac=AIR, target_frac=20e-6, supply_frac=0)
    assert found == pytest.approx(volumes, abs=0.005)


def test_many_tanks_come_down_to_displacement():
    found = tanks_volumes_1(tanks_count=100, start_frac=AIR, target_frac=20e-6, supply_frac=0)
    assert 1 < found < 1.6


@pytest.mark.parametrize(("volume_L", "minutes"), [(12.29, 8.0), (2.15, 1.4), (127.0, 82.7), (6.15, 4.0)])
def test_pump_gallery_times(volume_L, minutes):
    volumes = mixed_volumes_1(start_frac=AIR, target_frac=15e-6, supply_frac=3e-6)
    assert volumes == pytest.approx(9.77, abs=0.005)
    seconds = purge_time_s(volumes_1=volumes, volume_m3=volume_L / 1000, flow_m3_s=15 * L_MIN)
    assert seconds / 60 == pytest.approx(minutes, rel=0.02)


@pytest.mark.parametrize("target", [3e-6, 2e-6])
def test_a_target_at_or_under_the_supply_is_refused(target):
    for ask in (
        lambda **q: mixed_volumes_1(**q),
        lambda **q: tanks_volumes_1(tanks_count=3, **q),
        lambda **q: set_up_volumes_1(set_up="unknown", **q),
    ):
        with pytest.raises(Refused) as no:
            ask(start_frac=AIR, target_frac=target, supply_frac=3e-6)
        assert no.value.reason == "refused.target_under_floor"


@pytest.mark.parametrize(
    ("set_up", "band"),
    [
        ("feed_low_vent_high", (3.7 / 1.25, 5.8, 12.9 * 1.25)),
        ("feed_high_vent_low", (5.3 / 1.25, 9.8, 50 * 1.25)),
        ("unknown", (9.26, 9.8, 50 * 1.25)),
    ],
)
def test_set_up_band_at_the_study_target(set_up, band):
    found = set_up_volumes_1(set_up=set_up, start_frac=AIR, target_frac=20e-6, supply_frac=0)
    assert found == pytest.approx(band, abs=0.005)
    assert found.low <= found.value <= found.high


def test_other_targets_scale_with_the_mixed_count():
    at10 = set_up_volumes_1(set_up="feed_low_vent_high", start_frac=AIR, target_frac=10e-6, supply_frac=0)
    assert at10.value == pytest.approx(5.8 * 9.95 / STUDY_VOLUMES, abs=0.005)


def test_unknown_set_up_names_the_known_ones():
    with pytest.raises(Refused) as no:
        set_up_volumes_1(set_up="sideways", start_frac=AIR, target_frac=20e-6, supply_frac=0)
    assert "feed_low_vent_high" in no.value.near


def test_the_band_reaches_an_estimate():
    figure = estimate(set_up_volumes_1, set_up="unknown", start_frac=AIR, target_frac=20e-6, supply_frac=3e-6)
    assert figure.low < figure.value < figure.high
    assert [i.name for i in figure.inputs] == ["start_frac", "target_frac", "supply_frac"]


@settings(max_examples=40)
@given(st.floats(10e-6, 0.01), st.floats(0, 8e-6), st.floats(1.05, 2), st.integers(1, 8))
def test_more_asked_takes_more(target, supply, less, tanks):
    if target / less <= supply:
        return
    ask = {"start_frac": AIR, "supply_frac": supply}
    for volumes in (mixed_volumes_1, lambda **q: tanks_volumes_1(tanks_count=tanks, **q)):
        assert volumes(target_frac=target / less, **ask) > volumes(target_frac=target, **ask)
    one, more = (tanks_volumes_1(tanks_count=n, target_frac=target, **ask) for n in (tanks, tanks + 1))
    assert 1 < more < one <= mixed_volumes_1(target_frac=target, **ask) * (1 + 1e-8)


@settings(max_examples=30)
@given(st.floats(20e-6, 0.01), st.floats(0, 10e-6))
def test_left_after_undoes_volumes(target, supply):
    n = mixed_volumes_1(start_frac=AIR, target_frac=target, supply_frac=supply)
    assert left_after_frac(start_frac=AIR, supply_frac=supply, volumes_1=n) == pytest.approx(target, rel=1e-9)


def test_a_start_already_there_takes_none():
    assert mixed_volumes_1(start_frac=10e-6, target_frac=20e-6, supply_frac=3e-6) == 0


def test_root_from_vent():
    assert root_oxygen_frac(vent_frac=10e-6) == pytest.approx((7e-6, 10e-6, 18e-6))
    assert root_oxygen_frac(vent_frac=vent_target_frac(target_frac=20e-6)).high == pytest.approx(20e-6)
    assert math.isclose(vent_target_frac(target_frac=18e-6), 10e-6)
