"""Steps of the gas: dams, tape, flows and what the monitor showed."""

from __future__ import annotations

from dataclasses import replace

from brightroot.base.instant import seconds_of
from brightroot.model.entry import number_of, reading_of
from brightroot.model.event import Event
from brightroot.model.record import JointRecord, OxygenRead, TemperatureRead
from brightroot.records.steps.keep import doubt, kept


def dam_placed(record: JointRecord, event: Event) -> JointRecord:
    # an end with two dams in it is there twice: pulling one leaves one
    return replace(record, dams_in=(*record.dams_in, event.data["end"]), dams_placed_count=record.dams_placed_count + 1)


def dam_removed(record: JointRecord, event: Event) -> JointRecord:
    end, inside = event.data["end"], list(record.dams_in)
    record = replace(record, dams_removed_count=record.dams_removed_count + 1)
    if end not in inside:
        return doubt(record, event)
    inside.remove(end)
    return replace(record, dams_in=tuple(inside))


def tape_opened(record: JointRecord, event: Event) -> JointRecord:
    arcs = (*(a for a in record.arcs_open if a != event.data["arc"]), event.data["arc"])
    return replace(record, arcs_open=arcs, tape_known=True)


def tape_closed(record: JointRecord, event: Event) -> JointRecord:
    arcs = tuple(a for a in record.arcs_open if a != event.data["arc"])
    return replace(record, arcs_open=arcs, tape_known=True)


def purge_started(record: JointRecord, event: Event) -> JointRecord:
    return replace(
        record,
        purge_started_s=seconds_of(event.at_utc),
        purge_ended_s=None,
        post_purge_ended_s=None,
        backing_flow_m3_s=number_of(event.data, "flow_m3_s"),
    )


def flow_changed(record: JointRecord, event: Event) -> JointRecord:
    record = kept("flows")(record, event)
    if event.data["circuit"] != "backing":
        return record
    return replace(record, backing_flow_m3_s=number_of(event.data, "flow_m3_s"))


def purge_ended(record: JointRecord, event: Event) -> JointRecord:
    return replace(record, purge_ended_s=seconds_of(event.at_utc), backing_flow_m3_s=None)


def post_purge_ended(record: JointRecord, event: Event) -> JointRecord:
    return replace(record, post_purge_ended_s=seconds_of(event.at_utc))


def oxygen(record: JointRecord, event: Event) -> JointRecord:
    data = event.data
    look = OxygenRead(
        event.id,
        seconds_of(event.at_utc),
        data["state"],
        number_of(data, "oxygen_frac"),
        data["place"],
        record.backing_flow_m3_s,
    )
    return replace(record, oxygen=(*record.oxygen, look))


def temperature(record: JointRecord, event: Event) -> JointRecord:
    data, at_s = event.data, seconds_of(event.at_utc)
    reading = reading_of(data, "temperature_K")
    off_s = max((r.stopped_s for r in record.runs if r.stopped_s is not None and r.stopped_s <= at_s), default=None)
    look = TemperatureRead(
        event.id,
        at_s,
        float(data["temperature_K"]["value"]),
        float(data["at_rad"]),
        number_of(data, "distance_m"),
        data["side"],
        data["method"],
        None if off_s is None else at_s - off_s,
        reading.as_entered if reading else "",
        data.get("emissivity_set_1"),
    )
    return replace(record, temperatures=(*record.temperatures, look))
