"""Phases, oxygen between readings, and steps still to do, from logs cut short."""

import pytest

from brightroot.app.work_live import look, record
from brightroot.base.instant import utc_of
from brightroot.live.phases import TRANSITIONS, Phase
from brightroot.model.event import KINDS


def kind(name):
    return lambda event: event.kind == name


def test_the_table_names_kinds_that_exist():
    assert {event for _, event in TRANSITIONS} <= set(KINDS)


@pytest.mark.parametrize(
    "before, phase",
    [
        ("surface.prepared", Phase.PREPARING), ("purge.started", Phase.PREPARING), ("tack.made", Phase.PURGING),
        ("arc.started", Phase.READY), ("arc.stopped", Phase.ARC_ON), ("shield.lifted", Phase.HOLDING),
        ("bead.looked_at", Phase.LOOKING), ("dam.removed", Phase.EXAMINING),
    ],
)  # fmt: skip
def test_phase_before_the_first_of_a_kind(upto, before, phase):
    place, at_s = upto(kind(before))
    now = look(place, "J-10", at_s=at_s)
    assert now.state.phase is phase
    assert now.advice[0].event == before or before in ("tack.made",)


def test_the_bound_on_oxygen_grows_with_silence(upto):
    place, at_s = upto(kind("arc.started"))
    shown = {"state": "reading", "oxygen_frac": "7 ppm", "place": "vent"}
    record(place, "J-10", "oxygen.read", shown, by="W-07", at_utc=utc_of(at_s))
    told = [look(place, "J-10", at_s=at_s + later).oxygen for later in (0, 40, 100, 540)]
    assert [o.state for o in told] == ["measured", "ageing", "ageing", "not measured"]
    uppers = [o.upper.value for o in told]
    assert uppers == sorted(uppers) and uppers[-1] > uppers[0] >= told[0].last.oxygen_frac


def test_never_read_is_not_a_number(upto):
    place, at_s = upto(kind("oxygen.read"))
    oxygen = look(place, "J-10", at_s=at_s).oxygen
    assert (oxygen.state, oxygen.last, oxygen.upper) == ("never read", None, None)


def test_a_withdrawn_reading_no_longer_counts(upto):
    place, at_s = upto(kind("arc.started"))
    reads = [e for e in place.store.events("J-10") if e.kind == "oxygen.read"]
    for n, event in enumerate(reads):
        at = utc_of(at_s + n)
        record(place, "J-10", "event.withdrawn", {"why": "other joint"}, by="W-07", at_utc=at, corrects=event.id)
    now = look(place, "J-10", at_s=at_s + 10)
    assert now.oxygen.state == "never read"
    assert now.advice[0].event == "oxygen.read"


def test_what_is_left_shrinks_and_the_order_is_the_plans(gallery, upto):
    early, late = (look(*[upto(kind(name))[0], "J-10"]) for name in ("purge.started", "post_purge.ended"))
    assert len(early.left) > len(late.left) > 0
    order = {id(step): n for n, step in enumerate(early.plan.steps)}
    assert [order[id(s)] for s in early.left] == sorted(order[id(s)] for s in early.left)
    assert not look(gallery, "J-10").left
