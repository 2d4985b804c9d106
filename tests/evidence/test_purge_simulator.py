"""The simulator that judges the purge filter: its own balance, its limits, and four purges simulated by others."""

import ast
import json
import math
import sys
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from benchmarks.purge_alike import beside, given
from benchmarks.purge_simulator.bore import Branch, bore
from benchmarks.purge_simulator.case import crossings, numbered, purge
from benchmarks.purge_simulator.draw import GROUPS, drawn
from benchmarks.purge_simulator.flow import AIR_PPM, Place, Truth, floor_ppm, run
from benchmarks.purge_simulator.monitor import Monitor, indication, typed

ROOT = Path(__file__).parents[2]
LOW, HIGH = Place(0.0, "low"), Place(1.0, "high")
TIGHT = Truth(
    0.08, 0.6, LOW, HIGH, supply_ppm=((0.0, 0.0),), outgas_mL_min=0.0, gap_shares_1=((0.0, 0.0),), eddy_m2_s=2e-5, end_s=120
)  # fmt: skip


@pytest.fixture(scope="module")
def simulator():
    return json.loads((ROOT / "benchmarks/results/purge_simulator.json").read_text())


def volume_L(truth):
    return math.pi / 4 * truth.diameter_m**2 * truth.length_m * 1e3


def test_it_imports_nothing_of_what_it_judges():
    files = list((ROOT / "benchmarks/purge_simulator").glob("*.py"))
    assert len(files) > 5
    for path in files:
        tree = ast.parse(path.read_text())
        names = [a.name for node in ast.walk(tree) if isinstance(node, ast.Import) for a in node.names]
        names += [node.module or "" for node in ast.walk(tree) if isinstance(node, ast.ImportFrom)]
        outside = {name.split(".")[0] for name in names} - set(sys.stdlib_module_names)
        assert outside <= {"numpy", "numba", "benchmarks"}, path.name
        assert all(name.startswith("benchmarks.purge_simulator") for name in names if name.startswith("benchmarks")), (
            path.name
        )


def test_the_bore_holds_what_a_round_pipe_holds():
    grid = bore(diameter_m=0.1, length_m=0.5, columns=20, rows=12)
    assert grid.whole_m3 == pytest.approx(math.pi / 4 * 0.01 * 0.5, rel=1e-12)
    stub = bore(diameter_m=0.1, length_m=0.5, columns=20, rows=12, branch=Branch(0.5, 0.04, 0.1, up=True))
    assert stub.whole_m3 - grid.whole_m3 == pytest.approx(math.pi / 4 * 0.0016 * 0.1, rel=1e-9)


@pytest.mark.parametrize(
    "change",
    [
        {},
        {"flows_L_min": ((0.0, 10.0), (40.0, 0.0), (80.0, 6.0))},
        {"leaks_mL_min": ((0.0, 0.5), (50.0, 5.0)), "gap_shares_1": ((0.0, 0.1),), "outgas_mL_min": 0.5},
        {"branch": Branch(0.5, 0.03, 0.06, up=True), "leaks_mL_min": ((0.0, 1.0),)},
        {"second_diameter_m": 0.05, "breaths": ((60.0, 0.1),)},
        {"vertical": True},
    ],
)
def test_oxygen_is_neither_lost_nor_made_and_never_under_zero(change):
    course = run(replace(TIGHT, **change))
    assert abs(course.missed_1) < 1e-12
    assert min(course.vent_ppm.min(), course.root_ppm.min(), course.mean_ppm.min()) >= 0


@pytest.mark.parametrize(("leak_mL_min", "supply_ppm"), [(1.0, 3.0), (5.0, 1.0), (0.0, 20.0)])
def test_the_floor_is_the_balance_of_supply_leak_and_flow(leak_mL_min, supply_ppm):
    leaky = replace(
        TIGHT, leaks_mL_min=((0.0, leak_mL_min),), supply_ppm=((0.0, supply_ppm),), still_leak_1=1.0, end_s=600
    )
    balance = (supply_ppm * 10 + AIR_PPM * leak_mL_min / 1000) / (10 + leak_mL_min / 1000)
    assert run(leaky).vent_ppm[-1] == pytest.approx(balance, rel=1e-3)
    assert floor_ppm(leaky) == pytest.approx(balance, rel=1e-9)


def test_mixed_through_it_falls_as_e_to_the_minus_volumes():
    """c/c0 = exp(−n); fully mixed, 1000 ppm after 5.34 volumes and 20 ppm after 9.26."""
    small = replace(TIGHT, diameter_m=0.08, length_m=0.1, columns=6, rows=4, eddy_m2_s=5e-3, lift_1=0.0)
    small = replace(small, flows_L_min=((0.0, 1.5),), end_s=240)
    turn_s = volume_L(small) / 1.5 * 60
    course = run(small)
    for level, volumes in ((1000, 5.34), (50, 8.34), (20, 9.26), (10, 9.95)):
        passed = crossings(course.vent_ppm, small.flows_L_min, level)["final_below_s"]
        assert passed / turn_s == pytest.approx(volumes, rel=0.03)


