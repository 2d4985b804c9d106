"""Facts of the root gas: oxygen when each root arc was struck, backing kept, dams out."""

from __future__ import annotations

from brightroot.model.joint import Joint
from brightroot.model.plan import Plan
from brightroot.model.record import JointRecord, OxygenRead, RunRecord
from brightroot.rules.fact import Fact
from brightroot.rules.instruments import found_bad
from brightroot.rules.moments import in_order, last_arc_s, root_runs

# what the monitor showed instead of a number -> what to ask for
NO_NUMBER = {
    "over range": "ask.oxygen_over_range",
    "under range": "ask.oxygen_under_range",
    "no digits": "ask.oxygen_no_digits",
}


def gas_facts(
    record: JointRecord, plan: Plan | None, joint: Joint | None, oxygen_good_for_s: float
) -> tuple[Fact, ...]:
    """Root gas at each root arc start, whether the backing lasted, and how many dams are left in the pipe."""
    roots = root_runs(record, plan)
    starts = tuple(_start(run, record, oxygen_good_for_s) for run in roots or ())
    asks = "ask.plan" if roots is None else "ask.oxygen"
    return (
        Fact("root_start_oxygen_frac", each=starts, asks=asks),
        _backing(record, plan, joint),
        _dams(record),
    )


def _start(run: RunRecord, record: JointRecord, good_for_s: float) -> Fact:
    """The last look at the root gas before the arc, while it still speaks for the gas: afterwards it is unknown."""
    name, where = "root_start_oxygen_frac", f"run {run.number}"
    looks = [o for o in record.oxygen if o.place in ("vent", "weld plane") and o.at_s <= run.started_s]
    if not looks:
        return Fact(name, where=where, from_events=(run.started_event,), asks="ask.oxygen")
    last = looks[-1]
    events = (last.event, run.started_event)
    asks = _stale(last, run, record, good_for_s)
    if asks:
        return Fact(name, where=where, from_events=events, asks=asks)
    return Fact(name, last.oxygen_frac, from_events=events, where=where)


def _stale(last: OxygenRead, run: RunRecord, record: JointRecord, good_for_s: float) -> str:
    if run.started_s - last.at_s > good_for_s:
        return "ask.probe_out"
    if found_bad(record, "oxygen monitor", last.at_s):
        return "ask.instrument"
    begun_s = record.purge_started_s
    if begun_s is not None and last.at_s < begun_s <= run.started_s:
        return "ask.oxygen"  # the gas was stopped and started again since
    ended_s = record.purge_ended_s
    if ended_s is not None and last.at_s <= ended_s <= run.started_s:
        return "ask.purge"  # the gas was stopped since
    return NO_NUMBER.get(last.state, "") if last.oxygen_frac is None else ""


def _backing(record: JointRecord, plan: Plan | None, joint: Joint | None) -> Fact:
    """Whether the purge outlasted the arcs that the procedure wants backed."""
    runs = in_order(record)
    until = joint.procedure.backing_until if joint else ""
    if until == "hot pass" and plan is not None:
        backed = {run.number for run in plan.runs if run.pass_number <= 2}
        runs = tuple(run for run in runs if run.number in backed)
    last_s = last_arc_s(runs)
    if record.purge_started_s is None or last_s is None:
        return Fact("backing_kept", asks="ask.purge")
    if record.purge_started_s > runs[0].started_s:
        return Fact("backing_kept", asks="ask.purge_interrupted")
    if record.purge_ended_s is None or record.purge_ended_s >= last_s:
        return Fact("backing_kept", True)
    # a deposit thickness or a root temperature was not observed, so an early end can be right
    measured = until in ("3/16 in deposit", "root temperature", "")
    return Fact("backing_kept", None if measured else False, asks="ask.backing_until" if measured else "")


def _dams(record: JointRecord) -> Fact:
    """Dams left in the pipe. While the joint is unsigned a dam inside is only still to come out."""
    left, name = len(record.dams_in), "dams_left_count"
    if record.dams_placed_count == 0:
        return Fact(name, asks="ask.dams")
    text = f"{record.dams_placed_count} in, {record.dams_removed_count} out"
    if left and not record.signatures:
        return Fact(name, None, text, asks="ask.dams_out")
    return Fact(name, left, text)
