"""What is owed, by whom, since when; what a concession does and what it does not."""

import re
from pathlib import Path

import pytest

import brightroot.rules
from brightroot.base.source import Standing
from brightroot.library.check import check_library
from brightroot.model.clause import Outcome, Verdict
from brightroot.model.event import Event
from brightroot.model.owed import Owing, still_owed
from brightroot.model.record import Seen
from brightroot.rules.owed import owed_of

RULES = Path(brightroot.rules.__file__).parent
OWING = {
    "oxygen": Owing("welder", "arc.started"),
    "hold_point": Owing("inspector", "tack.made"),
    "heat": Owing("welder", ""),
}


def verdict(clause, outcome, asks):
    return Verdict(clause, "own/1", clause, clause, "", outcome, "", "", "", (), "s", Standing.DERIVED, asks)


def event(kind, minute, seq):
    return Event("J-1", "bench", "1", seq, f"2026-03-02T10:{minute:02}:00Z", "W-07", kind, {})


LOG = [event("joint.declared", 0, 1), event("tack.made", 20, 2), event("tack.made", 25, 3), event("arc.started", 40, 4)]


def listed(verdicts, events=LOG, concessions=()):
    return owed_of(tuple(verdicts), events, tuple(concessions), owing=OWING)


def test_only_what_does_not_pass_is_owed_and_the_longest_owed_comes_first():
    made = listed(
        [
            verdict("a", Outcome.PASS, "ask.oxygen"),
            verdict("b", Outcome.UNKNOWN, "ask.oxygen"),
            verdict("c", Outcome.NOT_APPLICABLE, ""),
            verdict("d", Outcome.UNKNOWN, "ask.hold_point"),
            verdict("e", Outcome.UNKNOWN, "ask.heat"),
        ]
    )
    assert [(one.clause, one.by) for one in made] == [("e", "welder"), ("d", "inspector"), ("b", "welder")]
    assert [one.since_s - made[0].since_s for one in made] == [0, 20 * 60, 40 * 60]


def test_what_is_not_due_comes_last_and_stays_owed():
    made = listed([verdict("b", Outcome.UNKNOWN, "ask.oxygen"), verdict("e", Outcome.UNKNOWN, "ask.heat")], LOG[:3])
    assert [(one.clause, one.since_s is None) for one in made] == [("e", False), ("b", True)]
    assert len(still_owed(made)) == 2


def test_a_failure_is_the_engineers_and_so_is_what_nobody_is_named_for():
    made = listed([verdict("b", Outcome.FAIL, "ask.oxygen"), verdict("x", Outcome.UNKNOWN, "ask.of_a_shop")])
    assert {one.clause: one.by for one in made} == {"b": "engineer", "x": "engineer"}


def test_a_concession_closes_its_own_gap_only_and_moves_no_verdict():
    gaps = [verdict("b", Outcome.FAIL, "ask.oxygen"), verdict("d", Outcome.UNKNOWN, "ask.hold_point")]
    data = {"clause": "own/1 b", "why": "seen by the owner", "stamp": "E-01", "role": "engineer"}
    signed = Seen("bench.1.9", 1.0, "E-01", "concession.signed", data)
    made = listed(gaps, concessions=[signed])
    assert [one.clause for one in still_owed(made)] == ["d"]
    assert {one.clause: (one.outcome, one.conceded) for one in made}["b"] == (Outcome.FAIL, signed)


def test_an_empty_log_owes_all_and_nothing_is_due():
    made = listed([verdict("e", Outcome.UNKNOWN, "ask.heat")], [])
    assert [one.since_s for one in made] == [None]


def test_whoever_owes_it_is_named_for_all_that_the_record_can_lack(library):
    asked = {name for path in RULES.glob("*.py") for name in re.findall(r'"ask\.(\w+)"', path.read_text())}
    of_procedures = {"written", "tested", "p_number", "f_number"}
    assert len(asked) > 20
    assert asked - of_procedures <= set(library.owing)


@pytest.mark.parametrize("name", ["interpass", "dams_out", "hold_point"])
def test_the_library_names_who_owes_whatever_a_clause_asks(library, name):
    assert not check_library(library)
    assert library.owing[name].by in ("welder", "inspector")
