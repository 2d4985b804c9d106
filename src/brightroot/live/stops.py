"""What ends the weld now, and the one safe way out: arc off, gas on, torch still, shield down."""

from __future__ import annotations

from collections.abc import Mapping

from brightroot.base.source import Datum
from brightroot.live.estimators.oxygen import INSIDE
from brightroot.live.gates import limit_of
from brightroot.model.advice import Advice, Because, Level
from brightroot.model.plan import Plan
from brightroot.model.record import JointRecord

SAFE_WAY_OUT = "stop.safe_way_out"


def stops(plan: Plan, record: JointRecord, *, cells: Mapping[str, Datum]) -> tuple[Advice, ...]:
    """Every stop rule that stands, each from the events that tripped it. One is lifted by a later, better reading."""
    found = [
        *_oxygen(plan, record, cells),
        *(_stop("stop.draught", d.event) for d in record.doubts if d.kind == "draught.felt" and _since_arc(record, d.at_s)),
        *(_stop("stop.gas", d.event) for d in record.doubts if d.kind == "gas.faltered" and _since_arc(record, d.at_s)),
        *(_stop("stop.dipped", r.started_event, run=r.number) for r in record.runs if r.dipped and not _answered(record, r.number)),
    ]  # fmt: skip
    return tuple(found)


def _stop(says: str, event: str, *, run: int = 0) -> Advice:
    return Advice(Level.STOP, says, because=(Because(SAFE_WAY_OUT),), from_events=(event,), run=run)


def _since_arc(record: JointRecord, at_s: float) -> bool:
    """Only what was seen while the present run burns, or after the last one, still stands."""
    started = max((run.started_s for run in record.runs), default=None)
    answered = max((d.at_s for d in record.departures), default=None)
    return (started is None or at_s >= started) and (answered is None or at_s > answered)


def _answered(record: JointRecord, run: int) -> bool:
    """A dip is answered by a departure that names what was done: tungsten ground, the spot cut out."""
    made = record.run(run)
    return made is not None and any(d.at_s >= made.started_s for d in record.departures)


def _oxygen(plan: Plan, record: JointRecord, cells: Mapping[str, Datum]) -> list[Advice]:
    # over its range the monitor gives no number, and says the worst all the same
    reads = [r for r in record.oxygen if r.place in INSIDE and (r.oxygen_frac is not None or r.state == "over range")]
    if not reads or not record.arc_on_run:
        return []
    limit = limit_of(plan, cells, "start_oxygen_frac").value * cells["stop_oxygen_times_1"].value
    last = reads[-1]
    run = record.run(record.arc_on_run)
    fine = last.oxygen_frac is not None and last.oxygen_frac <= limit
    if run is None or last.at_s < run.started_s or fine:
        return []
    return [_stop("stop.oxygen", last.event, run=run.number)]
