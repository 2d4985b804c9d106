"""The record under faults: the committed figures, and a part of them made again."""

import json
from pathlib import Path

import pytest
from benchmarks.record_faults import SEED, SEEDS, run_seed, sweep
from benchmarks.record_fuzz import fuzz
from benchmarks.record_mutants import ALL
from benchmarks.record_tampering import tamper

FOUND = json.loads((Path(__file__).parents[2] / "benchmarks/results/record_faults.json").read_text(encoding="utf-8"))


def test_nothing_acknowledged_was_lost_or_doubled():
    faults = FOUND["faults"]
    assert FOUND["seed"] == SEED and FOUND["commit"] and FOUND["simulated"]
    assert (faults["lost"], faults["doubled"], faults["broken"]) == (0, 0, [])
    assert faults["seeds"] <= SEEDS and faults["events"] >= 160 * faults["seeds"]
    assert faults["crashes"] and faults["restored"] and faults["clones"] and faults["late"] and faults["twice"]


def test_every_bent_rule_was_noticed():
    assert len(ALL) >= 30 and set(FOUND["mutants"]) == set(ALL)
    assert [name for name, seeds in FOUND["mutants"].items() if not seeds] == []


def test_every_tampering_was_found_and_located():
    told = FOUND["tampering"]
    assert told["made"] >= 5000 and told["made"] == told["found"] == told["located"] and told["misses"] == []


def test_real_kills_lost_nothing():
    told = FOUND["kills"]
    assert told["kills"] >= 20 and told["acknowledged"] > 50
    assert (told["lost"], told["doubled"], told["chains_hold"]) == (0, 0, True)


def test_nearly_right_files_and_bodies_were_no_fault_of_ours():
    told = FOUND["fuzz"]
    assert told["tried"] >= 10_000 and told["faults"] == []
    assert told["imports taken"] > 50 and told["imports refused"] > 1000


def test_a_part_of_the_faults_again():
    assert sweep(range(7, 9))["broken"] == []


@pytest.mark.parametrize("name", ["a new id at every try", "intake: a fork is dropped", "order: by the clock alone"])
def test_a_bent_rule_again(name):
    assert any(run_seed(100_000 + n, bent=name, taps=60)["broken"] for n in range(4))


def test_a_part_of_the_tampering_and_the_files_again():
    again = tamper(100, seed=SEED + 1)
    assert again["made"] == again["found"] == again["located"]
    assert fuzz(120, 30, seed=SEED + 1)["faults"] == []
