import math

import numpy as np
import pytest

from brightroot.base.errors import Refused
from brightroot.physics.heat.green import rise_dK as green_dK
from brightroot.physics.heat.kernel import kernel_error_frac, rates_1_s, weights_1_m
from brightroot.physics.heat.modal import (
    after_pause,
    cold,
    fit_error_frac,
    left_by,
    modes,
    pauses_until_s,
    rise_dK,
    with_run,
)
from brightroot.physics.heat.questions import hold_and_wait
from brightroot.physics.heat.ring import ArcRun, Ring

RINGS = {
    "NPS 2": (Ring(0.0603, 0.0055, 0.3, 19.3, 2.71e6, 22.0, 16.0, 293.15), ArcRun(0, 30.0, 0.3, 1.5, 560.0)),
    "NPS 3": (Ring(0.0889, 0.00549, 0.15, 20.0, 2.7e6, 12.0, 8.0, 298.15), ArcRun(0, 33.25, 0.0, -1.0472, 680.0)),
    "NPS 12": (Ring(0.3239, 0.00953, 0.3, 19.3, 2.71e6, 22.0, 16.0, 293.15), ArcRun(0, 30.0, 6.1, 0.28, 700.0)),
}
ANGLES = np.linspace(0, math.tau, 24, endpoint=False)


@pytest.mark.parametrize("name", RINGS)
@pytest.mark.parametrize(
    ("z_m", "from_s", "share"),
    [(0.0254, 2.0, 0.002), (0.0254, 0.5, 0.01), (0.02, 2.0, 0.01), (0.0, 2.0, 0.005), (0.0, 0.5, 0.03)],
)
def test_against_greens_function(name, z_m, from_s, share):
    """After one run, from some moment after arc-off to hours: a share of the highest rise there, mean of both faces."""
    ring, run = RINGS[name]
    own = modes(ring)
    times = from_s * np.geomspace(1, 3000, 12)
    wanted = sum(
        green_dK(ring=ring, runs=[run], theta_rad=ANGLES, z_m=z_m, side=side, time_s=run.stop_s + times) / 2
        for side in ("outside", "inside")
    )
    found = np.array(
        [rise_dK(own, left_by(own, [run], time_s=run.stop_s + t), theta_rad=ANGLES, z_m=z_m)[0] for t in times]
    )
    assert np.abs(found - wanted).max() < share * wanted.max()


@pytest.mark.parametrize("seed", range(12))
def test_the_kernel_is_met_in_any_pipe(seed):
    """0.16 % from 2 s to 20,000 s on the weld and at one inch, for short stubs and long pipes of titanium to nickel."""
    drawn = np.random.default_rng(seed)
    reach = float(np.exp(drawn.uniform(np.log(0.05), np.log(3.0))))
    ring = Ring(0.06, 0.005, reach, drawn.uniform(9, 25), drawn.uniform(1.7e6, 4.5e6), 22.0, 16.0, 293.15)
    own = modes(ring)
    assert own.decay_1_s.shape == (1, 17, 13)
    assert max(fit_error_frac(own, z_m=z) for z in (0.0, 0.0254)) < 0.0016
    assert max(fit_error_frac(own, z_m=z) for z in (0.02, 0.05)) < 0.012


def test_a_long_point_heat_spreads_as_the_root_of_time():
    """On a pipe without ends the kernel is (4πat)^-½, written here without our own images."""
    pipe = {"spread_m2_s": 7.4e-6, "half_length_m": 3.0, "sigma_m": 0.003}
    times = np.array([2.0, 10.0, 100.0, 1000.0, 20000.0])
    found = np.exp(-np.outer(times, rates_1_s(**pipe))) @ weights_1_m(**pipe, z_m=0.0)
    early = 0.003**2 / (2 * 7.4e-6)
    assert found == pytest.approx(1 / np.sqrt(4 * np.pi * 7.4e-6 * (times + early)), rel=0.0016)
    assert kernel_error_frac(**pipe, z_m=0.0) < 0.0016


def test_it_is_linear_in_power_and_pauses_add():
    ring, run = RINGS["NPS 2"]
    own = modes(ring)
    one = with_run(own, cold(own), run)
    two = with_run(own, cold(own), ArcRun(0, 30.0, 0.3, 1.5, 1120.0))
    assert two == pytest.approx(2 * one)
    assert after_pause(own, after_pause(own, one, pause_s=3.0), pause_s=4.0) == pytest.approx(
        after_pause(own, one, pause_s=7.0)
    )


