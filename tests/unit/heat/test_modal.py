import math

import numpy as np
import pytest

from brightroot.base.errors import Refused
from brightroot.physics.heat.green import rise_dK as green_dK
from brightroot.physics.heat.modal import after_pause, cold, modes, pause_until_s, rise_dK, with_run
from brightroot.physics.heat.ring import ArcRun, Ring

RINGS = {
    "NPS 2": (Ring(0.0603, 0.0055, 0.3, 19.3, 2.71e6, 22.0, 16.0, 293.15), ArcRun(0, 30.0, 0.3, 1.5, 560.0)),
    "NPS 3": (Ring(0.0889, 0.00549, 0.15, 20.0, 2.7e6, 12.0, 8.0, 298.15), ArcRun(0, 33.25, 0.0, -1.0472, 680.0)),
    "NPS 12": (Ring(0.3239, 0.00953, 0.3, 19.3, 2.71e6, 22.0, 16.0, 293.15), ArcRun(0, 30.0, 6.1, 0.28, 700.0)),
}
ANGLES = np.linspace(0, math.tau, 24, endpoint=False)


@pytest.mark.parametrize("name", RINGS)
@pytest.mark.parametrize(
    ("place", "z_m", "from_s", "share"),
    [(1, 0.0254, 2.0, 0.002), (1, 0.0254, 0.5, 0.01), (0, 0.0, 2.0, 0.005), (0, 0.0, 0.5, 0.03)],
)
def test_against_greens_function(name, place, z_m, from_s, share):
    """After one run, from some moment after arc-off to hours: a share of the highest rise there, mean of both faces."""
    ring, run = RINGS[name]
    own = modes(ring)
    left = with_run(own, cold(own), run)
    times = from_s * np.geomspace(1, 3000, 12)
    wanted = sum(
        green_dK(ring=ring, runs=[run], theta_rad=ANGLES, z_m=z_m, side=side, time_s=run.stop_s + times) / 2
        for side in ("outside", "inside")
    )
    found = np.array(
        [rise_dK(own, after_pause(own, left, pause_s=float(t)), theta_rad=ANGLES, place=place) for t in times]
    )
    assert np.abs(found - wanted).max() < share * wanted.max()


@pytest.mark.parametrize("seed", range(12))
def test_the_kernel_is_met_in_any_ring(seed):
    """0.15 % from 2 s to 20,000 s, for short stubs and long pipes of titanium to nickel."""
    drawn = np.random.default_rng(seed)
    reach = float(np.exp(drawn.uniform(np.log(0.05), np.log(3.0))))
    ring = Ring(0.06, 0.005, reach, drawn.uniform(9, 25), drawn.uniform(1.7e6, 4.5e6), 22.0, 16.0, 293.15)
    own = modes(ring)
    assert max(own.kernel_error_frac) < 0.0015
    assert own.decay_1_s.shape == (17, 13)


def test_a_long_point_heat_spreads_as_the_root_of_time():
    """On a pipe without ends the kernel itself is (4πat)^-½: met without our own images."""
    ring = Ring(0.06, 0.005, 3.0, 20.0, 2.7e6, 0.0, 0.0, 293.15)
    own = modes(ring)
    spread, times = ring.diffusivity_m2_s, np.array([2.0, 10.0, 100.0, 1000.0, 20000.0])
    early = 0.003**2 / (2 * spread)
    found = np.exp(-np.outer(times, own.decay_1_s[0])) @ own.weight_1_m[0]
    assert found == pytest.approx(1 / np.sqrt(4 * np.pi * spread * (times + early)), rel=0.0015)


def test_it_is_linear_in_power_and_pauses_add():
    ring, run = RINGS["NPS 2"]
    own = modes(ring)
    one = with_run(own, cold(own), run)
    two = with_run(own, cold(own), ArcRun(0, 30.0, 0.3, 1.5, 1120.0))
    assert two == pytest.approx(2 * one)
    assert after_pause(own, after_pause(own, one, pause_s=3.0), pause_s=4.0) == pytest.approx(
        after_pause(own, one, pause_s=7.0)
    )


def test_runs_add_whatever_came_before():
    """Four runs one after another are what Green's function says of all four together."""
    ring, _ = RINGS["NPS 2"]
    own, state, runs, now = modes(ring), None, [], 0.0
    state = cold(own)
    for n in range(4):
        run = ArcRun(now, 30.0, n * math.pi / 2, 1.5, 560.0)
        runs.append(run)
        state = after_pause(own, with_run(own, state, run), pause_s=60.0)
        now = run.stop_s + 60.0
    wanted = green_dK(ring=ring, runs=runs, theta_rad=ANGLES, z_m=0.0254, side="outside", time_s=[now])[0]
    assert rise_dK(own, state, theta_rad=ANGLES) == pytest.approx(wanted, rel=0.01, abs=0.3)


def test_the_pause_until_a_limit():
    ring, run = RINGS["NPS 2"]
    own = modes(ring)
    left = with_run(own, cold(own), run)
    pause = pause_until_s(own, left, limit_dK=73.0, theta_rad=[run.to_rad])
    after = rise_dK(own, after_pause(own, left, pause_s=pause), theta_rad=run.to_rad)[0]
    assert after == pytest.approx(73.0, abs=0.1)
    assert pause_until_s(own, cold(own), limit_dK=73.0, theta_rad=[0.0]) == 0.0
    assert pause_until_s(own, left, limit_dK=73.0, theta_rad=[run.to_rad], horizon_s=30.0) is None


def test_no_pause_backwards():
    own = modes(RINGS["NPS 2"][0])
    with pytest.raises(Refused, match="pause_s: wanted zero or more"):
        after_pause(own, cold(own), pause_s=-1.0)
