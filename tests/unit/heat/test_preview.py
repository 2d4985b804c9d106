import math

import numpy as np
import pytest

from brightroot.base.errors import Refused
from brightroot.physics.heat.preview import preview
from brightroot.physics.heat.questions import after_run
from brightroot.physics.heat.reading import still_rising
from brightroot.physics.heat.ring import ArcRun, Ring

ASKED = {"limit_K": 366.45, "release_K": 533.15, "reading_z_m": 0.0254}
NPS2 = Ring(0.0603, 0.0055, 0.2, 19.6, 2.7e6, 25.0, 12.0, 293.15)
NPS3 = Ring(0.0889, 0.00549, 0.15, 20.0, 2.7e6, 12.0, 8.0, 298.15)
NPS12 = Ring(0.3239, 0.00953, 0.3, 19.3, 2.71e6, 22.0, 16.0, 293.15)


def several(count, *, sweep=1.2, power=600.0, last_s=25.0, pause_s=90.0):
    return [ArcRun(n * (last_s + pause_s), last_s, n * 2.1, sweep, power) for n in range(count)]


@pytest.mark.parametrize(
    ("ring", "runs"),
    [
        (NPS2, [ArcRun(0.0, 30.0, 0.0, 1.5, 560.0)]),
        (NPS3, [ArcRun(0.0, 33.25, 0.0, -1.0472, 680.0)]),
        (NPS12, [ArcRun(0.0, 30.0, 1.0, 0.28, 700.0)]),
        (NPS2, several(4)),
    ],
)
def test_it_says_what_many_looks_say(ring, runs):
    seen = preview(ring=ring, runs=runs, **ASKED)
    many = after_run(
        ring=ring,
        runs=runs,
        index=len(runs) - 1,
        next_run=None,
        low_1=1,
        high_1=1,
        probe_low_1=1,
        probe_high_1=1,
        **ASKED,
    )
    assert seen.reading_at_arc_off_K == pytest.approx(many.reading_at_arc_off_K.value, abs=1e-6)
    assert seen.reading_peak_K == pytest.approx(many.reading_peak_K.value, abs=0.3)
    hold = max(many.hold_outer_s.value, many.hold_inner_s.value)
    assert seen.hold_s == pytest.approx(hold, rel=0.005, abs=0.1)
    assert seen.wait_s == pytest.approx(many.wait_s.value, rel=0.005, abs=0.1)
    assert seen.hot_length_outer_m == pytest.approx(many.hot_length_outer_m.value, abs=0.0003)
    assert seen.hot_length_inner_m == pytest.approx(many.hot_length_inner_m.value, abs=0.0003)


def test_the_peak_is_the_one_that_a_reading_would_wait_for():
    runs = several(2)
    seen = preview(ring=NPS2, runs=runs, **ASKED)
    wanted = still_rising(ring=NPS2, runs=runs, theta_rad=runs[-1].to_rad, z_m=0.0254, time_s=runs[-1].stop_s)
    assert seen.peak_after_s == pytest.approx(wanted.peak_in_s, abs=1.0)
    assert seen.reading_peak_K == pytest.approx(wanted.peak_K, abs=0.3)


def test_nothing_that_hot_is_no_wait():
    weak = [ArcRun(0.0, 5.0, 0.0, 0.1, 30.0)]
    seen = preview(ring=NPS3, runs=weak, **ASKED)
    assert (seen.wait_s, seen.hot_length_inner_m) == (0.0, 0.0)


def test_a_limit_that_is_never_met_has_no_number():
    still = Ring(0.0603, 0.0055, 0.1, 19.6, 2.7e6, 0.0, 0.0, 293.15)  # gives nothing away
    seen = preview(ring=still, runs=several(6, power=900.0), **{**ASKED, "limit_K": 330.0})
    assert seen.wait_s is None
    hotter = preview(ring=still, runs=several(6), **{**ASKED, "limit_K": 290.0})
    assert hotter.wait_s is None


def test_twice_the_power_is_twice_the_rise():
    one, two = (preview(ring=NPS3, runs=[ArcRun(0.0, 33.0, 0.0, 1.0, p)], **ASKED) for p in (400.0, 800.0))
    assert two.reading_peak_K - 298.15 == pytest.approx(2 * (one.reading_peak_K - 298.15))
    assert two.peak_after_s == pytest.approx(one.peak_after_s)


def test_without_a_run_there_is_nothing_to_see():
    with pytest.raises(Refused, match="runs: wanted one run or more"):
        preview(ring=NPS3, runs=[], **ASKED)


def test_all_numbers_are_finite():
    seen = preview(ring=NPS12, runs=[ArcRun(0.0, 60.0, 0.0, math.tau * 0.9, 2500.0)], **ASKED)
    known = [v for name in seen.__slots__ if (v := getattr(seen, name)) is not None]
    assert np.isfinite(known).all()
