"""The committed comparison of the coupon planner with trying everything: 2 % made again, the whole looked over."""

import json
from pathlib import Path

import pytest
from benchmarks.coupon_cover import COUNT, LARGE, SEED, outcome, sample

RESULTS = Path(__file__).parents[2] / "benchmarks" / "results" / "coupon_cover.json"


@pytest.fixture(scope="module")
def told():
    return json.loads(RESULTS.read_text(encoding="utf-8"))


def test_the_sweep_is_whole_simulated_and_names_its_commit(told):
    assert (len(told["lists"]), told["seed"], told["simulated"]) == (COUNT, SEED, True)
    assert told["commit"] not in ("", "unknown") and [one["joints"] for one in told["large"]] == list(LARGE)


def test_the_planner_equals_trying_everything_on_every_list(told):
    assert [i for i, one in enumerate(told["lists"]) if one["planned"] != one["tried"]] == []
    assert sum(one["tried"][0] > 1 for one in told["lists"]) > COUNT / 2


def test_a_large_list_takes_seconds(told):
    assert all(one["seconds"] < 5 for one in told["large"])


@pytest.mark.parametrize("index", sample())
def test_a_list_has_not_drifted(told, index):
    assert told["lists"][index] == outcome(index)
