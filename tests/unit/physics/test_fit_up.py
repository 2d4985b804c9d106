import math

import pytest

from brightroot.base.errors import Refused
from brightroot.physics.joint.fit_up import gap_at_m, gap_round, hilo_m

QUARTER = math.pi / 2


def test_hilo_by_hand():
    assert hilo_m(first_bore_m=0.0779, second_bore_m=0.0829, offset_m=0.0) == pytest.approx(0.0025)
    assert hilo_m(first_bore_m=0.0829, second_bore_m=0.0779, offset_m=0.001) == pytest.approx(0.0035)


def test_four_even_gaps_have_the_plain_mean():
    found = gap_round(((0, 0.0024), (QUARTER, 0.0022), (2 * QUARTER, 0.0020), (3 * QUARTER, 0.0026)))
    assert found.mean_m == pytest.approx(0.0023)
    assert (found.least_m, found.least_at_rad) == (0.0020, pytest.approx(math.pi))
    assert (found.largest_m, found.largest_at_rad) == (0.0026, pytest.approx(3 * QUARTER))


def test_crowded_readings_do_not_outvote_the_rest():
    crowd = tuple((0.01 * k, 0.003) for k in range(10))
    assert gap_round((*crowd, (math.pi, 0.001))).mean_m == pytest.approx(0.002, abs=5e-5)


def test_gap_between_neighbours_over_twelve():
    gaps = ((QUARTER, 0.002), (3 * QUARTER, 0.003))
    assert gap_at_m(gaps, at_rad=0) == pytest.approx(0.0025)
    assert gap_at_m(gaps, at_rad=3 * QUARTER) == pytest.approx(0.003)
    assert gap_at_m(gaps, at_rad=QUARTER) == pytest.approx(0.002)


@pytest.mark.parametrize("gaps", [(), ((0.0, 0.002),), ((0.0, 0.002), (0.0, 0.003)), ((0.0, 0.002), (1.0, -0.001))])
def test_refuses_too_little_or_impossible(gaps):
    with pytest.raises(Refused, match="gap_m"):
        gap_round(gaps)
