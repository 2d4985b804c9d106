"""The record laid against the clauses: the joint's own procedure first, then the acceptance codes."""

from __future__ import annotations

from brightroot.app.plan_joint import iron_of, plan_of
from brightroot.app.ports import Place
from brightroot.app.rules_read import confirmed_rows, own_codes
from brightroot.app.state import state_of
from brightroot.app.work_live import cells_of
from brightroot.live.estimators.heat import told_holds
from brightroot.model.clause import Verdict
from brightroot.model.plan import Plan
from brightroot.model.record import JointRecord, RunRecord
from brightroot.rules.confirm import only_confirmed
from brightroot.rules.facts import facts_of
from brightroot.rules.judge import judge

# in the order in which they are shown
FIRST = "joint-procedure"


def verdicts(place: Place, joint_id: str) -> tuple[Verdict, ...]:
    """Every clause's verdict. Missing evidence is unknown, never pass; a hold counts once its late end was waited for."""
    plan = plan_of(place, joint_id)
    record = state_of(place, joint_id).record
    told = told_holds(iron_of(place, plan), plan, record, cells=cells_of(place, plan))
    holds = {number: (hold.low, hold.high) for number, hold in told.items()}
    facts = facts_of(
        record,
        plan,
        oxygen_good_for_s=place.library.practice["oxygen_good_for_s"].value,
        rising_s=_rising(plan, record),
        hold_s=holds,
    )
    of_joints = [code for code in place.library.codes.values() if code.judges == "joint"]
    codes = sorted(of_joints, key=lambda code: (not code.id.startswith(FIRST), code.id))
    judged = tuple(verdict for code in (*codes, *own_codes(place)) for verdict in judge(code=code, facts=facts))
    return only_confirmed(judged, confirmed_rows(place))


def _rising(plan: Plan, record: JointRecord) -> dict[str, float]:
    """For each temperature reading taken before the probe's place can have peaked: the seconds it still had to rise."""
    found = {}
    for read in record.temperatures:
        run = max(
            (r for r in record.runs if r.stopped_s is not None and r.stopped_s <= read.at_s), key=_stopped, default=None
        )
        peak = plan.figures.get(f"runs.{run.number}.peak_after_s") if run else None
        if peak is not None and read.after_arc_off_s is not None and read.after_arc_off_s < peak.high:
            found[read.event] = peak.high - read.after_arc_off_s
    return found


def _stopped(run: RunRecord) -> float:
    return run.stopped_s or 0.0
