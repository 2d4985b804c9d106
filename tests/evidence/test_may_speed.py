"""Who may weld, measured: the committed figures, and a small part of them made again."""

import json
from pathlib import Path

from benchmarks.may_speed import SEED, measure

FOUND = json.loads((Path(__file__).parents[2] / "benchmarks/results/may_speed.json").read_text(encoding="utf-8"))


def test_the_figures_are_those_promised():
    assert (FOUND["joints"], FOUND["welders"], FOUND["seed"]) == (3000, 40, SEED)
    assert FOUND["table_s"] <= 2.0 and FOUND["one_median_ms"] <= 10.0
    assert FOUND["pairs_that_differ"] == 0 and FOUND["commit"]


def test_a_part_of_it_made_again():
    again = measure(joint_count=300, welder_count=20, pairs=40)
    assert again["pairs_that_differ"] == 0
    assert again["table_s"] <= 2.0
