"""The filter's evidence: whole, with its commit and seed, a seeded 2 % made again, and what it claims."""

import json
from pathlib import Path

import pytest
from benchmarks.purge_evidence import MARK, PAGE, PICTURES, page, pictures
from benchmarks.purge_filter import SEED, brief, judging, sample, simulated
from benchmarks.purge_scores import COUNTS, counted
from benchmarks.purge_simulator.draw import GROUPS

RESULTS = Path(__file__).parents[2] / "benchmarks" / "results"


@pytest.fixture(scope="module")
def evidence():
    return json.loads((RESULTS / "purge_filter.json").read_text())


def test_the_run_is_whole_and_names_its_commit_and_seed(evidence):
    assert (len(evidence["rows"]), evidence["seed"]) == (len(judging()), SEED)
    assert evidence["commit"] not in ("", "unknown")
    assert set(evidence["purges"]) == set(GROUPS)
    assert evidence["simulated"] is True
    assert evidence["oxygen_missed_1"] < 1e-9


@pytest.mark.slow
@pytest.mark.parametrize("index", sample())
def test_a_purge_judged_again_has_not_drifted(evidence, index):
    """A time within a thousandth, a chance within 0.002; the purge and the moments that were asked about are the same."""
    then, now = evidence["rows"][index], brief(counted(simulated(index)))
    assert (then["index"], then["group"]) == (now["index"], now["group"])
    assert list(then["counts"]) == list(now["counts"])
    for count, before in then["counts"].items():
        for was, found in zip(before, now["counts"][count], strict=True):
            assert found == (was if was is None else pytest.approx(was, rel=1e-3, abs=2e-3)), count


@pytest.mark.parametrize("count", [str(count) for count in COUNTS])
def test_it_beats_two_points_and_a_fitted_floor(evidence, count):
    shown = evidence["errors"]["20"]
    own = shown["filter"][count]
    assert own["no_answer"] == 0
    for rival in ("two_point", "exponential_floor"):
        assert own["whole_median"] < shown[rival][count]["whole_median"]
        assert own["whole_p90"] < shown[rival][count]["whole_p90"]


def test_page_and_pictures_are_written_from_the_results():
    assert PAGE.read_text(encoding="utf-8").split(MARK)[1].strip() == page().strip()
    for name, text in pictures().items():
        assert (PICTURES / name).read_text(encoding="utf-8") == text, name
