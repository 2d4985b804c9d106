"""Green's function on the ring: limits known in closed form, brute force, conservation, and what linearity promises."""

import dataclasses
import math
import time

import numpy as np
import pytest

from brightroot.base.errors import Refused
from brightroot.physics.heat import green
from brightroot.physics.heat.green import rise_dK, temperature_K
from brightroot.physics.heat.plate import thick_plate_rise_dK, thin_plate_rise_dK
from brightroot.physics.heat.ring import ArcRun, Ring

PIPE = Ring(0.0889, 0.00549, 0.15, 20.0, 2.7e6, 12.0, 8.0, 298.15)
RUN = ArcRun(0.0, 33.25, 0.0, math.radians(60), 680.0)
STILL = dataclasses.replace(PIPE, loss_outer_W_m2K=0.0, loss_inner_W_m2K=0.0)


def one(ring, runs, angle, z_m, side, when, **more):
    return float(temperature_K(ring=ring, runs=runs, theta_rad=angle, z_m=z_m, side=side, time_s=when, **more)) - 298.15


@pytest.mark.parametrize("across_m", [0.008, 0.015])
def test_thick_plate(across_m):
    metal = {"conductivity_W_mK": 20.0, "heat_capacity_J_m3K": 2.7e6}
    ring = Ring(3.0, 0.12, 1.0, *metal.values(), 0.0, 0.0, 298.15)
    run = ArcRun(0.0, 50.0, 0.0, 50 * 0.002 / 1.5, 1000.0)
    wanted = thick_plate_rise_dK(net_power_W=1000.0, travel_m_s=0.002, ahead_m=-0.005, across_m=across_m, **metal)
    found = one(ring, [run], run.to_rad - 0.005 / 1.5, across_m, "outside", 50.0, sigma_m=0.0005)
    # the face is slightly rounded and the arc half a millimetre wide
    assert found == pytest.approx(wanted, rel=0.01)


@pytest.mark.parametrize("across_m", [0.01, 0.0254])
def test_thin_plate(across_m):
    metal = {"conductivity_W_mK": 20.0, "heat_capacity_J_m3K": 2.7e6}
    ring = Ring(1.0, 0.0005, 1.0, *metal.values(), 0.0, 0.0, 298.15)
    run = ArcRun(0.0, 100.0, 0.0, 0.4, 100.0)
    plate = {"net_power_W": 100.0, "travel_m_s": 0.002, "wall_m": 0.0005, **metal}
    wanted = thin_plate_rise_dK(ahead_m=-0.01, across_m=across_m, **plate)
    found = one(ring, [run], run.to_rad - 0.02, across_m, "inside", 100.0, sigma_m=0.0005)
    assert found == pytest.approx(wanted, rel=0.004)  # the arc's half millimetre alone is 0.0025


def test_brute_force_in_a_thin_ring():
    """The same heat as a plain sum of small spots in an unrolled thin sheet, with images round and along."""
    ring = Ring(0.06, 0.0002, 0.05, 20.0, 2.7e6, 30.0, 10.0, 298.15)
    run = ArcRun(2.0, 20.0, 0.3, -4.0, 40.0)
    spots = 40000
    lag = (np.arange(spots) + 0.5) / spots * run.duration_s
    for when, angle, z_m in [(22.0, -2.0, 0.004), (30.0, 1.0, 0.02), (90.0, 3.0, 0.045), (12.0, -1.5, 0.0)]:
        on = lag < when - run.start_s
        tau = (when - run.start_s - lag)[on]
        spread = 0.003**2 + 2 * ring.diffusivity_m2_s * tau
        arc = run.from_rad + run.sweep_rad * lag[on] / run.duration_s
        apart = ring.mean_radius_m * (angle - arc[:, None] + 2 * np.pi * np.arange(-6, 7))
        ends = 2 * ring.half_length_m * np.arange(-4, 5)
        around = np.exp(-(apart**2) / (2 * spread[:, None])).sum(axis=1)
        along = np.exp(-((ends + z_m * (-1.0) ** np.arange(9)) ** 2) / (2 * spread[:, None])).sum(axis=1)
        heat = run.net_power_W / (ring.heat_capacity_J_m3K * ring.wall_m) * np.exp(-ring.loss_rate * tau)
        wanted = float((heat * around * along / (2 * np.pi * spread)).sum() * run.duration_s / spots)
        assert one(ring, [run], angle, z_m, "outside", when) == pytest.approx(wanted, rel=2e-3)


def test_twice_the_gauss_points_move_nothing(monkeypatch):
    runs = [dataclasses.replace(RUN, start_s=k * 60.0, from_rad=k * 1.1) for k in range(4)]
    grid = {"theta_rad": np.linspace(0, 6.28, 25), "time_s": np.linspace(1, 600, 120)}
    sets = [{"z_m": z_m, "side": side} for z_m in (0.0, 0.0254) for side in green.SIDES]
    before = [rise_dK(ring=PIPE, runs=runs, **grid, **one_set) for one_set in sets]
    sparse = green._nodes
    monkeypatch.setattr(green, "_nodes", lambda *given: 2 * sparse(*given))
    for rows, one_set in zip(before, sets, strict=True):
        after = rise_dK(ring=PIPE, runs=runs, **grid, **one_set)
        assert np.abs(rows - after).max() < 1e-4 * after.max()


