"""The heat engine against things outside it: an independent 3-D reference (its own error is in the files) and EN 1011-2.

The tolerances are what was reached, rounded up. `wanted` is what the reference asks of any engine.
"""

import functools
import json
import math
from pathlib import Path

import numpy as np
import pytest

from brightroot.physics.heat.case import answer_case
from brightroot.physics.heat.green import temperature_K
from brightroot.physics.heat.plate import steel_cooling_s
from brightroot.physics.heat.ring import ArcRun, Ring

FOLDER = Path(__file__).parents[1] / "cases/heat"


NAMES = ("V1_const_nps3_one_run", "V2_nps3_two_runs")


@functools.cache
def solved(name):
    case = json.loads((FOLDER / f"{name}.json").read_text(encoding="utf-8"))
    return case, answer_case(case)


# key, reached (wanted: T25 within 2 K, hold 0.5 s or 2 %, hot length 1 mm or 2 %)
REACHED = {
    "T25_at_arc_off_C": 0.5,
    "T25_max_before_next_run_C": 0.5,
    "T25_max_time_after_arc_off_s": 0.6,  # the reference looked every second
    "outer_max_below_427C_time_after_arc_off_s": 0.15,
    "outer_max_below_260C_time_after_arc_off_s": 0.15,
    "inner_max_below_427C_time_after_arc_off_s": 0.15,
    "inner_max_below_260C_time_after_arc_off_s": 0.15,
}


@pytest.mark.parametrize("key", REACHED)
@pytest.mark.parametrize("name", NAMES)
def test_runs(name, key):
    case, answer = solved(name)
    for found, wanted in zip(answer["per_run"], case["outputs"]["per_run"], strict=True):
        assert found[key] == pytest.approx(wanted[key], abs=REACHED[key])


@pytest.mark.parametrize("name", NAMES)
def test_hot_length(name):
    case, answer = solved(name)
    for found, wanted in zip(answer["per_run"], case["outputs"]["per_run"], strict=True):
        for key, length in wanted["hot_len_mm"].items():
            assert found["hot_len_mm"][key] == pytest.approx(length, abs=0.3), key


@pytest.mark.parametrize("name", NAMES)
def test_points_two_seconds_after_arc_off(name):
    """Wanted: 1 % of the rise + 3 K; reached: half of that."""
    case, answer = solved(name)
    assert answer["time_s"] == pytest.approx(case["outputs"]["time_s"], abs=0.01)
    times, counts = np.array(answer["time_s"]), np.zeros(len(answer["time_s"]), dtype=bool)
    for n, run in enumerate(case["schedule"]):
        until = case["schedule"][n + 1]["t_start_s"] if n + 1 < len(case["schedule"]) else math.inf
        counts |= (times > run["t_end_s"] + 2) & (times <= until)
    for point, wanted in case["outputs"]["T_C"].items():
        off = np.abs(np.array(answer["T_C"][point]) - wanted)[counts]
        allowed = 0.01 * np.abs(np.array(wanted) - case["T_initial_C"])[counts] + 3
        assert (off / allowed).max() < 0.5, point


@pytest.mark.parametrize("name", NAMES)
def test_surface(name):
    case, answer = solved(name)
    later = np.array(answer["time_s"]) > case["schedule"][-1]["t_end_s"] + 2
    for key in ("outer_max_C", "inner_max_C"):
        off = np.abs(np.array(answer[key]) - case["outputs"][key])[later]
        assert (off / (0.01 * np.array(case["outputs"][key])[later] + 3)).max() < 0.5, key


def test_never_under_the_limit():
    case, answer = solved("V1_const_nps3_one_run")
    key = "T25_below_93.3C_time_after_arc_off_s"
    assert case["outputs"]["per_run"][0][key] is None and answer["per_run"][0][key] is None


@pytest.mark.parametrize("name", NAMES)
def test_energy_and_error(name):
    answer = solved(name)[1]
    assert answer["energy_balance_rel"] < 1e-9
    assert answer["error_met"]["T25_K"] < 1.0 and answer["error_met"]["hold_s"] < 0.3


@pytest.mark.parametrize("wall_m", [0.004, 0.006])
def test_steel_cools_as_en_1011_2_says(wall_m):
    """t8/5 in a thin plate. The formula is from memory; λρc = 1.888e8 is what it stands for at 20 °C."""
    heat, travel = 800e3, 0.005
    ring = Ring(1.0, wall_m, 1.0, 40.0, 1.888e8 / 40.0, 0.0, 0.0, 293.15)
    run = ArcRun(0.0, 120.0, 0.0, 120 * travel / 0.5, heat * travel)
    times = np.arange(30.0, 110.0, 0.5)
    seen = temperature_K(ring=ring, runs=[run], theta_rad=0.3, z_m=0.0, side="outside", time_s=times) - 273.15
    after = slice(int(seen.argmax()), None)
    t800, t500 = (float(np.interp(-limit, -seen[after], times[after])) for limit in (800.0, 500.0))
    wanted = steel_cooling_s(heat_input_J_m=heat, wall_m=wall_m, ambient_K=293.15)
    assert t500 - t800 == pytest.approx(wanted, rel=0.05)


def test_thin_plate_formula_agrees_with_itself():
    """Steel at Q = 0.8 kJ/mm, 4 mm: 4π·λρc by Rosenthal; the printed coefficients give 45.5 s."""
    found = steel_cooling_s(heat_input_J_m=800e3, wall_m=0.004, ambient_K=293.15)
    share = (800e3 / 0.004) ** 2 / (4 * math.pi * 1.888e8) * (1 / 480**2 - 1 / 780**2)
    assert found == pytest.approx(share, rel=0.01)
    assert found == pytest.approx(45.5, rel=0.01)
