"""Keeping things apart, and ticks."""

from __future__ import annotations

import math
from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from brightroot.render.draw.axis import power_axis, straight_axis
from brightroot.render.draw.spread import lanes, spread_line, spread_round
from brightroot.render.draw.strip import share_of

places = st.lists(st.floats(0, 100), max_size=8)


@given(places)
def test_a_line_keeps_order_distance_and_bounds(wanted: list[float]) -> None:
    got = spread_line(wanted, [10.0] * len(wanted), low=0, high=100)
    by_wish = [got[k] for k in sorted(range(len(wanted)), key=lambda k: (wanted[k], k))]
    assert all(b - a >= 10 - 1e-6 for a, b in pairwise(by_wish))
    assert all(5 - 1e-6 <= g <= 95 + 1e-6 for g in got)


@given(st.lists(st.floats(-7, 7), max_size=30))
def test_a_circle_keeps_them_apart(wanted: list[float]) -> None:
    got = sorted(spread_round(wanted, apart_rad=0.15))
    turns = [*got[1:], got[0] + math.tau] if got else []
    assert all(b - a >= 0.15 - 1e-6 for a, b in zip(got, turns) if len(got) > 1)


def test_what_is_alone_stays_where_it_was() -> None:
    assert spread_round([3.0], apart_rad=0.2) == [3.0]
    assert spread_line([40.0], [10.0], low=0, high=100) == [40.0]


def test_beads_side_by_side_take_lanes_and_tie_ins_do_not() -> None:
    assert lanes([(0, 1.6), (1.55, 1.6), (3.1, -1.0), (6.0, 1.0)]) == [0, 0, 1, 1]


@given(st.lists(st.floats(-1e6, 1e6), min_size=1, max_size=5))
def test_a_straight_axis_holds_its_values(values: list[float]) -> None:
    axis = straight_axis(values)
    assert all(-1e-6 <= axis.share(v) <= 1 + 1e-6 for v in values)
    assert 2 <= len(axis.ticks) <= 8


@given(st.lists(st.floats(1e-4, 1e7), min_size=1, max_size=5))
def test_a_power_axis_holds_its_values(values: list[float]) -> None:
    axis = power_axis(values)
    assert all(-1e-6 <= axis.share(v) <= 1 + 1e-6 for v in values)
    assert len(axis.ticks) >= 2


def test_the_strip_starts_at_six_and_goes_up_through_nine() -> None:
    assert share_of(math.pi) == 0 and abs(share_of(3 * math.pi / 2) - 0.25) < 1e-12 and share_of(0) == 0.5
