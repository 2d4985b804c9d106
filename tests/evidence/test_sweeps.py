"""The committed sweeps: a seeded 2 % is made again, and the whole of it is looked over."""

import json
from pathlib import Path

import pytest
from benchmarks.random_joints import COUNT, SEED, drift, outcome, sample

RESULTS = Path(__file__).parents[2] / "benchmarks" / "results"


@pytest.fixture(scope="module")
def random_joints():
    return json.loads((RESULTS / "random_joints.json").read_text())


def test_the_sweep_is_whole_and_names_its_commit_and_seed(random_joints):
    assert (len(random_joints["joints"]), random_joints["seed"]) == (COUNT, SEED)
    assert random_joints["commit"] not in ("", "unknown")


@pytest.mark.parametrize("index", sample())
def test_a_random_joint_has_not_drifted(random_joints, index):
    assert drift(random_joints["joints"][index], outcome(index)) == []


def test_drift_sees_a_moved_figure():
    assert drift({"a": 1.0, "b": None}, {"a": 1.001, "b": None}) == ["a: 1.0 → 1.001"]