def four_runs():
    return [ArcRun(90.0 * n, 30.0, n * math.pi / 2, 1.5, 560.0) for n in range(4)]


def test_runs_add_whatever_came_before():
    """Four runs one after another are what Green's function says of all four together."""
    ring, runs = RINGS["NPS 2"][0], four_runs()
    own, now = modes(ring), runs[-1].stop_s + 60.0
    wanted = green_dK(ring=ring, runs=runs, theta_rad=ANGLES, z_m=0.0254, side="outside", time_s=[now])[0]
    found = rise_dK(own, left_by(own, runs, time_s=now), theta_rad=ANGLES, z_m=0.0254)[0]
    assert found == pytest.approx(wanted, rel=0.005, abs=0.2)


def test_losses_are_carried_side_by_side():
    ring, runs = RINGS["NPS 2"][0], four_runs()
    several = modes(ring, losses_1=(0.5, 1.0, 2.0))
    together = rise_dK(several, left_by(several, runs, time_s=600.0), theta_rad=ANGLES, z_m=0.0254)
    for row, loss in zip(together, (0.5, 1.0, 2.0), strict=True):
        lossy = Ring(*[getattr(ring, n) for n in ("outer_diameter_m", "wall_m", "half_length_m", "conductivity_W_mK")],
                     ring.heat_capacity_J_m3K, 22.0 * loss, 16.0 * loss, 293.15)  # fmt: skip
        own = modes(lossy)
        assert row == pytest.approx(rise_dK(own, left_by(own, runs, time_s=600.0), theta_rad=ANGLES, z_m=0.0254)[0])
    assert (together[0] > together[1]).all() and (together[1] > together[2]).all()


@pytest.mark.parametrize("name", RINGS)
def test_pauses_are_holds_and_waits(name):
    """The same questions asked of Green's function: 1 % and half a second."""
    ring, run = RINGS[name]
    own = modes(ring)
    left = left_by(own, [run], time_s=run.stop_s)
    (hold, wait), = hold_and_wait(
        ring=ring, runs=[run], limit_K=366.45, release_K=533.15, reading_z_m=0.0254, next_run=None, scales_1=[1.0]
    )  # fmt: skip
    along = np.linspace(run.from_rad, run.to_rad, 13)
    found = (
        pauses_until_s(own, left, limit_dK=533.15 - ring.ambient_K, theta_rad=along, z_m=0.0)[0],
        pauses_until_s(own, left, limit_dK=366.45 - ring.ambient_K, theta_rad=run.to_rad, z_m=0.0254)[0],
    )
    assert found == pytest.approx((hold, wait), rel=0.01, abs=0.5)


def test_a_pause_ends_at_its_limit():
    ring, run = RINGS["NPS 2"]
    own = modes(ring, losses_1=(1.0, 2.0))
    left = with_run(own, cold(own), run)
    pauses = pauses_until_s(own, left, limit_dK=73.0, theta_rad=[run.to_rad], z_m=0.0254)
    assert pauses[1] < pauses[0]
    after = rise_dK(own, after_pause(own, left, pause_s=pauses[0]), theta_rad=run.to_rad, z_m=0.0254)[0, 0]
    assert after == pytest.approx(73.0, abs=0.2)


def test_a_pause_may_be_none_at_all_or_without_end():
    ring, run = RINGS["NPS 2"]
    own = modes(ring)
    left = with_run(own, cold(own), run)
    ask = {"theta_rad": [run.to_rad], "z_m": 0.0254}
    assert pauses_until_s(own, cold(own), limit_dK=73.0, **ask) == (0.0,)
    assert pauses_until_s(own, left, limit_dK=73.0, horizon_s=30.0, **ask) == (None,)
    assert pauses_until_s(own, left, limit_dK=0.0, **ask) == (None,)


def test_no_pause_backwards():
    own = modes(RINGS["NPS 2"][0])
    with pytest.raises(Refused, match="pause_s: wanted zero or more"):
        after_pause(own, cold(own), pause_s=-1.0)
