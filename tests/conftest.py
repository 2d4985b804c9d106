"""What many tests share: the library, a place with a fixed clock, and two joints worked from facts to signature."""

from dataclasses import replace

import pytest

from brightroot.app.plan_joint import declare
from brightroot.app.ports import Place
from brightroot.app.stand_in import work
from brightroot.base.instant import seconds_of
from brightroot.cli.demo import LARGE, SMALL, facts
from brightroot.library.load import load_library
from brightroot.store.logs import memory_store

NOW_S = seconds_of("2026-03-05T19:00:00Z")


@pytest.fixture(scope="session")
def library():
    return load_library()


@pytest.fixture
def place(library):
    """An empty log and a clock that stands still."""
    return Place(library, memory_store(), lambda: NOW_S)


@pytest.fixture(scope="session")
def gallery(library):
    """J-01 (rolled) and J-10 (fixed) of the pump gallery, planned from facts and worked to the last signature."""
    made = Place(library, memory_store(), lambda: NOW_S)
    before = replace(made, now_s=lambda: NOW_S - 2 * 86400)
    declare(before, facts("J-01", position="1G", pipe=LARGE), by="W-07")
    declare(before, facts("J-10", position="5G", pipe=SMALL), by="W-07")
    for name in ("J-01", "J-10"):
        work(made, name, start_s=NOW_S - 86400, by="W-07")
    return made


@pytest.fixture
def upto(gallery):
    """J-10's log cut just before the first event that `stop` accepts, in a place of its own, with the time of the cut."""

    def cut(stop, name="J-10"):
        kept = []
        for event, stored in zip(gallery.store.events(name), gallery.store.stored(name), strict=True):
            if stop(event):
                store = memory_store()
                store.receive(kept, gallery.store.proof(name)["signatures"])
                for block in {e.data["plan_sha256"] for e in store.events(name) if "plan_sha256" in e.data}:
                    content, media_type = gallery.store.attachment(block)
                    store.put_attachment(content, media_type)
                at_s = seconds_of(store.events(name)[-1].at_utc) + 1  # two devices in one instant have no order
                return replace(gallery, store=store, now_s=lambda at_s=at_s: at_s), at_s
            kept.append(stored)
        raise AssertionError("the log has no such event")

    return cut
