import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from brightroot.base.errors import Refused
from brightroot.physics.purge.open_arc import (
    OUTFLOW_MARGIN_1,
    back_diffusion_flow_m3_s,
    back_diffusion_frac,
    flooding_flow_m3_s,
    least_arc_flow_m3_s,
    open_area_m2,
    outflow_speed_needed_m_s,
)
from brightroot.physics.purge.vent import (
    SHARP_EDGE_1,
    column_Pa,
    flow_for_pressure_m3_s,
    gap_share_frac,
    opening_area_m2,
    outflow_speed_m_s,
    overpressure_Pa,
    vent_area_needed_m2,
    wind_Pa,
)

L_MIN = 1 / 60000
ARGON, AIR = 1.6618, 1.2046
GAS = {"density_kg_m3": ARGON, "discharge_1": SHARP_EDGE_1}
RING = {
    "overpressure_top_Pa": 0,
    "argon_density_kg_m3": ARGON,
    "air_density_kg_m3": AIR,
    "discharge_1": SHARP_EDGE_1,
}
TURN = 2 * math.pi
ARCS = {
    "full": (0, TURN),
    "side": (math.radians(45), math.radians(135)),
    "top": (math.radians(315), math.radians(45)),
    "bottom": (math.radians(135), math.radians(225)),
}


@pytest.mark.parametrize(("mm", "pascal", "within"), [(3, 1241, 0.5), (5, 161, 0.5), (8, 24.5, 0.1), (10, 10.0, 0.1)])
def test_pressure_over_a_vent_at_ten_litres(mm, pascal, within):
    area = opening_area_m2(opening_diameter_m=mm / 1000)
    found = overpressure_Pa(flow_m3_s=10 * L_MIN, vent_area_m2=area, gap_area_m2=0, **GAS)
    assert found == pytest.approx(pascal, abs=within)


@pytest.mark.parametrize(("mm", "litres"), [(5, 3.9), (8, 10.1), (10, 15.8)])
def test_step_down_before_the_last_closing(mm, litres):
    area = opening_area_m2(opening_diameter_m=mm / 1000)
    flow = flow_for_pressure_m3_s(overpressure_Pa=25, vent_area_m2=area, gap_area_m2=0, **GAS)
    assert flow / L_MIN == pytest.approx(litres, abs=0.06)
    assert vent_area_needed_m2(flow_m3_s=flow, overpressure_Pa=25, gap_area_m2=0, **GAS) == pytest.approx(area)


def test_vent_and_gap_share_one_pressure():
    vent, gap, flow = 20e-6, 60e-6, 10 * L_MIN
    both = overpressure_Pa(flow_m3_s=flow, vent_area_m2=vent, gap_area_m2=gap, **GAS)
    share = gap_share_frac(vent_area_m2=vent, gap_area_m2=gap)
    alone = overpressure_Pa(flow_m3_s=share * flow, vent_area_m2=0, gap_area_m2=gap, **GAS)
    assert both == pytest.approx(alone)
    # by hand: three quarters of 10 L/min through 60 mm² is 125e-6 / 60e-6 = 2.08 m/s
    assert outflow_speed_m_s(flow_m3_s=flow, share_frac=share, open_area_m2=gap) == pytest.approx(2.083, abs=5e-4)
    assert vent_area_needed_m2(flow_m3_s=flow, overpressure_Pa=25, gap_area_m2=1e-3, **GAS) == 0


def test_shut_pipe_is_refused():
    with pytest.raises(Refused, match="open_area_m2"):
        overpressure_Pa(flow_m3_s=10 * L_MIN, vent_area_m2=0, gap_area_m2=0, **GAS)


def test_column_and_wind():
    assert column_Pa(height_m=1, argon_density_kg_m3=ARGON, air_density_kg_m3=AIR) == pytest.approx(4.5, abs=0.05)
    for wind, pascal in ((1, 0.6), (2, 2.4), (3, 5.4)):
        assert wind_Pa(wind_m_s=wind, air_density_kg_m3=AIR) == pytest.approx(pascal, abs=0.05)


@pytest.mark.parametrize(("depth_mm", "speed"), [(1.5, 0.117), (3, 0.059), (5, 0.035)])
def test_outflow_against_diffusion(depth_mm, speed):
    found = outflow_speed_needed_m_s(added_frac=20e-6, depth_m=depth_mm / 1000, diffusivity_m2_s=1.9e-5)
    assert found == pytest.approx(speed, abs=5e-4)
    back = back_diffusion_frac(outflow_speed_m_s=found, depth_m=depth_mm / 1000, diffusivity_m2_s=1.9e-5)
    assert back == pytest.approx(20e-6)


