"""Both heat engines against things outside: Rosenthal's plates, cooling of steel, a worked example, a measured pool.

Sources and how they were seen.
- Rosenthal, Trans. ASME 68 (1946) 849: thin and thick plate. The thick one seen as quoted (idaholab/malamute,
  RosenthalTemperatureSource.md, 2026-11), the thin one from memory.
- EN 1011-2 annex D, two-dimensional cooling: coefficients from memory (an excerpt seen agrees).
- The peak temperature equation (Adams 1958): form with the square root of 2πe seen at calculatoratoz.com (calculator 12399); the
  worked example with its four widths seen at proizvodim.com, "Width of heat affected zone" (both 2026-11).
- H. G. Kraus, "Experimental measurement of thin plate 304 stainless steel GTA weld pool surface temperatures", Welding Journal,
  December 1987 (research supplement): its abstract seen (2026-11), with currents, voltages, speeds, and the range of the peaks.
"""

import math

import numpy as np
import pytest
from scipy.special import k0

from brightroot.physics.heat.green import temperature_K
from brightroot.physics.heat.plate import steel_cooling_s
from brightroot.physics.heat.ring import ArcRun, Ring
from brightroot.physics.heat.volumes.body import Losses, Pace, Probe, body
from brightroot.physics.heat.volumes.metal import Latent, metal
from brightroot.physics.heat.volumes.schedule import at_times, last_below_s, marched
from brightroot.physics.heat.volumes.wall import plain_section

COLD_K = 293.15
NO_LOSS = Losses(COLD_K, 0.0, 0.0, 0.0, 0.0)


def plate(wall_m, k_W_mK, capacity_J_m3K, *, sigma_m=0.001, cell_m=0.001, layers=2, radius_m=0.6, half_m=0.2, growth_1=1.06,
          widest=2):  # fmt: skip
    """A ring so wide that it is a plate, without losses."""
    iron = metal(density_kg_m3=1.0, conductivity=([300.0], [k_W_mK]), specific_heat=([300.0], [capacity_J_m3K]))
    cut = plain_section(
        outer_diameter_m=2 * radius_m, wall_m=wall_m, half_length_m=half_m, layers=layers, first_m=cell_m, growth_1=growth_1,
        merge_m=1.0,
    )  # fmt: skip
    pace = Pace(cell_m=cell_m, widest=widest, arc_step_s=0.1, arc_step_m=0.0005, age_share_1=0.03, longest_s=0.5)
    return body(metal=iron, section=cut, radius_m=radius_m, losses=NO_LOSS, start_K=COLD_K, pace=pace, sigma_m=sigma_m)


def after_long_run(whole, *, power_W, travel_m_s, length_m, places):
    """Rises at arc-off at (metres behind the arc, metres beside it), outside."""
    radius = whole.radius_m
    run = ArcRun(0.0, length_m / travel_m_s, 0.0, length_m / radius, power_W)
    probes = [Probe(run.to_rad - back / radius, beside) for back, beside in places]
    return marched(whole, runs=[run], until_s=run.stop_s, probes=probes).seen.probe_K[-1] - COLD_K


def green_after_long_run(wall_m, k_W_mK, capacity_J_m3K, *, power_W, travel_m_s, length_m, places):
    """The same by Green's function, half a millimetre wide, on a ring that is unrolled at its mean radius."""
    ring = Ring(3.0, wall_m, 1.0, k_W_mK, capacity_J_m3K, 0.0, 0.0, COLD_K)
    flat = ring.mean_radius_m
    run = ArcRun(0.0, length_m / travel_m_s, 0.0, length_m / flat, power_W)
    angle, beside = np.array([(run.to_rad - back / flat, across) for back, across in places]).T
    found = temperature_K(
        ring=ring, runs=[run], theta_rad=angle, z_m=beside, side="outside", time_s=run.stop_s, sigma_m=0.0005
    )
    return found - COLD_K


def thin_dK(back_m, beside_m, *, power_W, travel_m_s, wall_m, k_W_mK, capacity_J_m3K):
    """T − T0 = q/(2πkd)·exp(vw/2a)·K0(vr/2a), w behind the arc."""
    lag = travel_m_s * capacity_J_m3K / (2 * k_W_mK)
    front = power_W / (2 * math.pi * k_W_mK * wall_m)
    return front * math.exp(lag * back_m) * k0(lag * math.hypot(back_m, beside_m))