def plug(eddy_m2_s):
    """Two rows share the width alike, so nothing shears: a plug with dispersion along it, fed and vented over its height."""
    return replace(
        TIGHT, columns=100, rows=2, diffuser_1=1.0, vent_bore_m=0.08, eddy_m2_s=eddy_m2_s, lift_1=0.0,
        diameter_m=0.08, length_m=0.6, flows_L_min=((0.0, 6.0),), end_s=240,
    )  # fmt: skip


def moments(course, turn_s):
    """Mean and variance of the residence time over the turn, from the step down at the vent."""
    step = course.vent_ppm / AIR_PPM
    seconds = np.arange(step.size)
    mean = np.trapezoid(step, seconds)
    second = 2 * np.trapezoid(seconds * step, seconds)
    return mean / turn_s, second / turn_s**2 - (mean / turn_s) ** 2


@pytest.mark.parametrize("eddy_m2_s", [3e-4, 1e-3, 4e-3])
def test_a_dispersed_plug_spreads_as_the_closed_vessel_and_so_many_tanks(eddy_m2_s):
    """σ² = 2/Pe − 2/Pe²·(1 − e^(−Pe)) for a closed vessel (Levenspiel, Chemical Reaction Engineering; from memory); N = 1/σ²."""
    truth = plug(eddy_m2_s)
    turn_s = volume_L(truth) / 6 * 60
    mean, variance = moments(run(truth), turn_s)
    peclet = truth.length_m**2 / turn_s / (eddy_m2_s + 1.9e-5)
    closed = 2 / peclet - 2 / peclet**2 * (1 - math.exp(-peclet))
    assert mean == pytest.approx(1.0, abs=0.02)
    assert variance == pytest.approx(closed, rel=0.05)


def test_without_mixing_it_is_a_plug():
    truth = plug(0.0)
    turn_s = volume_L(truth) / 6 * 60
    vent = run(truth).vent_ppm
    assert vent[round(0.85 * turn_s)] > 0.95 * AIR_PPM
    assert vent[round(1.15 * turn_s)] < 0.05 * AIR_PPM


def test_a_lock_of_argon_runs_under_air_as_fast_as_gravity_currents_do():
    """Benjamin (1968, from memory): without loss the front of half the depth runs at 0.5·√(g'H); measured ones 0.4 to 0.5."""
    light = 0.05  # a small difference in weight, so that whole seconds tell the front's way
    truth = replace(
        TIGHT, diameter_m=0.15, length_m=4.0, columns=200, rows=20, flows_L_min=((0.0, 0.0),), end_s=14,
        lift_1=light, eddy_m2_s=0.0,
    )  # fmt: skip
    air = np.zeros((200, 20))
    air[100:] = 1.0
    arrived_s = []
    for at_1 in (0.6, 0.75):  # 0.4 and 1.0 m from the lock
        root = run(replace(truth, gap_at_1=at_1), air_1=air).root_ppm
        arrived_s.append(float(np.interp(-0.95 * AIR_PPM, -root, np.arange(root.size))))
    froude = 0.6 / (arrived_s[1] - arrived_s[0]) / math.sqrt(9.81 * light * 0.15)
    assert 0.35 < froude < 0.55


@pytest.mark.parametrize("case", given(), ids=lambda case: case["id"])
def test_four_purges_simulated_by_others_come_out_alike(case, simulator):
    """The same set-ups and faults in another's two-dimensional simulation. The grids and the jets differ, so do the times."""
    found = beside(case)
    assert json.loads(json.dumps(found)) == simulator["theirs_and_ours"][case["id"]]
    for level in (1000, 50):
        theirs, ours = found[f"vent_{level}_s"]
        assert ours == pytest.approx(theirs, rel=0.6 if case["id"].startswith("V03") else 0.35), level


def test_the_monitor_is_late_by_its_delay_and_its_lag():
    gas = np.full(200, 100.0)
    gas[100:] = 0.0
    seen = indication(gas, Monitor(lag_s=10, second_lag_s=0, delay_s=5))
    assert seen[104] == pytest.approx(100.0)
    assert seen[105 + 30] / 100 == pytest.approx(math.exp(-3), rel=0.06)


@pytest.mark.parametrize(
    ("ppm", "shown"),
    [(206_123.0, (206_000.0, "ok")), (888.4, (888.0, "ok")), (9e5, (AIR_PPM, "over")), (0.4, (1.0, "under"))],
)
def test_a_reading_has_three_figures_and_its_flag(ppm, shown):
    row = typed(ppm, Monitor())
    assert (row["ppm"], row["flag"]) == shown


def test_the_same_seed_draws_the_same_purge_and_another_another():
    assert drawn("wrong end", 7, 3) == drawn("wrong end", 7, 3) != drawn("wrong end", 7, 4)


def test_any_first_part_of_a_set_holds_every_group_and_the_whole_all():
    whole = numbered(1)
    assert {group for group, *_ in whole[:30]} == set(GROUPS)
    assert len(whole) >= 500
    assert len({index for *_, index in whole}) == len(whole)


def test_a_case_holds_what_was_typed_and_what_was_so():
    made = purge("leak opens", 5, 1)
    inputs = made.case["inputs"]
    times = [row["t_s"] for row in inputs["readings"]]
    assert times == sorted(times) and times[-1] <= inputs["record_end_s"]
    assert made.without_ppm is not None and made.course.vent_ppm[-1] > made.without_ppm[-1]
    assert json.loads(json.dumps(made.case))["inputs"] == inputs