@pytest.mark.parametrize(("arc", "litres"), [("full", 10.8), ("side", 2.35), ("top", 0.82), ("bottom", 1.26)])
def test_flooding_of_a_100_mm_ring(arc, litres):
    start, end = ARCS[arc]
    flow = flooding_flow_m3_s(ring_diameter_m=0.1, gap_m=0.002, from_rad=start, to_rad=end, **RING)
    assert flow / L_MIN == pytest.approx(litres, rel=0.005)


@pytest.mark.parametrize(("arc", "litres"), [("full", 45.6), ("side", 10.0), ("top", 3.5), ("bottom", 5.4)])
def test_flooding_of_a_200_mm_ring(arc, litres):
    start, end = ARCS[arc]
    flow = flooding_flow_m3_s(ring_diameter_m=0.2, gap_m=0.003, from_rad=start, to_rad=end, **RING)
    assert flow / L_MIN == pytest.approx(litres, rel=0.012)


def test_full_ring_in_closed_form():
    # ∫√(R(1 − cos θ)) R dθ over a turn is 4√2·R^1.5
    exact = SHARP_EDGE_1 * 0.002 * math.sqrt(2 * (ARGON - AIR) * 9.80665 / ARGON) * 4 * math.sqrt(2) * 0.05**1.5
    flow = flooding_flow_m3_s(ring_diameter_m=0.1, gap_m=0.002, from_rad=0, to_rad=TURN, **RING)
    assert flow == pytest.approx(exact, rel=1e-5)


def test_arc_area_over_twelve_and_none():
    # a quarter of a 100 mm ring, 2 mm gap: π × 100 / 4 × 2 = 157.1 mm²
    for start, end in (ARCS["top"], ARCS["side"]):
        area = open_area_m2(ring_diameter_m=0.1, gap_m=0.002, from_rad=start, to_rad=end)
        assert area * 1e6 == pytest.approx(157.08, abs=0.01)
    assert open_area_m2(ring_diameter_m=0.1, gap_m=0.002, from_rad=1, to_rad=1) == 0


@settings(max_examples=25)
@given(st.floats(0, TURN - 0.01), st.floats(0.1, 3), st.floats(0.05, 2), st.floats(0.1, 20))
def test_longer_arc_wider_gap_and_pressure_let_out_more(start, span, more, pascal):
    arc = {"ring_diameter_m": 0.1, "gap_m": 0.002, "from_rad": start, "to_rad": start + span}
    flow = flooding_flow_m3_s(**arc, **RING)
    assert flow > 0
    assert flooding_flow_m3_s(**arc | {"to_rad": start + span + more}, **RING) > flow
    assert flooding_flow_m3_s(**arc | {"gap_m": 0.003}, **RING) == pytest.approx(1.5 * flow)
    assert flooding_flow_m3_s(**arc, **RING | {"overpressure_top_Pa": pascal}) > flow


@settings(max_examples=25)
@given(st.floats(0.1, 3.0), st.floats(0.1, 3.0))
def test_left_and_right_are_alike(start, span):
    arc = {"ring_diameter_m": 0.1, "gap_m": 0.002}
    right = flooding_flow_m3_s(from_rad=start, to_rad=start + span, **arc, **RING)
    left = flooding_flow_m3_s(from_rad=-(start + span), to_rad=-start, **arc, **RING)
    assert left == pytest.approx(right, rel=1e-6)


def test_the_larger_guard_wins():
    area = open_area_m2(ring_diameter_m=0.1, gap_m=0.002, from_rad=ARCS["top"][0], to_rad=ARCS["top"][1])
    speed = outflow_speed_needed_m_s(added_frac=20e-6, depth_m=0.0015, diffusivity_m2_s=1.9e-5)
    diffusion = back_diffusion_flow_m3_s(outflow_speed_m_s=speed, open_area_m2=area, margin_1=OUTFLOW_MARGIN_1)
    flooding = flooding_flow_m3_s(
        ring_diameter_m=0.1, gap_m=0.002, from_rad=ARCS["top"][0], to_rad=ARCS["top"][1], **RING
    )
    # at the top of a small pipe it is diffusion: 2 × 0.117 m/s × 157 mm² = 2.2 L/min against 0.8
    assert diffusion / L_MIN == pytest.approx(2.2, abs=0.02)
    assert least_arc_flow_m3_s(flooding_flow_m3_s=flooding, back_diffusion_flow_m3_s=diffusion) == diffusion


def test_a_lighter_gas_is_refused():
    with pytest.raises(Refused, match="argon_density_kg_m3"):
        flooding_flow_m3_s(
            ring_diameter_m=0.1, gap_m=0.002, from_rad=0, to_rad=1, **RING | {"argon_density_kg_m3": 0.17}
        )
