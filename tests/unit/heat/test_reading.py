import dataclasses
import math

import pytest

from brightroot.physics.heat.reading import reading_K, still_rising
from brightroot.physics.heat.ring import ArcRun, Ring

PIPE = Ring(0.0889, 0.00549, 0.15, 20.0, 2.706e6, 12.0, 8.0, 298.15)
RUN = ArcRun(0.0, 33.248522, 0.0, math.radians(60), 680.0)
PLACE = {"ring": PIPE, "runs": [RUN], "theta_rad": RUN.to_rad, "z_m": 0.0254}


def test_seven_seconds_is_not_the_peak():
    seen = still_rising(**PLACE, time_s=RUN.stop_s + 7)
    assert seen.rising
    assert seen.peak_in_s == pytest.approx(12, abs=1)
    assert seen.peak_K > reading_K(**PLACE, time_s=RUN.stop_s + 7) + 25


def test_the_peak_lies_between_looks():
    seen = still_rising(**PLACE, time_s=RUN.stop_s)
    beside = [reading_K(**PLACE, time_s=RUN.stop_s + seen.peak_in_s + shift) for shift in (-1.0, 0.0, 1.0)]
    assert max(beside) == beside[1]
    assert seen.peak_K == pytest.approx(beside[1], abs=0.01)


def test_after_the_peak_it_falls():
    seen = still_rising(**PLACE, time_s=RUN.stop_s + 40)
    assert (seen.rising, seen.peak_in_s) == (False, 0.0)


def test_power_does_not_move_the_peak_moment():
    louder = dataclasses.replace(RUN, net_power_W=1360.0)
    one, two = (still_rising(**PLACE | {"runs": [run]}, time_s=RUN.stop_s) for run in (RUN, louder))
    assert two.peak_in_s == pytest.approx(one.peak_in_s, abs=1e-6)
