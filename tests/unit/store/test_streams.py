"""A store keeps people's logs and the shop's rules beside the joints, and no list of joints shows them."""

import pytest

from brightroot.app.plan_joint import declare, declare_like
from brightroot.base.errors import Refused
from brightroot.cli.demo import LARGE, facts
from brightroot.model.streams import PEOPLE, RULES, SHOP, is_joint, log_of, stamp_of
from brightroot.records.seal import check_chains
from brightroot.store.logs import memory_store

AT = "2026-03-02T10:00:00Z"


def a_store():
    store = memory_store()
    for log in ("J-05", log_of("W-07"), SHOP, "People/x", log_of("W-11")):
        store.append(log, AT, "W-07", "event.withdrawn", {"why": "a word"})
    return store


def test_only_joints_are_listed_as_joints():
    store = a_store()
    assert store.joints() == ("J-05", "People/x")  # a capital is another name
    assert store.logs(PEOPLE) == ("people/W-07", "people/W-11")
    assert store.logs(RULES) == (SHOP,)
    assert len(store.logs()) == 5
    assert store.counts()["joints"] == 2


def test_every_log_is_sealed_alike():
    report = check_chains(a_store().stored(log_of("W-07")))
    assert report.holds and report.events_count == 1


@pytest.mark.parametrize("typed", ["", "W 07", "A/B", "../x", "Ana María", "W" * 30])
def test_a_stamp_is_a_short_mark(typed):
    with pytest.raises(Refused):
        log_of(typed)


def test_a_stamp_comes_back():
    assert stamp_of(log_of(" W-07 ")) == "W-07"
    assert is_joint("W-07") and not is_joint(log_of("W-07"))


def test_no_joint_takes_such_a_name(place):
    with pytest.raises(Refused, match="people/"):
        declare(place, facts("people/W-07", position="1G", pipe=LARGE), by="W-07")
    declare(place, facts("J-01", position="1G", pipe=LARGE), by="W-07")
    with pytest.raises(Refused, match="rules/"):
        declare_like(place, "J-01", ("J-02", "rules/x"), by="W-07")
    assert place.store.joints() == ("J-01",)
