"""Seals and chains."""

import json
from dataclasses import replace

import pytest

from brightroot.base.errors import Broken
from brightroot.base.units import read
from brightroot.model.codec import to_data
from brightroot.model.event import Event
from brightroot.records.seal import check_chains, digest, log_head, opened, sealed


def chain(count, device="bench", joint="J-05"):
    out, prev = [], ""
    for seq in range(1, count + 1):
        data = {"arc": "A", "gap_m": to_data(read("2,4 mm", field="gap_m"))}
        stored = sealed(Event(joint, device, "e1", seq, "2026-03-02T10:42:00Z", "W-07", "tape.opened", data), prev)
        out.append(stored)
        prev = digest(stored)
    return out


def faults(stored):
    return [(f.device, f.epoch, f.seq, f.what) for f in check_chains(stored).faults]


def test_sealing_and_opening():
    one, two = chain(2)
    event = opened(two)
    assert event.prev == digest(one) and event.seq == 2 and event.data["gap_m"]["as_entered"] == "2,4 mm"
    assert sealed(event, event.prev) == two
    assert one.startswith(b'{"at_utc":"2026-03-02T10:42:00Z","by":"W-07","corrects":""')


def test_what_is_not_an_event_is_broken():
    for bad in (b"", b"{", b"[]", b'{"joint": "J-05"}', b"\xff"):
        with pytest.raises(Broken, match="a stored event"):
            opened(bad)


def test_whole_chains_hold_however_they_are_mixed():
    a, b = chain(4), chain(3, device="phone")
    report = check_chains([b[0], a[0], a[1], b[1], a[2], b[2], a[3]])
    assert report.holds and report.events_count == 7
    assert [(c.device, c.events_count, c.head) for c in report.chains] == [
        ("bench", 4, digest(a[3])),
        ("phone", 3, digest(b[2])),
    ]


def test_each_fault_is_located():
    log = chain(6)
    assert faults([*log[:2], *log[3:]]) == [("bench", "e1", 3, "missing")]
    assert faults(log[2:]) == [("bench", "e1", 1, "missing")]
    assert faults([*log[:3], log[2], *log[3:]]) == [("bench", "e1", 3, "doubled")]
    assert faults([log[0], log[2], log[1], *log[3:]]) == [("bench", "e1", 3, "out of place")]
    assert faults([log[0], log[1].replace(b"W-07", b"W-08"), *log[2:]]) == [("bench", "e1", 2, "changed")]
    assert faults([b"rubbish", *log]) == [("", "", 1, "changed")]
    first = sealed(opened(log[0]), "00")
    assert faults([first]) == [("bench", "e1", 1, "out of place")]


def test_only_the_changed_record_is_blamed_even_where_its_own_prev_was_changed():
    log = chain(6)
    bad = sealed(opened(log[3]), digest(b"something else"))
    assert faults([*log[:3], bad, *log[4:]]) == [("bench", "e1", 4, "changed")]


def test_a_forged_twin_is_told_from_the_true_record():
    log = chain(6)
    twin = sealed(replace(opened(log[3]), by="W-08"), digest(log[2]))
    for pair in ([log[3], twin], [twin, log[3]]):
        found = sorted(faults([*log[:3], *pair, *log[4:]]))
        assert found == [("bench", "e1", 4, "changed"), ("bench", "e1", 4, "doubled")]


def test_a_cut_tail_shows_only_in_the_head():
    log = chain(6)
    assert check_chains(log[:4]).holds
    assert log_head(log[:4]) != log_head(log)


def test_the_head_is_of_the_set():
    a, b = chain(4), chain(3, device="phone")
    assert log_head([*a, *b]) == log_head([*reversed(b), *a, a[0]])
    rows = [["J-05", "bench", "e1", 4, digest(a[3])], ["J-05", "phone", "e1", 3, digest(b[2])]]
    assert log_head([*a, *b]) == digest(json.dumps(rows, separators=(",", ":")).encode())
