"""What every step is made of: keep an event whole, or note that it does not fit."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from brightroot.base.instant import seconds_of
from brightroot.model.event import Event
from brightroot.model.record import JointRecord, Seen

Step = Callable[[JointRecord, Event], JointRecord]


def seen(event: Event) -> Seen:
    """The event as a record keeps it."""
    return Seen(event.id, seconds_of(event.at_utc), event.by, event.kind, event.data)


def doubt(record: JointRecord, event: Event) -> JointRecord:
    """The record with the event among the doubts: it happened, but it does not fit or it weakens the evidence."""
    return replace(record, doubts=(*record.doubts, seen(event)))


def kept(field: str) -> Step:
    """A step that keeps the event whole, at the end of that field."""

    def keep(record: JointRecord, event: Event) -> JointRecord:
        changes: dict[str, Any] = {field: (*getattr(record, field), seen(event))}
        return replace(record, **changes)

    return keep


def in_course(step: Step) -> Step:
    """A step whose event also changes the course of the purge."""

    def both(record: JointRecord, event: Event) -> JointRecord:
        after = step(record, event)
        return replace(after, purge_course=(*after.purge_course, seen(event)))

    return both
