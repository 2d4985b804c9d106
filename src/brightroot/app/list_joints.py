"""All joints at a glance: what each is and what comes next on it."""

from __future__ import annotations

from dataclasses import dataclass

from brightroot.app.ports import Place
from brightroot.app.work_live import look
from brightroot.live.phases import Phase
from brightroot.model.advice import Advice


@dataclass(frozen=True, slots=True)
class Row:
    """One joint in the list."""

    id: str
    pipe: str
    metal: str
    position: str
    phase: Phase
    advice: Advice
    runs_made: int
    runs_planned: int
    events_count: int
    closing: bool


def rows(place: Place) -> tuple[Row, ...]:
    """Every joint of the store, those that are being worked first, then by name."""
    found = [_row(place, name) for name in place.store.joints()]
    return tuple(sorted(found, key=lambda row: (row.phase in (Phase.PREPARING, Phase.SIGNED), row.id)))


def _row(place: Place, name: str) -> Row:
    now = look(place, name)
    joint = now.plan.joint
    size = joint.end_a.size or f"{joint.end_a.outer_diameter_m.as_entered} x {joint.end_a.wall_m.as_entered}"
    return Row(
        id=name,
        pipe=size,
        metal=place.library.alloys[joint.end_a.alloy].name,
        position=joint.position,
        phase=now.state.phase,
        advice=now.advice[0],
        runs_made=len(now.state.record.runs),
        runs_planned=len(now.plan.runs),
        events_count=now.state.record.events_count,
        closing=joint.closing,
    )
