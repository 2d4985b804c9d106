import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from brightroot.base.errors import Refused
from brightroot.physics.joint.bead import (
    bead_area_m2,
    beads_count,
    drawn_rod_length_m,
    layers_count,
    rod_length_m,
    rods_count,
)


def test_bead_area_by_hand():
    # 2 mm rod is 3.1416 mm²; fed 120 mm/min over 60 mm/min: two of them
    assert bead_area_m2(rod_diameter_m=0.002, feed_m_s=0.002, travel_m_s=0.001) == pytest.approx(2 * math.pi * 1e-6)
    assert bead_area_m2(rod_diameter_m=0.002, feed_m_s=0, travel_m_s=0.001) == 0


@pytest.mark.parametrize(("area", "most", "count"), [(0, 6e-6, 0), (12e-6, 6e-6, 2), (12.1e-6, 6e-6, 3), (0.3, 0.1, 3)])
def test_beads(area, most, count):
    assert beads_count.card.function(area_m2=area, largest_bead_m2=most) == count


def test_layers_do_not_trip_on_the_last_digit():
    assert layers_count(fill_height_m=0.1 + 0.2 - 0.297, layer_height_m=0.003) == 1


def test_rods_by_hand():
    # 1000 mm³ of 2 mm rod: 318.3 mm; from 1 m rods with 100 mm stubs: one rod; 10 of these: 3.183 m needs four
    length_m = rod_length_m(metal_m3=1000e-9, rod_diameter_m=0.002)
    assert length_m == pytest.approx(0.3183, abs=5e-5)
    assert rods_count(rod_length_m=length_m, one_rod_m=1.0, stub_m=0.1) == 1
    assert rods_count(rod_length_m=10 * length_m, one_rod_m=1.0, stub_m=0.1) == 4
    assert drawn_rod_length_m(rod_length_m=0.9, one_rod_m=1.0, stub_m=0.1) == pytest.approx(1.0)


@settings(max_examples=30)
@given(st.floats(0.01, 20), st.floats(0, 0.2))
def test_drawn_rod_is_never_less_than_used_and_rods_cover_it(length_m, stub_m):
    drawn_m = drawn_rod_length_m(rod_length_m=length_m, one_rod_m=0.914, stub_m=stub_m)
    assert drawn_m >= length_m * (1 - 1e-12)
    assert rods_count(rod_length_m=length_m, one_rod_m=0.914, stub_m=stub_m) * 0.914 >= drawn_m * (1 - 1e-8)


def test_a_stub_as_long_as_the_rod_is_refused():
    with pytest.raises(Refused, match="stub_m"):
        rods_count(rod_length_m=1, one_rod_m=0.3, stub_m=0.3)
