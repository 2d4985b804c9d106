"""Arcs, tacks and runs: their order per position, uphill on fixed pipe, tacks away from restarts."""

import math

import pytest

from brightroot.base.clock import TURN_RAD, show_clock
from brightroot.model.joint import POSITIONS
from brightroot.model.plan import PlannedPass
from brightroot.planner.arcs import plan_arcs, plan_runs, plan_tacks

ROOT = (PlannedPass(1, "root", 1, 0.0024, ()),)


def middles(position, circumference_m=0.529):
    arcs = plan_arcs(position=POSITIONS[position], circumference_m=circumference_m, longest_arc_m=0.2)
    return [show_clock(a.from_rad + a.sweep_rad / 2) for a in arcs]


def runs_of(position, circumference_m=0.529, passes=ROOT):
    arcs = plan_arcs(position=POSITIONS[position], circumference_m=circumference_m, longest_arc_m=0.2)
    return plan_runs(
        arcs=arcs, passes=passes, position=POSITIONS[position], radius_m=circumference_m / TURN_RAD,
        longest_run_m=0.06, stagger_m=0.012,
    )  # fmt: skip


def test_fixed_horizontal_starts_at_the_bottom_and_goes_opposite():
    assert middles("5G") == ["6:00", "12:00", "3:00", "9:00"]


def test_big_pipe_gets_more_arcs_still_opposite():
    found = middles("5G", circumference_m=1.5)
    assert found[:2] == ["6:00", "12:00"]
    for one, other in zip(found[::2], found[1::2], strict=True):
        assert (int(one.split(":")[0]) - int(other.split(":")[0])) % 12 == 6


def test_vertical_and_rolled_have_their_own_order():
    assert middles("2G") == ["1:30", "7:30", "4:30", "10:30"]
    assert middles("1G") == ["1:30", "4:30", "7:30", "10:30"]


@pytest.mark.parametrize("position", ["1G", "2G", "5G", "6G"])
def test_a_pass_goes_once_round(position):
    runs = runs_of(position)
    assert sum(abs(r.sweep_rad) for r in runs) == pytest.approx(TURN_RAD)
    assert max(abs(r.sweep_rad) for r in runs) * 0.529 / TURN_RAD <= 0.066 + 1e-9


@pytest.mark.parametrize("position", ["5G", "6G"])
def test_fixed_pipe_is_welded_uphill(position):
    for run in runs_of(position):
        assert math.cos(run.from_rad + run.sweep_rad) > math.cos(run.from_rad)


def test_starts_of_the_next_layer_are_staggered():
    passes = (*ROOT, PlannedPass(2, "cap", 1, 0.0024, ()))
    runs = runs_of("2G", passes=passes)
    first, second = ([r for r in runs if r.pass_number == n] for n in (1, 2))
    apart = [(b.from_rad - a.from_rad) * 0.529 / TURN_RAD for a, b in zip(first, second, strict=True)]
    assert apart == pytest.approx([0.012] * len(apart))


@pytest.mark.parametrize(("circumference_m", "count"), [(0.19, 3), (0.36, 3), (0.529, 4), (0.69, 5), (1.02, 7)])
def test_tacks_by_size_follow_common_practice(circumference_m, count):
    """Common practice, no source: 3 to NPS 4, 4 to 6 at NPS 6 to 8, 6 to 8 at NPS 10 to 12, never over 150 mm apart."""
    runs = runs_of("5G", circumference_m)
    tacks = plan_tacks(runs=runs, circumference_m=circumference_m, spacing_m=0.15)
    assert len(tacks) == count
    assert all(t.cut_before_run for t in tacks)


def test_tacks_stay_away_from_restarts():
    runs = runs_of("5G")
    for tack in plan_tacks(runs=runs, circumference_m=0.529, spacing_m=0.15):
        nearest = min(
            abs((tack.at_rad - e + math.pi) % TURN_RAD - math.pi)
            for r in runs
            for e in (r.from_rad, r.from_rad + r.sweep_rad)
        )
        assert nearest * 0.529 / TURN_RAD > 0.01
