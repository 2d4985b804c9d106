"""What the joints still owe before their dossiers are whole: for one joint, and for all of them side by side."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from brightroot.app.judge_joint import verdicts
from brightroot.app.plan_joint import plan_of
from brightroot.app.ports import Place
from brightroot.app.state import state_of
from brightroot.live.phases import Phase
from brightroot.model.clause import Verdict
from brightroot.model.owed import Owed, still_owed
from brightroot.records.seal import log_head
from brightroot.rules.owed import owed_of


@dataclass(frozen=True, slots=True)
class Standing:
    """One joint's dossier as it would be printed now."""

    joint: str
    pipe: str
    phase: Phase
    owed: tuple[Owed, ...]
    events_count: int
    head: str
    issued_count: int
    last_s: float | None

    @property
    def open(self) -> tuple[Owed, ...]:
        """What neither evidence nor a concession has closed, the longest owed first."""
        return still_owed(self.owed)


def owed(place: Place, joint_id: str, judged: tuple[Verdict, ...] = ()) -> tuple[Owed, ...]:
    """Everything that keeps the joint's dossier from being whole, conceded or not. `judged` saves judging twice."""
    events = place.store.events(joint_id)
    record = state_of(place, joint_id).record
    told = judged or verdicts(place, joint_id)
    return owed_of(told, events, record.concessions, owing=place.library.owing)


def standings(place: Place, joints: Sequence[str] = ()) -> tuple[Standing, ...]:
    """Where each joint's dossier stands; all joints where none is named. The longest owed first, whole ones last."""
    made = [_standing(place, joint) for joint in joints or place.store.joints()]
    return tuple(sorted(made, key=lambda one: (not one.open, _since_s(one), one.joint)))


def _standing(place: Place, joint_id: str) -> Standing:
    state = state_of(place, joint_id)
    end = plan_of(place, joint_id).joint.end_a
    stored = place.store.stored(joint_id)
    return Standing(
        joint=joint_id,
        pipe=end.size or f"{end.outer_diameter_m.as_entered} x {end.wall_m.as_entered}",
        phase=state.phase,
        owed=owed(place, joint_id),
        events_count=len(stored),
        head=log_head(stored),
        issued_count=len(state.record.issued),
        last_s=state.record.last_s,
    )


def _since_s(one: Standing) -> float:
    return min((each.since_s for each in one.open if each.since_s is not None), default=float("inf"))
