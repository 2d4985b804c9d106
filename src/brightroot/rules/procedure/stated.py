"""What the joint's own procedure says, as facts that clauses can name as their limit."""

from __future__ import annotations

from brightroot.base.units import Reading
from brightroot.model.joint import Joint, Procedure
from brightroot.model.plan import Plan
from brightroot.rules.fact import Fact

LIMITS = (
    "interpass_max_K",
    "start_oxygen_frac",
    "release_K",
    "current_min_A",
    "current_max_A",
    "travel_min_m_s",
    "travel_max_m_s",
    "heat_input_max_J_m",
    "reading_distance_m",
)


def procedure_facts(joint: Joint | None, plan: Plan | None) -> tuple[Fact, ...]:
    """The procedure's limits, the named tint criterion, and what the joint is. A limit not stated has no value."""
    stated = joint.procedure if joint else None
    limits = tuple(_limit(name, getattr(stated, name, None)) for name in LIMITS)
    criterion = stated.tint_criterion.strip() if stated else ""
    points = len(stated.hold_points) if stated else None
    return (
        *limits,
        *(Fact(f"procedure.{name}_stated", _stated(stated, name), asks="ask.joint") for name in LIMITS),
        Fact("procedure.tint_criterion", criterion or None, criterion, asks="ask.tint_criterion"),
        Fact("procedure.hold_points_count", points, asks="ask.joint"),
        Fact("plan.runs_count", len(plan.runs) if plan else None, asks="ask.plan"),
        Fact("plan.filler", (plan.filler if plan else "") or (joint.filler if joint else "") or None, asks="ask.plan"),
        Fact("purge.dam_kind", joint.purge.dam_kind if joint else None, asks="ask.joint"),
        _thinner_wall(joint),
    )


def _stated(procedure: Procedure | None, name: str) -> bool | None:
    return None if procedure is None else getattr(procedure, name) is not None


def _limit(name: str, reading: Reading | None) -> Fact:
    if reading is None:
        return Fact(f"procedure.{name}", asks="ask.procedure_limit")
    return Fact(f"procedure.{name}", reading.value, reading.as_entered)


def _thinner_wall(joint: Joint | None) -> Fact:
    """The nominal wall of the thinner end, which weld limits are measured against."""
    if joint is None:
        return Fact("thinner_wall_m", asks="ask.joint")
    wall = min((joint.end_a.wall_m, joint.end_b.wall_m), key=lambda reading: reading.value)
    return Fact("thinner_wall_m", wall.value, wall.as_entered)
