"""Old heat is looked at a few times only; the smooth curve between must be the engine's own."""

import numpy as np
import pytest

from brightroot.physics.heat.green import rise_dK
from brightroot.physics.heat.questions import _rise, after_run, after_s
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


def test_heat_still_on_its_way_to_the_next_run_is_waited_for():
    """The far side of a small pipe peaks minutes after the crater; only where it could reach the limit does it matter."""
    ring = Ring(0.0889, 0.00549, 0.15, 20.0, 2.7e6, 12.0, 8.0, 298.15)
    run, across = ArcRun(0.0, 33.0, 0.0, 1.0, 680.0), ArcRun(0.0, 1.0, 2.5, 1.0, 0.0)

    def peak_s(limit_K):
        heat = after_run(
            ring=ring, runs=[run], index=0, limit_K=limit_K, release_K=533.15, reading_z_m=0.0254, next_run=across,
            low_1=0.9, high_1=1.1, probe_low_1=0.8, probe_high_1=1.3,
        )  # fmt: skip
        return heat.peak_after_s.value

    assert peak_s(303.15) > 100 > 30 > peak_s(373.15)
