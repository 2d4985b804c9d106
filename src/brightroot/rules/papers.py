"""Facts that are a matter of record: heats, filler, hold points, cleaning, runs made, the stamp."""

from __future__ import annotations

from brightroot.model.joint import Joint
from brightroot.model.plan import Plan
from brightroot.model.record import JointRecord, Seen
from brightroot.rules.fact import Fact
from brightroot.rules.moments import in_order


def paper_facts(record: JointRecord, plan: Plan | None, joint: Joint | None) -> tuple[Fact, ...]:
    """One fact for each thing that has to stand in the record, with the event that put it there."""
    return (
        *(_heat(record, end) for end in ("a", "b")),
        _each("filler", record.fillers, "filler", "ask.filler"),
        _each("filler_lot", record.fillers, "lot", "ask.filler"),
        _each("stamp", record.stamps, "stamp", "ask.stamp"),
        Fact("hold_point", each=_hold_points(record, plan, joint), asks="ask.hold_point"),
        _prepared(record),
        Fact("run_made", each=_runs_made(record, plan), asks="ask.plan" if plan is None else "ask.run"),
    )


def _each(name: str, rows: tuple[Seen, ...], key: str, asks: str) -> Fact:
    each = tuple(Fact(name, str(row.data.get(key) or "") or None, from_events=(row.event,), asks=asks) for row in rows)
    return Fact(name, each=each, asks=asks)


def _heat(record: JointRecord, end: str) -> Fact:
    rows = [row for row in record.heats if row.data.get("end") == end]
    text = str(rows[-1].data.get("heat") or "").strip() if rows else ""
    return Fact(f"heat_{end}", text or None, from_events=tuple(row.event for row in rows[-1:]), asks="ask.heat")


def _hold_points(record: JointRecord, plan: Plan | None, joint: Joint | None) -> tuple[Fact, ...]:
    return tuple(_hold_point(name, record, plan) for name in (joint.procedure.hold_points if joint else ()))


def _hold_point(name: str, record: JointRecord, plan: Plan | None) -> Fact:
    """`released`, `released late` where the work went on first, or nothing."""
    where = f"hold point {name}"
    rows = [row for row in record.hold_points if str(row.data.get("hold_point")).strip().casefold() == name.casefold()]
    if not rows:
        return Fact("hold_point", where=where, asks="ask.hold_point")
    next_s = _work_after(name, record, plan)
    late = next_s is not None and rows[0].at_s > next_s
    return Fact("hold_point", "released late" if late else "released", from_events=(rows[0].event,), where=where)


def _work_after(name: str, record: JointRecord, plan: Plan | None) -> float | None:
    """When the work began that the hold point stands before; None for one that stands nowhere we know of."""
    runs = in_order(record)
    if name.casefold() == "root":
        roots = {run.number for run in plan.runs if run.pass_number == 1} if plan else {run.number for run in runs}
        runs = tuple(run for run in runs if run.number not in roots)
    elif name.casefold() != "fit-up":
        return None
    return runs[0].started_s if runs else None


def _prepared(record: JointRecord) -> Fact:
    """Seconds from the last of the three works, done in order and not undone, to the first arc."""
    name, runs = "prepared_before_arc_s", in_order(record)
    if not runs:
        return Fact(name, asks="ask.prepared")
    events: tuple[str, ...] = ()
    after_s = float("-inf")
    for work in ("degreased", "oxide removed", "degreased again"):
        ready = [
            row for row in record.prepared if row.data.get("work") == work and after_s <= row.at_s <= runs[0].started_s
        ]
        if not ready:
            return Fact(name, from_events=events, asks="ask.prepared")
        chosen = ready[0] if work == "degreased" else ready[-1]
        after_s, events = chosen.at_s, (*events, chosen.event)
    return Fact(name, round(runs[0].started_s - after_s, 3), from_events=(*events, runs[0].started_event))


def _runs_made(record: JointRecord, plan: Plan | None) -> tuple[Fact, ...]:
    """One fact for each planned run. A run that nobody planned stays open until the departure is written down."""
    if plan is None:
        return ()
    planned = {run.number for run in plan.runs}
    extra = [run.number for run in in_order(record) if run.number not in planned]
    rows = []
    for number in (*sorted(planned), *extra):
        run = record.run(number)
        made = run is not None and run.stopped_s is not None and (number in planned or bool(record.departures))
        events = (run.started_event, run.stopped_event) if run and run.stopped_event else ()
        asks = "ask.run" if number in planned else "ask.departure"
        rows.append(Fact("run_made", made or None, from_events=events, where=f"run {number}", asks=asks))
    return tuple(rows)
