import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from brightroot.base.errors import Refused
from brightroot.physics.joint.cap import (
    cap_area_m2,
    cap_centroid_height_m,
    cap_width_m,
    root_area_m2,
    root_centroid_height_m,
)
from brightroot.physics.joint.weld_volume import centroid_height_m, deposit_kg, layer_metal_m3, swept_metal_m3

V60 = {"gap_m": 0.0024, "land_m": 0.0005, "included_angle_rad": math.radians(60)}


@pytest.mark.parametrize(("od_m", "wall_m", "grams"), [(0.1683, 0.0034, 30.0), (0.0889, 0.00305, 13.5)])
def test_deposit_of_the_pump_gallery(od_m, wall_m, grams):
    metal_m3 = layer_metal_m3(bore_m=od_m - 2 * wall_m, from_height_m=0, to_height_m=wall_m, **V60)
    assert deposit_kg(metal_m3=metal_m3, density_kg_m3=4510) * 1000 == pytest.approx(grams, rel=0.02)


def test_pappus_of_a_square_groove_is_a_tube():
    # by hand: a ring 2 mm wide between radii 50 and 53 mm: π(53² − 50²) × 2 = 1941.5 mm³
    metal_m3 = layer_metal_m3(
        bore_m=0.1, from_height_m=0, to_height_m=0.003, gap_m=0.002, land_m=0, included_angle_rad=0
    )
    assert metal_m3 * 1e9 == pytest.approx(math.pi * (53**2 - 50**2) * 2, rel=1e-12)
    assert metal_m3 * 1e9 == pytest.approx(1941.5, abs=0.05)


def test_centroid_of_a_knife_edge_v_is_two_thirds_up():
    z = centroid_height_m(from_height_m=0, to_height_m=0.006, gap_m=0, land_m=0, included_angle_rad=math.pi / 2)
    assert z == pytest.approx(0.004)


@settings(max_examples=30)
@given(st.floats(0.001, 0.01), st.floats(0.1, 0.9), st.floats(0.02, 0.5))
def test_layers_sum_to_the_whole(wall_m, part, bore_m):
    wall_m += V60["land_m"]
    cut_m = part * wall_m
    whole = layer_metal_m3(bore_m=bore_m, from_height_m=0, to_height_m=wall_m, **V60)
    parts = layer_metal_m3(bore_m=bore_m, from_height_m=0, to_height_m=cut_m, **V60) + layer_metal_m3(
        bore_m=bore_m, from_height_m=cut_m, to_height_m=wall_m, **V60
    )
    assert parts == pytest.approx(whole, rel=1e-9)


def test_empty_slice_and_centroid_beyond_the_axis_are_refused():
    with pytest.raises(Refused):
        centroid_height_m(from_height_m=0.001, to_height_m=0.001, **V60)
    with pytest.raises(Refused):
        swept_metal_m3(area_m2=1e-6, bore_m=0.01, centroid_height_m=-0.006)


def test_cap_and_root_by_hand():
    assert cap_width_m(groove_width_m=0.006, overlap_m=0.001) == pytest.approx(0.008)
    assert cap_area_m2(cap_width_m=0.009, cap_height_m=0.001) == pytest.approx(6e-6)  # 2/3 × 9 × 1
    assert root_area_m2(gap_m=0.002, melt_in_m=0.0005, protrusion_m=0.001) == pytest.approx(2e-6)  # 2/3 × 3 × 1
    assert cap_centroid_height_m(wall_m=0.003, cap_height_m=0.001) == pytest.approx(0.0034)
    assert root_centroid_height_m(protrusion_m=0.001) == pytest.approx(-0.0004)


def test_a_parabola_is_a_flat_arc_to_two_percent():
    # the reason given for 2/3: circular segment with height a sixth of its width
    width, height = 6.0, 1.0
    radius = (width**2 / 4 + height**2) / (2 * height)
    half = math.asin(width / 2 / radius)
    segment = radius**2 * (half - math.sin(2 * half) / 2)
    assert cap_area_m2(cap_width_m=width / 1000, cap_height_m=height / 1000) * 1e6 == pytest.approx(segment, rel=0.025)
