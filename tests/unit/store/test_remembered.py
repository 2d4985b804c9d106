"""What is kept of earlier findings answers as a store that has just been opened."""

import numpy as np
import pytest

from brightroot.store.logs import memory_store, open_store

KINDS = ("arc.stopped", "event.withdrawn", "joint.declared")


@pytest.mark.parametrize("seed", range(3))
def test_growing_by_parts_is_the_same_as_reading_afresh(tmp_path, seed):
    rng = np.random.default_rng(seed)
    path = tmp_path / "log.sqlite3"
    store = open_store(path)
    kinds = (*KINDS, "arc.started", "temperature.read")
    for at in range(40):
        joint = str(rng.choice(["J-1", "J-2", "j-1", "people/W-1", "J-3"]))
        by, kind = str(rng.choice(["W-1", "W-2", "W-11"])), str(rng.choice(kinds))
        event = store.append(joint, f"2026-03-02T10:{at:02d}:00Z", by, kind, {"note": 'says "kind":"arc.stopped"'})
        if rng.random() < 0.4:
            fresh = open_store(path)
            for who in ("W-1", "W-2", "W-11"):
                assert store.events_of(KINDS, by=who) == fresh.events_of(KINDS, by=who), event
            fresh.close()
    assert any(store.events_of(KINDS, by=who) for who in ("W-1", "W-2"))


def test_nothing_is_looked_through_twice(monkeypatch):
    from brightroot.store import remembered

    store, looked = memory_store(), []
    once = remembered._since
    monkeypatch.setattr(remembered, "_since", lambda *told: looked.append(told[3]) or once(*told))
    store.append("J-1", "2026-03-02T10:00:00Z", "W-1", "arc.stopped", {})
    for _ in range(3):
        assert len(store.events_of(KINDS, by="W-1")) == 1
    assert looked == [0]
    store.append("J-1", "2026-03-02T10:01:00Z", "W-1", "arc.stopped", {})
    assert len(store.events_of(KINDS, by="W-1")) == 2 and looked == [0, 1]
