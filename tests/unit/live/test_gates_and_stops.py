"""Readings that must not open a gate, and one that must stop the arc though it is no number."""

import pytest

from brightroot.app.work_live import look, record
from brightroot.base.clock import show_clock
from brightroot.base.instant import utc_of

OVER = {"state": "over range", "place": "vent"}
HIGH = {"state": "reading", "oxygen_frac": "20 %", "place": "vent"}


def kind(name):
    return lambda event: event.kind == name


def second_run(event):
    return event.kind == "arc.started" and event.data["run_count"] == 2


def said(place, at_s):
    advice = look(place, "J-10", at_s=at_s).advice[0]
    return advice.says, [because.says for because in advice.because]


@pytest.mark.parametrize("shown", [OVER, HIGH])
def test_oxygen_up_under_the_arc_stops_it_with_or_without_a_number(upto, shown):
    place, at_s = upto(kind("arc.stopped"))
    assert said(place, at_s)[0] == "say.arc_on"
    record(place, "J-10", "oxygen.read", shown, by="W-07", at_utc=utc_of(at_s))
    assert said(place, at_s + 1)[0] == "stop.oxygen"


@pytest.mark.parametrize("shown", [OVER, HIGH])
def test_no_tack_is_advised_in_bad_gas(upto, shown):
    place, at_s = upto(kind("tack.made"))
    assert said(place, at_s)[0] == "say.tack.made"
    record(place, "J-10", "oxygen.read", shown, by="W-07", at_utc=utc_of(at_s))
    says, because = said(place, at_s + 1)
    assert says in ("say.read_oxygen", "say.purge_wait") and because[0].startswith("gate.oxygen.")


@pytest.mark.parametrize("ahead_s, open_", [(30, True), (86400, False)])
def test_an_oxygen_reading_from_the_future_is_not_fresh(upto, ahead_s, open_):
    place, at_s = upto(kind("arc.started"))
    shown = {"state": "reading", "oxygen_frac": "7 ppm", "place": "vent"}
    record(place, "J-10", "oxygen.read", shown, by="W-07", at_utc=utc_of(at_s + ahead_s))
    says, because = said(place, at_s + 1)
    assert (says == "say.strike") is open_
    assert open_ or because == ["gate.reading_ahead"]


@pytest.mark.parametrize("ahead_s, open_", [(30, True), (86400, False)])
def test_a_temperature_from_the_future_is_not_read(upto, ahead_s, open_):
    place, at_s = upto(second_run)
    read = next(e for e in reversed(place.store.events("J-10")) if e.kind == "temperature.read")
    shown = {
        "temperature_K": read.data["temperature_K"]["as_entered"], "at_rad": read.data["at_rad"],
        "distance_m": read.data["distance_m"]["as_entered"], "side": "outside", "method": "contact",
    }  # fmt: skip
    shown["at_rad"] = show_clock(read.data["at_rad"])
    record(place, "J-10", "temperature.read", shown, by="W-07", at_utc=utc_of(at_s + ahead_s))
    says, because = said(place, at_s + 1)
    assert (says == "say.strike") is open_
    assert open_ or because == ["gate.reading_ahead"]


@pytest.mark.parametrize(
    "tint, arrangement, open_",
    [
        ("dark blue", "edge band", True), ("dark blue", "uniform", False), ("purple", "thin parallel lines", False),
        ("white", "edge band", False), ("grey", "edge band", False), ("dark straw", "spots", True),
    ],
)  # fmt: skip
def test_a_suspect_bead_waits_for_a_decision_written_after_it_was_seen(upto, tint, arrangement, open_):
    place, at_s = upto(second_run)
    looked = {"run_count": "1", "tint": tint, "arrangement": arrangement}
    decided = {"what": "looked at with the inspector", "why": "colour"}
    record(place, "J-10", "plan.departed_from", decided, by="W-07", at_utc=utc_of(at_s))
    record(place, "J-10", "bead.looked_at", looked, by="W-07", at_utc=utc_of(at_s + 1))
    assert said(place, at_s + 2)[0] == ("say.strike" if open_ else "say.gate.bead.shut")
    record(place, "J-10", "plan.departed_from", decided, by="W-07", at_utc=utc_of(at_s + 3))
    says, because = said(place, at_s + 4)
    assert says == "say.strike" and ("gate.bead.decided" in because) is not open_


def test_no_cap_without_the_backing_that_the_procedure_wants(upto):
    def cap(event):
        return event.kind == "arc.started" and event.data["run_count"] == 9

    place, at_s = upto(cap)
    says, because = said(place, at_s)
    assert says == "say.strike" and "gate.backing.on" in because
    record(place, "J-10", "purge.ended", {}, by="W-07", at_utc=utc_of(at_s))
    assert said(place, at_s + 1) == ("say.purge.started", ["gate.backing.off"])
