"""Where the work stands: a pure state machine. The table is the whole of it, and the docs print it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from functools import reduce

from brightroot.model.event import Event
from brightroot.model.record import JointRecord
from brightroot.records.order import settled
from brightroot.records.upcast import upcast
from brightroot.records.views.joint import fold_settled


class Phase(StrEnum):
    DECLARED = "declared"
    PREPARING = "preparing"
    PURGING = "purging"
    READY = "ready"
    ARC_ON = "arc on"
    HOLDING = "holding"
    LOOKING = "looking"
    EXAMINING = "examining"
    SIGNED = "signed"


P = Phase
_WORKING = (P.PREPARING, P.PURGING, P.READY, P.HOLDING, P.LOOKING, P.EXAMINING)

# (phase, kind of event) -> next phase. A kind that is not here leaves the phase as it is.
TRANSITIONS: dict[tuple[Phase, str], Phase] = {
    (P.DECLARED, "plan.made"): P.PREPARING,
    (P.PREPARING, "purge.started"): P.PURGING,
    (P.PURGING, "tape.opened"): P.READY,
    **{(phase, "arc.started"): P.ARC_ON for phase in (P.DECLARED, *_WORKING)},
    (P.ARC_ON, "arc.stopped"): P.HOLDING,
    (P.HOLDING, "shield.lifted"): P.LOOKING,
    (P.LOOKING, "bead.looked_at"): P.READY,
    (P.READY, "post_purge.ended"): P.EXAMINING,
    (P.LOOKING, "post_purge.ended"): P.EXAMINING,
    (P.EXAMINING, "joint.signed"): P.SIGNED,
    # a late event reopens what was signed
    (P.SIGNED, "arc.started"): P.ARC_ON,
    (P.SIGNED, "visual.measured"): P.EXAMINING,
    (P.SIGNED, "event.withdrawn"): P.EXAMINING,
}


@dataclass(frozen=True, slots=True)
class LiveState:
    """The phase and everything the log says."""

    phase: Phase
    record: JointRecord


def next_phase(phase: Phase, event: Event) -> Phase:
    """The phase after an event.

    >>> next_phase(Phase.HOLDING, Event("J-05", "bench", "1", 9, "2026-03-02T10:42:00Z", "W-07", "shield.lifted"))
    <Phase.LOOKING: 'looking'>
    """
    if event.kind == "joint.signed" and event.data.get("role") == "welder":
        # the welder's own signature does not close the joint
        return phase
    return TRANSITIONS.get((phase, event.kind), phase)


def live_state(events: Iterable[Event]) -> LiveState:
    """The state of a whole log, in whatever order its events arrived."""
    log = settled(upcast(event) for event in events)
    return LiveState(reduce(next_phase, log.events, Phase.DECLARED), fold_settled(log))
