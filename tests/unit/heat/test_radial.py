"""Radial shapes against Bessel functions: an independent way to the same eigenvalues."""

import numpy as np
import pytest
from scipy.optimize import brentq
from scipy.special import jvp, yvp

from brightroot.physics.heat.radial import shapes


def by_bessel(order, outer, inner):
    def cross(b):
        return jvp(order, b * outer) * yvp(order, b * inner) - jvp(order, b * inner) * yvp(order, b * outer)

    mean = (outer + inner) / 2
    return brentq(cross, 0.9 * order / mean, 1.05 * order / mean) ** 2


@pytest.mark.parametrize("order", [1, 2, 5, 12])
@pytest.mark.parametrize("wall_m", [0.003, 0.012])
def test_decay(order, wall_m):
    found = shapes(outer_diameter_m=0.09, wall_m=wall_m, count=20).decay_per_m2[order, 0]
    assert found == pytest.approx(by_bessel(order, 0.045, 0.045 - wall_m), rel=1e-7)


def test_even_heat_is_even():
    shape = shapes(outer_diameter_m=0.09, wall_m=0.012, count=5)
    assert shape.outer_1[0, 0] == pytest.approx(1.0) and shape.inner_1[0, 0] == pytest.approx(1.0)


def test_waves_lean_inwards_where_the_way_is_shorter():
    shape = shapes(outer_diameter_m=0.09, wall_m=0.012, count=5)
    assert np.all(shape.outer_1[1:, 0] > 0) and np.all(shape.inner_1[1:, 0] > 0)
    assert shape.decay_per_m2[3, 0] > (3 / 0.045) ** 2  # faster than on the outer face alone
    assert shape.decay_per_m2[3, 0] < (3 / 0.033) ** 2