def test_heat_is_conserved():
    when = 60.0
    z_m, weight = np.polynomial.legendre.leggauss(80)
    angles = np.linspace(0, 2 * np.pi, 48, endpoint=False)
    faces = [
        temperature_K(
            ring=STILL, runs=[RUN], theta_rad=angles, z_m=(0.15 * z_m)[:, None], side=side, time_s=when
        ) - 298.15
        for side in green.SIDES
    ]  # fmt: skip
    mean = np.mean(faces, axis=0).mean(axis=1) @ weight * 0.15
    kept = mean * math.pi * (0.0889**2 - (0.0889 - 2 * 0.00549) ** 2) / 4 * 2.7e6
    assert kept == pytest.approx(680 * 33.25, rel=1e-3)


def test_losses_are_an_exponential():
    spot = dataclasses.replace(RUN, duration_s=0.5)
    still, lossy = (one(ring, [spot], 1.0, 0.01, "outside", 80.0) for ring in (STILL, PIPE))
    assert lossy / still == pytest.approx(math.exp(-PIPE.loss_rate * 79.75), rel=1e-4)


def test_runs_add_up_and_power_scales():
    second = ArcRun(50.0, 20.0, 3.0, -1.0, 500.0)
    both, first, other = (one(PIPE, runs, 2.0, 0.01, "inside", 75.0) for runs in ([RUN, second], [RUN], [second]))
    assert both == pytest.approx(first + other, rel=1e-9)
    louder = dataclasses.replace(RUN, net_power_W=2 * 680.0)
    assert one(PIPE, [louder], 1.0, 0.02, "outside", 40.0) == pytest.approx(
        2 * one(PIPE, [RUN], 1.0, 0.02, "outside", 40.0), rel=1e-9
    )


def test_mirror_and_turn():
    mirrored = dataclasses.replace(RUN, sweep_rad=-RUN.sweep_rad)
    turned = dataclasses.replace(RUN, from_rad=2.0 + 2 * math.pi)
    wanted = one(PIPE, [RUN], 0.7, 0.015, "outside", 36.0)
    assert one(PIPE, [mirrored], -0.7, -0.015, "outside", 36.0) == pytest.approx(wanted, rel=1e-6)
    assert one(PIPE, [turned], 2.7, 0.015, "outside", 36.0) == pytest.approx(wanted, rel=1e-6)


def test_nothing_before_the_arc():
    later = dataclasses.replace(RUN, start_s=100.0)
    assert one(PIPE, [later], 0.0, 0.0, "outside", 100.0) == 0.0
    assert rise_dK(ring=PIPE, runs=[], theta_rad=[0.0, 1.0], z_m=0.0, side="inside", time_s=[5.0]).tolist() == [[0, 0]]


def test_a_side_is_named():
    with pytest.raises(Refused, match="side: wanted outside or inside; got 'bore'"):
        rise_dK(ring=PIPE, runs=[RUN], theta_rad=0.0, z_m=0.0, side="bore", time_s=1.0)


def test_grid_and_points_agree():
    angles, times = np.array([0.2, 0.9]), np.array([10.0, 33.25, 50.0])
    grid = rise_dK(ring=PIPE, runs=[RUN], theta_rad=angles, z_m=0.01, side="inside", time_s=times)
    points = temperature_K(ring=PIPE, runs=[RUN], theta_rad=angles, z_m=0.01, side="inside", time_s=times[:, None])
    assert points == pytest.approx(grid + 298.15, rel=1e-9)


def test_the_last_of_24_runs_takes_little_longer_than_the_first():
    """It has 24 times the arcs to add up; 1.6 times was seen, six is for a busy machine."""
    runs = [ArcRun(k * 250.0, 47.0, k * 0.8, 0.78, 600.0) for k in range(24)]
    after = np.concatenate([np.arange(0, 20, 1.0), np.geomspace(20, 7200, 40)])
    ring = Ring(0.1683, 0.0034, 0.3, 19.6, 2.75e6, 26.0, 20.0, 293.15)

    def took_s(count):
        began = time.process_time()
        rise_dK(
            ring=ring, runs=runs[:count], theta_rad=np.linspace(0, 6, 24), z_m=0.0254, side="outside",
            time_s=runs[count - 1].stop_s + after,
        )  # fmt: skip
        return time.process_time() - began

    took_s(1)
    assert min(took_s(24) for _ in range(5)) < 6 * min(took_s(1) for _ in range(5))


def test_a_long_run_is_its_pieces():
    """A whole turn of a large pipe is cut inside; two halves by hand say the same."""
    ring = Ring(0.3, 0.006, 0.3, 20.0, 2.7e6, 12.0, 8.0, 298.15)
    whole = ArcRun(0.0, 400.0, 0.0, 6.0, 600.0)
    halves = [ArcRun(0.0, 200.0, 0.0, 3.0, 600.0), ArcRun(200.0, 200.0, 3.0, 3.0, 600.0)]
    place = {"ring": ring, "theta_rad": np.linspace(0, 6, 40), "z_m": 0.005, "side": "outside"}
    one_run, two_runs = (rise_dK(runs=runs, time_s=[100.0, 401.0, 900.0], **place) for runs in ([whole], halves))
    assert np.abs(one_run - two_runs).max() < 1e-4 * one_run.max()
