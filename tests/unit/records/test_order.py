"""The order of a set of events, and what corrections and withdrawals do to it."""

from dataclasses import replace

import pytest

from brightroot.base.errors import Broken
from brightroot.model.entry import entered
from brightroot.model.event import Event
from brightroot.records.order import in_order, settled
from brightroot.records.upcast import check_versions, upcast
from brightroot.records.views.joint import fold


def event(seq, kind="tape.opened", at="10:00", device="bench", corrects="", **facts):
    data = entered(kind, facts or ({"arc": f"A{seq}"} if kind.startswith("tape") else {"why": "slip"}))
    return Event("J-05", device, "e1", seq, f"2026-03-02T{at}:00Z", "W-07", kind, data, corrects=corrects)


def ids(events):
    return [e.id for e in events]


def test_a_clock_set_back_does_not_move_an_event_before_its_elder():
    a, b = event(1, at="10:30"), event(2, at="10:05")
    other = event(1, at="10:20", device="phone")
    assert ids(in_order([b, a, other])) == ["phone.e1.1", "bench.e1.1", "bench.e1.2"]


def test_ties_go_by_device_epoch_and_number():
    assert ids(in_order([event(1, device="phone"), event(2), event(1)])) == ["bench.e1.1", "bench.e1.2", "phone.e1.1"]


def test_offsets_are_times_not_text():
    late = replace(event(1, device="phone"), at_utc="2026-03-02T11:30:00+02:00")  # 09:30 UTC
    assert ids(in_order([event(1, at="10:00"), late])) == ["phone.e1.1", "bench.e1.1"]


def oxygen(seq, ppm, corrects=""):
    return event(
        seq, "oxygen.read", f"10:{seq:02d}", corrects=corrects, state="reading", oxygen_frac=f"{ppm} ppm", place="vent"
    )


def ppm_of(*events):
    return [round(o.oxygen_frac * 1e6) for o in fold(events).oxygen]


def test_a_correction_takes_the_old_place_and_time():
    record = fold([oxygen(1, 84), oxygen(2, 74), oxygen(3, 48, corrects="bench.e1.1")])
    assert [(o.event, round(o.oxygen_frac * 1e6)) for o in record.oxygen] == [("bench.e1.1", 48), ("bench.e1.2", 74)]
    assert record.oxygen[0].at_s == record.first_s
    assert record.corrected == (("bench.e1.1", "bench.e1.3"),) and record.events_count == 3


def test_the_last_correction_counts_and_may_correct_a_correction():
    first = oxygen(2, 48, corrects="bench.e1.1")
    assert ppm_of(oxygen(1, 84), first, oxygen(3, 40, corrects="bench.e1.1")) == [40]
    assert ppm_of(oxygen(1, 84), first, oxygen(3, 40, corrects="bench.e1.2")) == [40]


def withdraw(seq, what):
    return event(seq, "event.withdrawn", f"10:{seq:02d}", corrects=what)


def test_withdrawing():
    record = fold([oxygen(1, 84), oxygen(2, 74), withdraw(3, "bench.e1.1")])
    assert len(record.oxygen) == 1 and record.withdrawn == ("bench.e1.1",)
    assert record.corrected == (("bench.e1.1", "bench.e1.3"),)


def test_a_withdrawn_correction_gives_the_old_value_back():
    assert ppm_of(oxygen(1, 84), oxygen(2, 48, corrects="bench.e1.1"), withdraw(3, "bench.e1.2")) == [84]


def test_a_withdrawn_withdrawal_takes_nothing_away():
    log = [oxygen(1, 84), withdraw(2, "bench.e1.1"), withdraw(3, "bench.e1.2")]
    assert ppm_of(*log) == [84] and fold(log).withdrawn == ("bench.e1.2",)


def test_correcting_what_was_withdrawn_brings_nothing_back():
    assert ppm_of(oxygen(1, 84), withdraw(2, "bench.e1.1"), oxygen(3, 48, corrects="bench.e1.1")) == []


@pytest.mark.parametrize(
    "bad, says",
    [
        (oxygen(2, 48, corrects="bench.e1.9"), "order.corrects_unknown"),
        (oxygen(2, 48, corrects="bench.e1.2"), "order.corrects_unknown"),
        (event(2, corrects="bench.e1.1"), "order.corrects_other_kind"),
        (withdraw(2, ""), "order.withdraws_nothing"),
        (oxygen(1, 48), "order.doubled"),
    ],
)
def test_what_cannot_take_effect_is_a_fault_and_a_doubt(bad, says):
    log = settled([oxygen(1, 84), bad])
    assert [(f.says, len(log.events)) for f in log.faults] == [(says, 1)]
    assert [d.kind for d in fold([oxygen(1, 84), bad]).doubts] == [log.faults[0].event.kind]


def test_a_later_event_cannot_be_corrected_by_an_older_one():
    log = settled([oxygen(1, 84, corrects="bench.e1.2"), oxygen(2, 74)])
    assert [f.says for f in log.faults] == ["order.corrects_unknown"] and ids(log.events) == ["bench.e1.2"]


def rename(data):
    return {"arc": data["sector"]}


def test_old_shapes_reach_the_newest():
    table, newest = {("tape.opened", 1): rename}, {"tape.opened": 2}
    old = replace(event(1), data={"sector": "A"})
    now = upcast(old, table=table, newest=newest)
    assert (now.version, now.data, now.id) == (2, {"arc": "A"}, old.id)
    check_versions([("tape.opened", 1), ("tape.opened", 2), ("tape.closed", 1)], table=table, newest=newest)
    with pytest.raises(Broken, match="tape.opened version 3"):
        check_versions([("tape.opened", 3)], table=table, newest=newest)
    with pytest.raises(Broken, match="ends at 1"):
        check_versions([("tape.opened", 1)], table={}, newest=newest)
    with pytest.raises(Broken):
        upcast(old, table={}, newest=newest)
    with pytest.raises(Broken):
        upcast(replace(old, version=2))
