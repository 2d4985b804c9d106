"""The committed sweep of the photo reader: whole, of one piece, its page fresh; a seeded 2 % is made and read again."""

import json
import warnings
from pathlib import Path

import pytest
from benchmarks import tint_evidence, tint_fuzz
from benchmarks.tint_mutants import KINDS
from benchmarks.tint_photos import COUNT, SEED, made, read, sample
from benchmarks.tint_table import table

RESULTS = Path(__file__).parents[2] / "benchmarks/results"
HEAVY = ("bomb",)  # seconds and hundreds of megabytes each: in the whole run only


@pytest.fixture(scope="module")
def photos():
    return json.loads((RESULTS / "tint_photos.json").read_text())


@pytest.fixture(scope="module")
def again(photos, tmp_path_factory):
    folder = tmp_path_factory.mktemp("photographs")
    rows = read([made(index, folder) for index in sample()], folder)
    return {row["index"]: row for row in rows}


def test_the_sweep_is_whole_and_names_its_commit_and_seed(photos):
    assert photos["seed"] == SEED and photos["commit"] not in ("", "unknown")
    assert photos["whole"]
    assert len(photos["photographs"]) == COUNT


def test_its_table_follows_from_its_rows(photos):
    assert json.loads(json.dumps(table(photos["photographs"]))) == photos["table"]


def test_every_photograph_was_answered_or_refused_with_a_reason(photos):
    for row in photos["photographs"]:
        assert row["answer"] in ("read", "refused"), row["index"]
        assert row["answer"] == "read" or row["reasons"], row["index"]


@pytest.mark.parametrize("index", sample())
def test_a_photograph_is_read_as_it_was(photos, again, index):
    then, now = photos["photographs"][index], again[index]
    assert (now["group"], now["answer"], now["reasons"]) == (then["group"], then["answer"], then["reasons"])
    assert now.get("worst_read") == then.get("worst_read")
    if now["answer"] == "read" and then["mae_nm"] is not None:
        assert now["mae_nm"] == pytest.approx(then["mae_nm"], rel=0.05, abs=0.1)
        assert now["covered_px"] == pytest.approx(then["covered_px"], rel=0.02, abs=100)


def test_the_page_says_what_the_results_say():
    head, told = tint_evidence.PAGE.read_text().split(tint_evidence.MARK)
    assert told.strip() == tint_evidence.page().strip()
    assert "No real weld photograph was used" in head
    assert tint_evidence.PLOT.read_text() == tint_evidence.plot()


def test_the_broken_files_were_all_answered_or_refused_by_name():
    told = json.loads((RESULTS / "tint_fuzz.json").read_text())
    assert told["faults"] == [] and set(told["ended"]) == {"answered", "refused"} and told["seed"] == tint_fuzz.SEED
    assert told["files"] == tint_fuzz.COUNT


@pytest.mark.parametrize("kind", [k for k, make in enumerate(KINDS) if make.__name__ not in HEAVY])
def test_a_broken_file_is_answered_or_refused_by_name(kind):
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # decoders grumble aloud; what counts is what the reader says
        for turn in range(3):
            found = tint_fuzz.outcome(kind + len(KINDS) * turn)
            assert found["ended"] in ("answered", "refused"), found
