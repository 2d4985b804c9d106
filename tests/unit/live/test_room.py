"""The air of the space: a reading is kept, blocks until it is fresh, low enough in doubt and seconded, and lets nobody in."""

import re

import pytest

from brightroot.app.work_live import look, record
from brightroot.base.instant import utc_of
from brightroot.live.room import air_gate, asks_for_air, space_of
from brightroot.model.advice import Level
from brightroot.render.words import words

J = "J-10"
READ = {"room_oxygen_frac": "20.9 %", "place": "bottom of space", "monitor": "area monitor", "stamp": "W-07"}


def put(place, kind, at_s, /, *, by="W-07", **facts):
    return record(place, J, kind, facts, by=by, at_utc=utc_of(at_s))


def gate(place, at_s):
    now = look(place, J, at_s=at_s)
    return air_gate(now.state.record, now_s=at_s, cells=now.cells)


@pytest.fixture
def pit(upto):
    """Dams still in, the space described: what comes next is leaning in."""
    place, at_s = upto(lambda event: event.kind == "dam.removed")
    put(
        place, "space.described", at_s, room_m3="12 m³", air_change="none", bottom_m2="4 m²", lip_m="1.2 m",
    )  # fmt: skip
    return place, at_s + 1


def test_leaning_in_waits_for_a_reading_and_for_a_second_stamp(pit):
    place, at_s = pit
    first = look(place, J, at_s=at_s).advice[0]
    assert (first.event, first.level) == ("air.read", Level.STOP)
    assert [b.says for b in first.because] == ["gate.air.never", "because.leaning_in"]
    put(place, "air.read", at_s, **READ)
    first = look(place, J, at_s=at_s + 1).advice[0]
    assert (first.event, first.because[0].says) == ("air.seconded", "gate.air.one_stamp")
    put(place, "air.seconded", at_s + 2, stamp="w-07 ")
    assert gate(place, at_s + 3).state == "unknown", "the same stamp again is no second one"
    put(place, "air.seconded", at_s + 4, stamp="F-02")
    first = look(place, J, at_s=at_s + 5).advice[0]
    assert first.event == "dam.removed" and first.because[0].says == "gate.air.read"


@pytest.mark.parametrize(
    "facts, state, says",
    [
        ({"room_oxygen_frac": "19.4 %"}, "shut", "low"), ({"room_oxygen_frac": "23.6 %"}, "shut", "high"),
        ({"monitor": "purge monitor"}, "unknown", "purge_monitor"), ({"monitor": ""}, "unknown", "monitor_unknown"),
        ({"room_oxygen_frac": "19.5 %"}, "open", "read"), ({"room_oxygen_frac": "23.5 %"}, "open", "read"),
    ],
)  # fmt: skip
def test_each_thing_that_blocks(pit, facts, state, says):
    place, at_s = pit
    put(place, "air.read", at_s, **READ | facts)
    put(place, "air.seconded", at_s + 1, stamp="F-02")
    found = gate(place, at_s + 2)
    assert (found.state, found.because.says) == (state, f"gate.air.{says}")


def test_a_reading_gets_too_old_and_a_new_one_needs_its_own_second_stamp(pit):
    place, at_s = pit
    put(place, "air.read", at_s, **READ)
    put(place, "air.seconded", at_s + 1, stamp="F-02")
    assert gate(place, at_s + 599).state == "open"
    assert gate(place, at_s + 601).because.says == "gate.air.stale"
    put(place, "air.read", at_s + 700, **READ)
    assert gate(place, at_s + 701).because.says == "gate.air.one_stamp"


def test_breathing_height_does_not_stand_for_the_bottom(pit):
    place, at_s = pit
    put(place, "air.read", at_s, **READ | {"place": "breathing height"})
    assert gate(place, at_s + 1).because.says == "gate.air.never"


def test_who_wrote_it_down_is_no_second_person(pit):
    place, at_s = pit
    put(place, "air.read", at_s, **READ | {"stamp": "E-04"}, by="W-07")
    put(place, "air.seconded", at_s + 1, stamp="W-07")
    assert gate(place, at_s + 2).because.says == "gate.air.one_stamp"


def test_a_small_pipe_in_no_described_space_asks_for_none(upto):
    place, at_s = upto(lambda event: event.kind == "dam.removed")
    now = look(place, J, at_s=at_s)
    assert not asks_for_air(now.plan, now.state.record, now.cells)
    assert now.advice[0].event == "dam.removed"


def test_argon_let_go_fills_the_pit_from_the_bottom(pit):
    place, at_s = pit
    now = look(place, J, at_s=at_s)
    space = space_of(now.plan, now.state.record, now_s=at_s, cells=now.cells)
    assert space.argon_m3 > 0.3
    assert space.depth.value == pytest.approx(space.argon_m3 / 4)
    assert space.mixed.value < 0.2095 and space.soonest_s is not None
    put(place, "space.described", at_s + 1, room_m3="12 m³", air_change="exhaust", ventilation_m3_s="400 m³/h")
    now = look(place, J, at_s=at_s + 2)
    aired = space_of(now.plan, now.state.record, now_s=at_s + 2, cells=now.cells)
    assert aired.soonest_s is None and aired.mixed.value > space.mixed.value and aired.depth is None


@pytest.mark.parametrize(
    "language, never", [("en", r"\b(safe|may enter|can go in)\b"), ("es", r"\b(segur[oa]|puedes? entrar)\b")]
)
def test_no_sentence_about_the_air_lets_anybody_in(language, never):
    said = words(language).sentences
    about = {i: s for i, s in said.items() if i.startswith(("gate.air.", "gas.air", "say.gate.air", "because.leaning"))}
    assert len(about) > 10
    assert {i: s for i, s in about.items() if re.search(never, s, re.IGNORECASE)} == {}
