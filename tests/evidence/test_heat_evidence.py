"""The heat engine's evidence: a sample of the committed table is made again, and the references stay independent."""

import ast
import json
import random
from pathlib import Path

import pytest
from benchmarks.heat_accuracy import accuracy, groove, grooves, names, planning
from benchmarks.heat_evidence import MARK, PAGE, PLOT, page, plot, result
from benchmarks.heat_reference.cases import CASES
from benchmarks.heat_reference.estimate import error_of, order_of
from benchmarks.heat_reference.solve import solve

ROOT = Path(__file__).parents[2]
SEED = 20261125
SMALLEST = ("F1_nps1_thin", "F7_short_pipe_heats_through", "F9_even_thick_small")
SAMPLE = random.Random(SEED).sample([name for name in names() if name not in SMALLEST], 2)


@pytest.fixture(scope="module")
def told():
    return result("heat_accuracy")


def test_the_table_is_whole_and_every_case_is_met(told):
    assert [case["case"] for case in told["cases"]] == names() and len(names()) >= 10
    assert [case["case"] for case in told["grooves"]] == grooves()
    assert told["met"] and told["commit"] not in ("", "unknown")
    assert max(case["energy_balance_rel"] for case in told["cases"]) < 1e-9


@pytest.mark.parametrize("name", [*SMALLEST, *SAMPLE])
def test_a_case_is_made_again(told, name):
    """Inside what is allowed, and where it was."""
    again = accuracy(name)
    assert again["energy_balance_rel"] < 1e-9
    (before,) = (case for case in told["cases"] if case["case"] == name)
    assert [row["kind"] for row in again["rows"]] == [row["kind"] for row in before["rows"]]
    for row, was in zip(again["rows"], before["rows"], strict=True):
        assert row["met"], row
        assert row["off"] == pytest.approx(was["off"], abs=0.02 * row["allowed"]), row["kind"]


@pytest.mark.parametrize("name", [SMALLEST[0], SAMPLE[0]])
def test_plans_march_the_case_as_well_as_told(told, name):
    (before,) = (row for row in told["planning"] if row["case"] == name)
    assert planning(name)["off_K"] == pytest.approx(before["off_K"], abs=0.05)


@pytest.mark.parametrize("name", grooves())
def test_an_open_groove_is_made_again(told, name):
    (before,) = (case for case in told["grooves"] if case["case"] == name)
    for row, was in zip(groove(name)["as plans march"], before["as plans march"], strict=True):
        assert row["off"] == pytest.approx(was["off"], abs=0.02 * row["allowed"]), row["kind"]


def test_observed_orders_are_two(told):
    assert min(told["orders"]["space"]["order"] + told["orders"]["time"]["order"]) > 1.8


def test_the_reference_shares_no_code_with_the_engine():
    for path in (ROOT / "benchmarks/heat_reference").glob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            found = [node.module or ""] if isinstance(node, ast.ImportFrom) else []
            found += [alias.name for alias in node.names] if isinstance(node, ast.Import) else []
            assert not any(name.split(".")[0] == "brightroot" for name in found), path.name


def test_the_reference_still_gives_its_case():
    """On its coarsest grid: conserves heat, and comes as near to the finest as its stated error and second order say."""
    name = "F9_even_thick_small"
    case = json.loads((ROOT / f"tests/cases/heat/{name}.json").read_text(encoding="utf-8"))
    again = solve(CASES[name], 4)
    assert again["energy_balance_rel"] < 1e-12
    found, wanted = again["per_run"][0], case["outputs"]["per_run"][0]
    spare = (9 / 4) ** 2 * case["estimated_error"]["per_run"][0]["T25_max_before_next_run_C"]
    assert found["T25_max_before_next_run_C"] == pytest.approx(wanted["T25_max_before_next_run_C"], abs=1.5 * spare)
    key = "outer_max_below_260C_time_after_arc_off_s"
    assert found[key] == pytest.approx(wanted[key], abs=0.1)


def test_every_committed_case_is_the_one_in_the_code():
    own = [name for name in [*names(), *grooves()] if not name.startswith("V")]
    assert len(own) > 8
    for name in own:
        made, case = CASES[name], json.loads((ROOT / f"tests/cases/heat/{name}.json").read_text(encoding="utf-8"))
        for key in ("geometry", "material", "losses", "source", "schedule", "t_end_s", "T_initial_C", "points"):
            assert case[key] == made[key], (name, key)


def test_both_references_agree_on_the_given_cases():
    """Strictly within both errors, or within what the given one can tell: 0.25 s of a peak's time, 0.02 mm, 0.1 K."""
    spare = {"T25_max_time_after_arc_off_s": 0.25, "T25_at_arc_off_C": 0.1}
    for figures in result("heat_reference")["given"].values():
        for row in figures:
            assert row["within"] or abs(row["apart"]) <= spare.get(row["figure"], 0.02), row


def test_an_error_is_not_told_smaller_than_three_grids_say():
    assert order_of(1.0, 2.0, 1.5) is None and error_of(1.0, 2.0, 1.5) == pytest.approx(2.0)
    assert error_of(10.0, 10.0, 10.0) == 0.0


def test_the_page_says_what_was_measured():
    assert PAGE.read_text(encoding="utf-8").split(MARK)[1].strip() == page().strip()
    assert PLOT.read_text(encoding="utf-8") == plot()
