"""The heat engine against things outside it: an independent 3-D reference (its own error is in the files) and EN 1011-2.

The tolerances are what was reached, rounded up. `wanted` is what the reference asks of any engine.
"""

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


def solved(name):
    case = json.loads((FOLDER / f"{name}.json").read_text(encoding="utf-8"))
    return case, answer_case(case)


@pytest.fixture(scope="module")
def constant():
    return solved("V1_const_nps3_one_run")


@pytest.fixture(scope="module")
def tables():
    return solved("V2_nps3_two_runs")


# key, reached (wanted: T25 within 2 K, hold 0.5 s or 2 %, hot length 1 mm or 2 %)
REACHED = {
    "T25_at_arc_off_C": 0.2,
    "T25_max_before_next_run_C": 0.35,
    "T25_max_time_after_arc_off_s": 0.01,
    "outer_max_below_427C_time_after_arc_off_s": 0.06,
    "outer_max_below_260C_time_after_arc_off_s": 0.1,
    "inner_max_below_427C_time_after_arc_off_s": 0.06,
    "inner_max_below_260C_time_after_arc_off_s": 0.1,
}


@pytest.mark.parametrize("key", REACHED)
def test_constant_properties(constant, key):
    case, answer = constant
    assert answer["per_run"][0][key] == pytest.approx(case["outputs"]["per_run"][0][key], abs=REACHED[key])


def test_constant_properties_hot_length(constant):
    case, answer = constant
    for key, wanted in case["outputs"]["per_run"][0]["hot_len_mm"].items():
        assert answer["per_run"][0]["hot_len_mm"][key] == pytest.approx(wanted, abs=0.1), key


def test_constant_properties_at_the_points(constant):
    case, answer = constant
    assert answer["time_s"] == pytest.approx(case["outputs"]["time_s"], abs=0.01)
    later = np.array(answer["time_s"]) > case["schedule"][0]["t_end_s"] + 2
    for name, wanted in case["outputs"]["T_C"].items():
        off = np.array(answer["T_C"][name]) - wanted
        assert np.abs(off[later]).max() < 1.0, name
        if "z25" in name or "z10" in name:
            assert np.abs(off).max() < 1.0, name


def test_constant_properties_never_under_the_limit(constant):
    case, answer = constant
    key = "T25_below_93.3C_time_after_arc_off_s"
    assert case["outputs"]["per_run"][0][key] is None and answer["per_run"][0][key] is None


def test_constant_properties_surface(constant):
    case, answer = constant
    later = np.array(answer["time_s"]) > case["schedule"][0]["t_end_s"] + 2
    for key in ("outer_max_C", "inner_max_C"):
        off = np.array(answer[key]) - case["outputs"][key]
        assert np.abs(off[later]).max() < 1.3, key


def test_energy(constant, tables):
    assert constant[1]["energy_balance_rel"] < 1e-6
    assert tables[1]["energy_balance_rel"] < 1e-6


def test_tables_replaced_by_means(tables):
    """Where means are put for tables and latent heat is left out the engine is weaker: 4 K, 0.5 s, 0.5 mm here."""
    case, answer = tables
    assert any("means" in said for said in answer["caveats"])
    for found, wanted in zip(answer["per_run"], case["outputs"]["per_run"], strict=True):
        assert found["T25_at_arc_off_C"] == pytest.approx(wanted["T25_at_arc_off_C"], abs=4.0)
        assert found["T25_max_before_next_run_C"] == pytest.approx(wanted["T25_max_before_next_run_C"], abs=4.0)
        assert found["T25_max_time_after_arc_off_s"] == pytest.approx(wanted["T25_max_time_after_arc_off_s"], abs=1.5)
        for release in (427, 260):
            for face in ("outer", "inner"):
                key = f"{face}_max_below_{release}C_time_after_arc_off_s"
                assert found[key] == pytest.approx(wanted[key], abs=0.5), key
                assert found["hot_len_mm"][f"{face}_{release}"] == pytest.approx(
                    wanted["hot_len_mm"][f"{face}_{release}"], abs=0.6
                )


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
