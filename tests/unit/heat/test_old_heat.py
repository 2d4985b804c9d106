"""Old heat is looked at a few times only; the smooth curve between must be the engine's own."""

import numpy as np
import pytest

from brightroot.physics.heat.green import rise_dK
from brightroot.physics.heat.questions import _rise, after_s
from brightroot.physics.heat.ring import ArcRun, Ring


@pytest.mark.parametrize("z_m", [0.0, 0.0254])
def test_between_the_looks_the_curve_is_the_engines(z_m):
    ring = Ring(0.1683, 0.0034, 0.3, 19.6, 2.75e6, 22.0, 16.0, 293.15)
    runs = [ArcRun(95.0 * k, 25.0, 2.1 * k, 0.4, 600.0) for k in range(12)]
    times = after_s() + runs[-1].stop_s
    angles = np.linspace(0.0, 6.0, 9)
    quick = _rise(ring, runs, angles, z_m, "outside", times)
    whole = rise_dK(ring=ring, runs=runs, theta_rad=angles, z_m=z_m, side="outside", time_s=times)
    assert np.abs(quick - whole).max() < 0.05
    assert whole.max() > 100
