"""Many joints as a list: enough of each to sort, to say where it stands and to find it again."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from brightroot.model.event import Event
from brightroot.model.record import JointRecord
from brightroot.records.order import in_order
from brightroot.records.views.joint import fold


@dataclass(frozen=True, slots=True)
class JointRow:
    """One joint of the list. `record` is what decides its phase; the rest is for the row itself."""

    id: str
    record: JointRecord
    runs_made_count: int
    doubts_count: int
    last_event: str
    last_kind: str
    last_by: str


def joint_row(joint: str, events: Iterable[Event]) -> JointRow:
    """The row of one joint's log."""
    log = in_order(events)
    record, last = fold(log), log[-1] if log else None
    return JointRow(
        id=joint,
        record=record,
        runs_made_count=sum(run.stopped_s is not None for run in record.runs),
        doubts_count=len(record.doubts),
        last_event=last.id if last else "",
        last_kind=last.kind if last else "",
        last_by=last.by if last else "",
    )


def joint_rows(logs: Mapping[str, Iterable[Event]]) -> tuple[JointRow, ...]:
    """The list, in the order of the logs given."""
    return tuple(joint_row(joint, events) for joint, events in logs.items())
