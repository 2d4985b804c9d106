"""The fastest way round a joint: searched, checked with the full heat engine, priced rule by rule, and taken as the plan."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from brightroot.app.declare_joint import declare_joint
from brightroot.app.plan_joint import keep_plan, plan_of
from brightroot.app.ports import Place
from brightroot.app.state import state_of
from brightroot.base.errors import Refused
from brightroot.model.joint import Joint
from brightroot.model.library import Library
from brightroot.model.plan import Plan
from brightroot.planner.heat import Progress
from brightroot.planner.search.chances import Chances, chances
from brightroot.planner.search.fastest import Fastest, fastest
from brightroot.planner.search.feasible import searched
from brightroot.planner.search.prices import Loosened, Price, binding, loosened, prices
from brightroot.planner.search.rotation import Rotation, rotated
from brightroot.planner.search.search import Stuck, one_order
from brightroot.planner.search.task import OBJECTIVES, TIME, Found
from brightroot.planner.search.tasks import Setting, setting_of

WALK_S, CARRY_S = (
    60.0,
    180.0,
)  # to another joint with a rig of its own; with the rig carried along: common practice, no source
HANDS = ("right", "left")
RIGHT = HANDS[0]


@dataclass(frozen=True, slots=True)
class Searched:
    """What a search says of a joint without the full engine: the way, the plan's own order beside it, prices, what binds."""

    setting: Setting
    found: Found
    own_s: float | None  # the plan's own order, counted alike
    own_m3: float | None
    prices: tuple[Price, ...]
    loosened: tuple[Loosened, ...]
    binding: Mapping[str, int]


def plan_fastest(
    place: Place,
    facts: Mapping[str, Any],
    *,
    objective: str = TIME,
    hand: str = RIGHT,
    progress: Progress = lambda done, of: None,
) -> Fastest:
    """The fastest plan from typed facts, kept nowhere. Raises Refused naming a limit that no plan keeps, and the nearest."""
    joint = declare_joint(facts, library=place.library)
    return fastest(joint, library=place.library, objective=_objective(objective), hand=_hand(hand), progress=progress)


def searched_joint(place: Place, joint_id: str, *, objective: str = TIME, hand: str = RIGHT) -> Searched:
    """The search of a declared joint with its prices."""
    return _searched(plan_of(place, joint_id).joint, place.library, _objective(objective), _hand(hand))


def fastest_of(place: Place, joint_id: str, *, objective: str = TIME, hand: str = RIGHT) -> Fastest:
    """A declared joint's fastest plan, checked with the full engine."""
    return _fastest(plan_of(place, joint_id).joint, place.library, _objective(objective), _hand(hand))


def adopt_fastest(
    place: Place, joint_id: str, *, by: str, objective: str = TIME, hand: str = RIGHT, client_id: str = ""
) -> Plan:
    """The fastest plan becomes the joint's plan. Not once an arc was struck: what is left is then planned again."""
    if state_of(place, joint_id).record.runs:
        raise Refused(field="joint", wanted="a joint without a run", got=joint_id, reason="refused.begun")
    if not by.strip():
        raise Refused(field="by", wanted="your stamp, like W-07", got="nothing", reason="refused.missing")
    plan = fastest_of(place, joint_id, objective=objective, hand=hand).plan
    keep_plan(place, plan, by=by, client_id=client_id)
    return plan


def sureness(place: Place, joint_id: str, *, objective: str = TIME, seed: int = 1) -> Chances:
    """P10, P50 and P90 of time and argon, and how often each limit would hold by the clock alone."""
    return _chances(plan_of(place, joint_id).joint, place.library, _objective(objective), seed)


def rotate(place: Place, joint_ids: Sequence[str], *, rigs: int = 1) -> Rotation:
    """Two to four declared joints in turn."""
    if rigs < 1:
        raise Refused(field="rigs", wanted="one rig or more", got=str(rigs))
    doubled = [name for name in joint_ids if list(joint_ids).count(name) > 1]
    if doubled:
        raise Refused(field="joints", wanted="each joint once", got=doubled[0])
    all_found = [_found(plan_of(place, name).joint, place.library, TIME) for name in joint_ids]
    shift = WALK_S if rigs >= len(joint_ids) else CARRY_S
    return rotated([s.task for s, _ in all_found], [f for _, f in all_found], shift_s=shift, rigs=rigs)


def _objective(objective: str) -> str:
    if objective not in OBJECTIVES:
        raise Refused(field="objective", wanted=", ".join(OBJECTIVES), got=objective, near=OBJECTIVES)
    return objective


def _hand(hand: str) -> str:
    if hand not in HANDS:
        raise Refused(field="hand", wanted=", ".join(HANDS), got=hand, near=HANDS)
    return hand


@lru_cache(maxsize=64)
def _found(joint: Joint, library: Library, objective: str, hand: str = RIGHT) -> tuple[Setting, Found]:
    setting = setting_of(joint, library=library, objective=objective, hand=hand)
    return setting, searched(setting)


@lru_cache(maxsize=32)
def _searched(joint: Joint, library: Library, objective: str, hand: str) -> Searched:
    setting, found = _found(joint, library, objective, hand)
    own: Found | None = None
    with suppress(Stuck):
        own = one_order(setting.task, ways=[0] * len(setting.task.layers))
    return Searched(
        setting, found, own.time_s if own else None, own.argon_m3 if own else None,
        prices(joint, library=library, found=found, objective=objective), loosened(setting.task, found=found), binding(found),
    )  # fmt: skip


@lru_cache(maxsize=32)
def _fastest(joint: Joint, library: Library, objective: str, hand: str) -> Fastest:
    return fastest(joint, library=library, objective=objective, hand=hand)


@lru_cache(maxsize=32)
def _chances(joint: Joint, library: Library, objective: str, seed: int) -> Chances:
    setting, found = _found(joint, library, objective)
    return chances(setting, found, seed=seed)
