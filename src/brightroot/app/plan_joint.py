"""Declare a joint and plan it. Nothing is written until the whole of it stands."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import replace
from functools import lru_cache
from typing import Any

from brightroot.app.declare_joint import declare_joint
from brightroot.app.ports import Place
from brightroot.base.errors import Broken, Refused
from brightroot.base.instant import utc_of
from brightroot.model.codec import canonical, from_data, to_data
from brightroot.model.joint import Joint
from brightroot.model.library import Library
from brightroot.model.plan import Plan
from brightroot.model.streams import RESERVED, is_joint
from brightroot.physics.heat.volumes.body import Body
from brightroot.planner.heat import Progress
from brightroot.planner.plan import make_plan
from brightroot.planner.shape import body_of

PLAN_TYPE = "application/json"
# the figures that stand in the log itself, so that it can be read without the plan beside it
HEADLINES = (
    "groove.deposit_kg",
    "purge.time_s",
    "purge.argon_m3",
    "heat.shield_length_m",
    "time.total_s",
    "gas.argon_m3",
)


def plan_facts(place: Place, facts: Mapping[str, Any], *, progress: Progress = lambda done, of: None) -> Plan:
    """A plan from typed facts, kept nowhere. Raises Refused naming every field that needs mending."""
    return make_plan(declare_joint(facts, library=place.library), library=place.library, progress=progress)


def declare(
    place: Place,
    facts: Mapping[str, Any],
    *,
    by: str,
    client_id: str = "",
    progress: Progress = lambda done, of: None,
) -> Plan:
    """Declare and plan a joint; both are on disk when this returns. A joint of that name must not exist yet."""
    plan = plan_facts(place, facts, progress=progress)
    name = plan.joint.id
    _a_joints_name(name, field="id")
    if name in place.store.joints():
        raise Refused(field="id", wanted="a name that no joint has yet", got=name, reason="refused.taken")
    _write(place, plan, facts, by=by, client_id=client_id)
    return plan


def declare_like(place: Place, joint_id: str, names: tuple[str, ...], *, by: str) -> tuple[str, ...]:
    """More joints like one that exists, in one action. The one plan serves them all; all names are checked first."""
    facts = facts_of_joint(place, joint_id)
    for name in names:
        _a_joints_name(name, field="names")
    taken = [name for name in names if name in place.store.joints()]
    doubled = [name for name in names if names.count(name) > 1]
    if taken or doubled or not names:
        got = ", ".join(dict.fromkeys(taken or doubled)) or "nothing"
        raise Refused(field="names", wanted="names that no joint has yet", got=got, reason="refused.taken")
    plan = plan_of(place, joint_id)
    for name in names:
        own = replace(plan, joint=replace(plan.joint, id=name))
        _write(place, own, {**facts, "id": name}, by=by, client_id="")
    return names


def _a_joints_name(name: str, *, field: str) -> None:
    """People's logs and the shop's rules lie in the same store under names of their own."""
    if not is_joint(name):
        wanted = f"a name that does not begin with {' or '.join(RESERVED)}"
        raise Refused(field=field, wanted=wanted, got=name, reason="refused.name")


def _write(place: Place, plan: Plan, facts: Mapping[str, Any], *, by: str, client_id: str) -> None:
    at = utc_of(place.now_s())
    declared = {"joint": to_data(plan.joint), "facts": {k: v for k, v in facts.items() if v}}
    place.store.append(
        plan.joint.id, at, by, "joint.declared", declared, client_id=client_id and f"{client_id}.declared"
    )
    keep_plan(place, plan, by=by, client_id=client_id)


def keep_plan(place: Place, plan: Plan, *, by: str, client_id: str = "") -> None:
    """A plan of a declared joint, on disk when this returns; the newest is the one that is worked by."""
    at = utc_of(place.now_s())
    sha256 = place.store.put_attachment(canonical(to_data(plan)), PLAN_TYPE)
    summary = {
        key: [plan.figures[key].low, plan.figures[key].value, plan.figures[key].high]
        for key in HEADLINES
        if key in plan.figures
    }
    made = {"plan_sha256": sha256, "library_digest": plan.library_digest, "summary": summary}
    place.store.append(plan.joint.id, at, by, "plan.made", made, client_id=client_id and f"{client_id}.planned")


def facts_of_joint(place: Place, joint_id: str) -> dict[str, str]:
    """The facts as they were typed."""
    declared = [e for e in place.store.events(joint_id) if e.kind == "joint.declared"]
    if not declared:
        raise _unknown(place, joint_id)
    return dict(declared[-1].data["facts"])


def plan_of(place: Place, joint_id: str) -> Plan:
    """The newest plan of a joint. Raises Refused where there is no such joint, Broken where its block is missing."""
    made = [e for e in place.store.events(joint_id) if e.kind == "plan.made"]
    if not made:
        raise _unknown(place, joint_id)
    sha256 = made[-1].data["plan_sha256"]
    block = place.store.attachment(sha256)
    if block is None:
        raise Broken(where=made[-1].id, wanted=f"the plan {sha256[:12]}", got="nothing stored under that hash")
    return _opened(block[0])


@lru_cache(maxsize=512)
def _opened(block: bytes) -> Plan:
    plan: Plan = from_data(json.loads(block), Plan)
    return plan


def _unknown(place: Place, joint_id: str) -> Refused:
    return Refused(
        field="joint", wanted="a joint of this log", got=joint_id, near=place.store.joints()[:3], reason="refused.joint"
    )


def iron_of(place: Place, plan: Plan) -> Body:
    """The joint as the heat engine takes it, kept: what was marched on it can go on from where it stopped."""
    return _iron(plan.joint, place.library)


@lru_cache(maxsize=64)
def _iron(joint: Joint, library: Library) -> Body:
    return body_of(joint, library=library)
