"""Steps of the welding: tacks, arcs on and off, the shield, and what was seen of each bead."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from brightroot.base.instant import seconds_of
from brightroot.model.entry import number_of
from brightroot.model.event import TINTS, Event
from brightroot.model.record import JointRecord, RunRecord, TackRecord
from brightroot.records.steps.keep import Step, doubt, kept


def tack_made(record: JointRecord, event: Event) -> JointRecord:
    data = event.data
    tack = TackRecord(data["tack"], event.id, float(data["at_rad"]), data["purged"], data["shape"], data["tint"])
    before = record.tack(tack.name)
    if before is not None and not before.cut:
        record = doubt(record, event)  # the name was in use: one of the two may be another tack
    return replace(record, tacks=(*(t for t in record.tacks if t.name != tack.name), tack))


def tack_changed(field: str) -> Step:
    def change(record: JointRecord, event: Event) -> JointRecord:
        name = event.data["tack"]
        changes: dict[str, Any] = {field: True}
        if record.tack(name) is None:
            return doubt(record, event)
        return replace(record, tacks=tuple(replace(t, **changes) if t.name == name else t for t in record.tacks))

    return change


# runs


def _with_run(record: JointRecord, event: Event, **changes: Any) -> JointRecord:
    """The record with that run changed; an event of a run that was never started is a doubt."""
    number = event.data["run_count"]
    if record.run(number) is None:
        return doubt(record, event)
    return replace(record, runs=tuple(replace(r, **changes) if r.number == number else r for r in record.runs))


def arc_started(record: JointRecord, event: Event) -> JointRecord:
    number, data, before = event.data["run_count"], event.data, record.run(event.data["run_count"])
    if record.arc_on_run or before is not None:
        record = doubt(record, event)  # an arc that never stopped, or a run struck again
    # what was seen of the earlier bead says nothing of the one laid over it
    run = RunRecord(
        number,
        before.started_event if before else event.id,
        before.started_s if before else seconds_of(event.at_utc),
        number_of(data, "current_A"),
        number_of(data, "voltage_V"),
        dipped=before is not None and before.dipped,
    )
    return replace(record, runs=(*(r for r in record.runs if r.number != number), run), arc_on_run=number)


def arc_stopped(record: JointRecord, event: Event) -> JointRecord:
    record = replace(record, arc_on_run=0)  # there is one torch: whichever run is named, the arc is off
    run = record.run(event.data["run_count"])
    if run is None or run.stopped_s is not None:
        return doubt(record, event)
    return _with_run(
        record,
        event,
        stopped_event=event.id,
        stopped_s=seconds_of(event.at_utc),
        stopped_at_rad=event.data.get("at_rad"),
        travel_m_s=number_of(event.data, "travel_m_s"),
    )


def shield_lifted(record: JointRecord, event: Event) -> JointRecord:
    run = record.run(event.data["run_count"])
    if run is None or run.stopped_s is None or run.lifted_s is not None:
        record = doubt(record, event)
    if run is None or run.lifted_s is not None:  # the first lift is the one that let the air in
        return record
    return _with_run(record, event, lifted_event=event.id, lifted_s=seconds_of(event.at_utc))


def bead_looked_at(record: JointRecord, event: Event) -> JointRecord:
    """The worst colour seen before brushing stands; a paler look later, or one after the brush, is a doubt."""
    run, tint = record.run(event.data["run_count"]), event.data["tint"]
    if run is None or run.brushed_s is not None or _severity(tint) < _severity(run.tint):
        return doubt(record, event)
    at_s, arrangement = seconds_of(event.at_utc), event.data["arrangement"]
    return _with_run(record, event, tint=tint, tint_event=event.id, tint_s=at_s, arrangement=arrangement)


def _severity(tint: str) -> int:
    """How bad a colour is; nothing recorded is least, then `not seen`.

    >>> _severity("") < _severity("not seen") < _severity("silver") < _severity("white")
    True
    """
    order = ("", "not seen", *(t for t in TINTS if t != "not seen"))
    return order.index(tint) if tint in order else len(order)


def bead_brushed(record: JointRecord, event: Event) -> JointRecord:
    run = record.run(event.data["run_count"])
    if run is not None and run.brushed_s is not None:
        return record
    return _with_run(record, event, brushed_s=seconds_of(event.at_utc))


def tungsten_dipped(record: JointRecord, event: Event) -> JointRecord:
    record = doubt(record, event)
    return record if record.run(event.data["run_count"]) is None else _with_run(record, event, dipped=True)


def rod_looked_at(record: JointRecord, event: Event) -> JointRecord:
    record = kept("rods")(record, event)
    return doubt(record, event) if event.data["tip"] == "tinted" else record
