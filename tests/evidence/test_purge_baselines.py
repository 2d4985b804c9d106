"""The rivals of the purge filter do what they are said to do, and the table counts as it says."""

import math

import pytest
from benchmarks.purge_baselines import crossed, exponential_and_floor, two_point
from benchmarks.purge_filter import judging, sample
from benchmarks.purge_simulator.__main__ import PRACTICE_SEED
from benchmarks.purge_table import coverage, errors, leaks

TIMES = [10.0 * n for n in range(1, 15)]


def test_two_points_of_an_exponential_give_its_time():
    ppm = [1000 * math.exp(-t / 40) for t in TIMES[:4]]
    assert two_point(TIMES[:4], ppm, target_ppm=20.0, late_s=12.0).p50_s == pytest.approx(40 * math.log(50) - 12)


def test_two_points_that_rise_say_nothing():
    assert two_point([0.0, 10.0], [100.0, 110.0], target_ppm=20.0, late_s=0.0).p50_s is None


def test_the_fit_finds_an_exponential_with_a_floor():
    ppm = [5 + 2000 * math.exp(-t / 30) for t in TIMES[:12]]
    said = exponential_and_floor(TIMES[:12], ppm, target_ppm=10.0, late_s=0.0)
    assert said.p50_s == pytest.approx(30 * math.log(2000 / 5), rel=1e-3)


def test_the_fit_says_never_over_its_floor():
    ppm = [50 + 2000 * math.exp(-t / 15) for t in TIMES]
    said = exponential_and_floor(TIMES, ppm, target_ppm=20.0, late_s=0.0)
    assert (said.p50_s, said.p_never) == (None, 1.0)


def test_readings_that_crossed_give_the_crossing():
    assert crossed([0.0, 10.0, 20.0], [400.0, 100.0, 25.0], 50.0) == pytest.approx(15.0)
    assert crossed([0.0, 10.0], [400.0, 100.0], 50.0) is None


def at(true_s, p05, p50, p95, *, at_s=50.0, fate="reachable"):
    return {"at_s": at_s, "targets": {"20": {"fate": fate, "true_s": true_s, "filter": [p05, p50, p95, 0.1]}}}


def test_errors_are_of_the_whole_time_and_of_what_was_left():
    shown = errors([at(100.0, 80.0, 110.0, 120.0), at(None, 1.0, 2.0, 3.0, fate="never")], "filter", 20)
    assert (shown["n"], shown["n_ahead"]) == (1, 1)
    assert (shown["whole_median"], shown["left_median"]) == (0.1, 0.2)


def test_a_time_outside_its_interval_and_one_without_are_not_covered():
    part = [at(100.0, 80.0, 90.0, 120.0), at(100.0, 101.0, 110.0, 120.0), at(100.0, None, None, None)]
    assert coverage(part, "filter", 20) == {"n": 3, "inside_1": pytest.approx(1 / 3, abs=1e-4)}


def test_a_leak_said_late_is_not_flagged():
    alarm = {"opens_s": 10.0, "early": [], "at_opening_ppm": 100.0, "rise_ppm": 50.0}
    rows = [{"alarm": {**alarm, "due_s": 30.0, "flagged_s": late}} for late in (100.0, 121.0, None)]
    shown = leaks(rows)
    assert (shown["all"]["n"], shown["never_flagged"]) == (3, 1)
    assert shown["all"]["flagged_1"] == pytest.approx(1 / 3, abs=1e-4)


def test_the_purges_that_judge_are_not_those_that_are_practised_on():
    assert len(judging()) >= 500
    assert all(seed != PRACTICE_SEED for _, seed, _ in judging())
    assert len(sample()) == len(judging()) * 2 // 100