def thick_dK(back_m, beside_m, *, power_W, travel_m_s, k_W_mK, capacity_J_m3K):
    """T − T0 = q/(2πkr)·exp(−v(r − w)/2a), w behind the arc."""
    apart = math.hypot(back_m, beside_m)
    lag = travel_m_s * capacity_J_m3K / (2 * k_W_mK)
    return power_W / (2 * math.pi * k_W_mK * apart) * math.exp(-lag * (apart - back_m))


@pytest.mark.parametrize("engine", ["volumes", "green"])
def test_thin_plate(engine):
    """Within 1 % where the arc's width and the wall are small beside the distance."""
    wall, k, capacity = 0.003, 20.0, 2.7e6
    way = {"power_W": 500.0, "travel_m_s": 0.0025}
    places = [(0.01, 0.012), (0.02, 0.012), (0.02, 0.02), (0.03, 0.015), (0.04, 0.0)]
    if engine == "green":
        found = green_after_long_run(wall, k, capacity, length_m=0.3, places=places, **way)
    else:
        found = after_long_run(plate(wall, k, capacity), length_m=0.3, places=places, **way)
    for rise, place in zip(found, places, strict=True):
        wanted = thin_dK(*place, wall_m=wall, k_W_mK=k, capacity_J_m3K=capacity, **way)
        assert rise == pytest.approx(wanted, rel=0.01), place


@pytest.mark.parametrize("engine", ["volumes", "green"])
def test_thick_plate(engine):
    """Within 1 % some arc widths away and well inside a 20 mm wall, whose far face no heat has reached."""
    k, capacity = 20.0, 2.7e6
    way = {"power_W": 1500.0, "travel_m_s": 0.004}
    places = [(0.006, 0.008), (0.01, 0.006), (0.012, 0.008), (0.015, 0.007)]
    if engine == "green":
        found = green_after_long_run(0.025, k, capacity, length_m=0.1, places=places, **way)
    else:
        whole = plate(
            0.02,
            k,
            capacity,
            sigma_m=0.0006,
            cell_m=0.0007,
            layers=44,
            half_m=0.03,
            growth_1=1.09,
            radius_m=1.5,
            widest=6,
        )
        found = after_long_run(whole, length_m=0.06, places=places, **way)
    for rise, place in zip(found, places, strict=True):
        assert rise == pytest.approx(thick_dK(*place, k_W_mK=k, capacity_J_m3K=capacity, **way), rel=0.01), place


@pytest.mark.parametrize(("wall_m", "printed_s"), [(0.004, 45.5), (0.006, 31.6)])
def test_steel_cools_from_800_to_500(wall_m, printed_s):
    """Cooling in a thin plate within 5 %. λρc = 1.888e8 stands behind the standard's coefficient at 20 °C."""
    heat = 800e3 if wall_m == 0.004 else 1000e3
    travel = 0.005
    whole = plate(wall_m, 40.0, 1.888e8 / 40.0, sigma_m=0.003, cell_m=0.0015)
    run = ArcRun(0.0, 60.0, 0.0, 60 * travel / whole.radius_m, heat * travel)
    probe = Probe(run.to_rad / 2, 0.0)
    seen = marched(whole, runs=[run], until_s=140.0, probes=[probe]).seen
    values = seen.probe_K[:, 0] - 273.15
    taken = last_below_s(seen.time_s, values, 500.0) - last_below_s(seen.time_s, values, 800.0)
    wanted = steel_cooling_s(heat_input_J_m=heat, wall_m=wall_m, ambient_K=COLD_K)
    assert wanted == pytest.approx(printed_s, rel=0.02)
    assert taken == pytest.approx(wanted, rel=0.05)


# J/mm, °C before, °C at the zone's edge, mm as printed
WIDTHS = [(720, 25, 730, 5.9), (720, 200, 430, 28.4), (720, 25, 430, 14.2), (1080, 25, 430, 21.3)]


