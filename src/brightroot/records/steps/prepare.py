"""Steps before the purge: surfaces and fit-up."""

from __future__ import annotations

from dataclasses import replace

from brightroot.model.entry import number_of
from brightroot.model.event import Event
from brightroot.model.record import FitUpPoint, JointRecord, Seen
from brightroot.records.steps.keep import seen

WORKS = {"degreased": 0, "oxide removed": 1, "degreased again": 2}


def surface_prepared(record: JointRecord, event: Event) -> JointRecord:
    prepared = (*record.prepared, seen(event))
    return replace(record, prepared=prepared, prepared_s=_ready_s(prepared))


def _ready_s(prepared: tuple[Seen, ...]) -> float | None:
    """When the third work was done, if all three were, in order. Taking oxide off anew asks for the third anew."""
    done, ready_s = 0, None
    for one in prepared:
        place = WORKS.get(str(one.data["work"]), len(WORKS))
        if place == 0:
            done = max(done, 1)
        elif place <= done:
            done = place + 1
            ready_s = one.at_s if done == len(WORKS) else None
    return ready_s


def surface_touched(record: JointRecord, event: Event) -> JointRecord:
    record = replace(record, prepared=(), prepared_s=None)
    return replace(record, touches=(*record.touches, seen(event)))


def fit_up(record: JointRecord, event: Event) -> JointRecord:
    data = event.data
    gap, hi_lo = float(data["gap_m"]["value"]), float(data["hi_lo_m"]["value"])
    point = FitUpPoint(event.id, float(data["at_rad"]), gap, hi_lo, number_of(data, "land_m"))
    return replace(record, fit_up=(*record.fit_up, point))
