import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from brightroot.base.errors import OutOfRange, Refused
from brightroot.physics.joint.groove import groove_area_m2, groove_width_m, height_reached_m, layer_area_m2

V60 = {"gap_m": 0.0024, "land_m": 0.0005, "included_angle_rad": math.radians(60)}
sections = st.fixed_dictionaries(
    {
        "gap_m": st.floats(0.0005, 0.005),
        "land_m": st.floats(0, 0.002),
        "included_angle_rad": st.floats(0, math.radians(100)),
    }
)


@pytest.mark.parametrize(("wall_m", "mm2"), [(0.0034, 13.0), (0.00305, 11.1)])
def test_bare_groove_of_the_pump_gallery(wall_m, mm2):
    assert groove_area_m2(wall_m=wall_m, **V60) * 1e6 == pytest.approx(mm2, abs=0.05)


def test_square_groove_is_gap_times_wall():
    # by hand: 2 mm × 3 mm
    assert groove_area_m2(gap_m=0.002, land_m=0.001, included_angle_rad=0, wall_m=0.003) == pytest.approx(6e-6)


def test_ninety_degree_knife_edge_by_hand():
    # gap 1, wall 3, no land, 90°: 1 × 3 + 3² × tan 45° = 12 mm²; width 1 + 2 × 3 = 7 mm
    knife = {"gap_m": 0.001, "land_m": 0.0, "included_angle_rad": math.pi / 2}
    assert groove_area_m2(wall_m=0.003, **knife) == pytest.approx(12e-6)
    assert groove_width_m(height_m=0.003, **knife) == pytest.approx(0.007)


def test_width_is_the_gap_below_the_land():
    assert groove_width_m(height_m=0.0004, **V60) == V60["gap_m"]


@settings(max_examples=40)
@given(sections, st.floats(0.002, 0.02), st.floats(0, 1))
def test_layers_add_up_and_invert(section, wall_m, part):
    middle_m = part * wall_m
    low = layer_area_m2(from_height_m=0, to_height_m=middle_m, **section)
    high = layer_area_m2(from_height_m=middle_m, to_height_m=wall_m, **section)
    assert low + high == pytest.approx(groove_area_m2(wall_m=wall_m, **section), rel=1e-12)
    assert height_reached_m(layer_area_m2=high, from_height_m=middle_m, **section) == pytest.approx(wall_m, rel=1e-6)


@settings(max_examples=30)
@given(sections, st.floats(0.002, 0.02), st.floats(1.001, 1.5))
def test_wider_gap_thicker_wall_and_wider_angle_take_more(section, wall_m, more):
    area = groove_area_m2(wall_m=wall_m, **section)
    assert groove_area_m2(wall_m=wall_m * more, **section) > area
    assert groove_area_m2(wall_m=wall_m, **section | {"gap_m": section["gap_m"] * more}) > area
    opened = section | {"included_angle_rad": section["included_angle_rad"] + 0.1}
    assert groove_area_m2(wall_m=wall_m + 0.001, **opened) > groove_area_m2(wall_m=wall_m + 0.001, **section)


@pytest.mark.parametrize(
    ("change", "field"),
    [({"land_m": 0.004}, "land_m"), ({"gap_m": -0.001}, "gap_m"), ({"wall_m": math.nan}, "wall_m")],
)
def test_refuses(change, field):
    with pytest.raises(Refused) as no:
        groove_area_m2(**{"wall_m": 0.0034, **V60} | change)
    assert no.value.field == field


def test_strict_call_names_the_range():
    with pytest.raises(OutOfRange, match="included_angle_rad"):
        groove_area_m2(gap_m=0.002, land_m=0, included_angle_rad=3.0, wall_m=0.003)


def test_upside_down_layer_and_closed_butt_are_refused():
    with pytest.raises(Refused, match="to_height_m"):
        layer_area_m2(from_height_m=0.002, to_height_m=0.001, **V60)
    with pytest.raises(Refused, match="gap_m"):
        height_reached_m(layer_area_m2=1e-6, from_height_m=0, gap_m=0, land_m=0, included_angle_rad=0)
