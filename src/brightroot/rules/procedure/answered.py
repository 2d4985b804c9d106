"""Whether a trip still stands: waived by a signature, decided by a departure, or open."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from brightroot.model.procedure import Trip
from brightroot.model.record import JointRecord, Seen


def answered(trips: tuple[Trip, ...], record: JointRecord, times_s: Mapping[str, float]) -> tuple[Trip, ...]:
    """The trips with what became of them. A waiver names the variable and comes after the change; so does a departure.

    A departure is enough for what is only written; what was tested wants a signature. Neither changes a verdict.
    """
    return tuple(_answered(trip, record, times_s) for trip in trips)


def _answered(trip: Trip, record: JointRecord, times_s: Mapping[str, float]) -> Trip:
    last_s = max((times_s.get(event, float("-inf")) for event in trip.from_events), default=float("-inf"))
    waiver = _last([w for w in record.waivers if w.data["variable"] == trip.variable and w.at_s >= last_s])
    if waiver is not None:
        return replace(trip, state="waived", answered_by=waiver.event)
    departure = _last([d for d in record.departures if d.at_s >= last_s])
    if departure is not None and trip.weight == "nonessential":
        return replace(trip, state="decided", answered_by=departure.event)
    return trip


def _last(rows: list[Seen]) -> Seen | None:
    return rows[-1] if rows else None
