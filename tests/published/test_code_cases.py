"""Every code folder's worked cases; each clause has one that passes, one that fails and one that is unknown."""

import tomllib
from pathlib import Path

import pytest

import brightroot
from brightroot.base.units import dimension_of, read
from brightroot.library.load import load_library
from brightroot.rules.checks import CHECKS
from brightroot.rules.facts import Fact
from brightroot.rules.judge import judge

FOLDERS = sorted(p.parent for p in (Path(brightroot.__file__).parent / "library/codes").glob("*/*/about.toml"))


def code_in(folder):
    return load_library().codes["/".join(folder.parts[-2:])]


def fact(name, typed, where=""):
    if isinstance(typed, list):
        return Fact(name, each=tuple(fact(name, one, f"run {i}") for i, one in enumerate(typed, 1)))
    if isinstance(typed, str) and typed and dimension_of(name):
        reading = read(typed, field=name)
        return Fact(name, reading.value, reading.as_entered, where=where)
    return Fact(name, typed, where=where)


def cases():
    for folder in FOLDERS:
        for number, case in enumerate(tomllib.loads((folder / "cases.toml").read_text())["case"], 1):
            yield pytest.param(folder, case, id=f"{folder.parent.name}-{number}-{case['clause']}")


@pytest.mark.parametrize(("folder", "case"), list(cases()))
def test_case(folder, case):
    facts = {name: fact(name, typed) for name, typed in case["facts"].items()}
    verdicts = {v.clause: v for v in judge(code=code_in(folder), facts=facts)}
    found = verdicts[case["clause"]]
    assert found.outcome == case["verdict"], f"{found.because}: wanted {found.wanted}, got {found.got}"
    assert found.says and found.source and found.because.startswith("verdict.")
    assert found.asks.startswith("ask.") or found.outcome != "unknown"


@pytest.mark.parametrize("folder", FOLDERS, ids=lambda f: f.parent.name)
def test_every_clause_is_shown_three_ways(folder):
    shown = [(c["clause"], c["verdict"]) for c in tomllib.loads((folder / "cases.toml").read_text())["case"]]
    clauses = {clause.id for clause in code_in(folder).clauses}
    missing = {(c, v) for c in clauses for v in ("pass", "fail", "unknown")} - set(shown)
    assert missing == set()
    assert {clause for clause, _ in shown} <= clauses


def test_every_check_is_used():
    used = {clause.check for folder in FOLDERS for clause in code_in(folder).clauses}
    assert set(CHECKS) - used == set()


@pytest.mark.parametrize("folder", FOLDERS, ids=lambda f: f.parent.name)
def test_no_word_promises_more_than_a_record_can(folder):
    text = " ".join(p.read_text() for p in folder.rglob("*") if p.is_file()).lower()
    for word in ("certified", "compliant", "clean", "validated", "safe"):
        assert word not in text, word


def test_there_are_folders():
    assert len(FOLDERS) >= 3
