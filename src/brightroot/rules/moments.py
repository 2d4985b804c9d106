"""When arcs burned: what was looked at before the last one says nothing of the metal it laid."""

from __future__ import annotations

from brightroot.model.plan import Plan
from brightroot.model.record import JointRecord, RunRecord


def in_order(record: JointRecord) -> tuple[RunRecord, ...]:
    """The runs as they were started."""
    return tuple(sorted(record.runs, key=lambda run: run.started_s))


def root_runs(record: JointRecord, plan: Plan | None) -> tuple[RunRecord, ...] | None:
    """The runs of the first layer as made, or None where no plan says which they are."""
    if plan is None:
        return None
    first = {run.number for run in plan.runs if run.pass_number == 1}
    return tuple(run for run in in_order(record) if run.number in first)


def all_made(record: JointRecord, plan: Plan | None) -> bool:
    """Whether every planned run has its arc-off, or the joint is signed: nothing more is coming."""
    if record.signatures:
        return True
    made = {run.number for run in record.runs if run.stopped_s is not None}
    return plan is not None and bool(plan.runs) and all(run.number in made for run in plan.runs)


def last_arc_s(runs: tuple[RunRecord, ...] | None) -> float | None:
    """When the last of these arcs went off, or on where it never stopped; None where none was struck."""
    return max((run.started_s if run.stopped_s is None else run.stopped_s for run in runs or ()), default=None)


def last_root_arc_s(record: JointRecord, plan: Plan | None) -> float | None:
    """When the last root arc went off. Without a plan every arc may be one."""
    runs = root_runs(record, plan)
    return last_arc_s(record.runs if runs is None else runs)