@pytest.fixture(scope="module")
def peaks():
    """Highest rises by distance beside a run of 720 J/mm at 5 mm/s on 5 mm of steel, ρc 0.0044 J/mm³K, without losses."""
    whole = plate(0.005, 30.0, 4.4e6, sigma_m=0.0015, cell_m=0.0008, layers=4)
    run = ArcRun(0.0, 40.0, 0.0, 40 * 0.005 / whole.radius_m, 3600.0)
    beside = np.concatenate([np.linspace(0.003, 0.012, 19), np.linspace(0.0135, 0.045, 17)])
    probes = [Probe(run.to_rad / 2, float(z), side) for z in beside for side in ("outside", "inside")]
    seen = marched(whole, runs=[run], until_s=120.0, probes=probes).seen
    return beside * 1000, seen.probe_K.max(axis=0).reshape(-1, 2).mean(axis=1) - COLD_K


@pytest.mark.parametrize(("heat", "warm", "edge", "printed"), WIDTHS)
def test_width_of_a_heat_affected_zone(peaks, heat, warm, edge, printed):
    """From where 1510 °C was reached to where 730 or 430 °C was: the printed widths within 3 % (reached: 2 %).

    The example gives no conductivity (30 W/mK here; 25 to 40 moves the width by 2 %): the equation takes all heat to go
    sideways. Constant properties, so the rise scales with the heat.
    """
    own = (1 / (edge - warm) - 1 / (1510 - warm)) * heat / (math.sqrt(2 * math.pi * math.e) * 0.0044 * 5)
    assert own == pytest.approx(printed, abs=0.06)
    beside, rise = peaks
    hot = warm + rise * heat / 720
    width = np.interp(-edge, -hot, beside) - np.interp(-1510, -hot, beside)
    assert width == pytest.approx(printed, rel=0.03)


def test_a_measured_pool_does_not_say_otherwise():
    """Kraus measured peaks of 2000 to 2800 K on 1.5 mm of 304. A weak check, and on what the engine does not claim to know.

    The arc's width and efficiency are not told: at 1.5 mm and 0.75 the engine gives 2260, 2380 and 2570 K; from 1 to 2 mm and
    0.6 to 0.8, 1820 to 3400 K. Nothing in the pool moves, and nothing boils off. Steel 304 with properties from memory.
    """
    steel = metal(
        density_kg_m3=7900.0, conductivity=([293.0, 773.0, 1073.0, 1723.0], [14.6, 20.9, 24.6, 34.0]),
        specific_heat=([293.0, 773.0, 1673.0], [480.0, 560.0, 690.0]), latent=[Latent(1673.0, 1727.0, 270e3)],
    )  # fmt: skip
    cut = plain_section(
        outer_diameter_m=0.6, wall_m=0.0015, half_length_m=0.1, layers=3, first_m=0.0004, growth_1=1.1, merge_m=1.0
    )
    pace = Pace(cell_m=0.0005, widest=6, arc_step_s=0.25, arc_step_m=0.0004)
    found = []
    for amperes, volts, travel in ((38.0, 7.5, 0.000423), (50.0, 8.0, 0.00127), (70.0, 8.5, 0.00254)):
        whole = body(
            metal=steel, section=cut, radius_m=0.3, losses=Losses(295.0, 10.0, 0.4, 10.0, 0.4), start_K=295.0, pace=pace,
            sigma_m=0.0015,
        )  # fmt: skip
        run = ArcRun(0.0, 0.04 / travel, 0.0, 0.04 / 0.3, 0.75 * amperes * volts)
        found.append(marched(whole, runs=[run], until_s=run.stop_s).seen.outer_max_K[-1])
    assert found == pytest.approx([2260, 2380, 2570], rel=0.03)
    assert all(2000 < peak < 2800 for peak in found)


def test_steps_are_told_smoothly():
    """Between steps the curve never leaves its neighbours."""
    times, values = np.array([0.0, 1.0, 2.0, 4.0]), np.array([0.0, 2.0, 1.0, 1.0])
    found = at_times(times, values, np.linspace(0, 4, 81))
    assert found.max() <= 2.0 and found.min() >= 0.0
