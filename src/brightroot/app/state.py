"""The live state of a joint, with what was folded before kept in the place's memory."""

from __future__ import annotations

from brightroot.app.ports import Place
from brightroot.live.course import course_of
from brightroot.live.phases import LiveState

KEPT_MOST = 2000  # so many joints are remembered; then all are forgotten and folded again when asked


def state_of(place: Place, joint_id: str) -> LiveState:
    """The joint's state as its log now stands."""
    made = course_of(place.store.events(joint_id), place.memory.get(joint_id))
    if len(place.memory) >= KEPT_MOST:
        place.memory.clear()
    place.memory[joint_id] = made
    return made.state
