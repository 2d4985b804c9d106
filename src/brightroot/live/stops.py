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
STOPS = {"draught.felt": "stop.draught", "gas.faltered": "stop.gas", "tungsten.dipped": "stop.dipped"}


def stops(plan: Plan, record: JointRecord, *, cells: Mapping[str, Datum]) -> tuple[Advice, ...]:
    """Every stop rule that stands, each from the events that tripped it. One is lifted by a later, better reading."""
    found = [
        *_oxygen(plan, record, cells),
        *(_stop(STOPS[d.kind], d.event) for d in record.doubts if d.kind in STOPS and not _answered(record, d.at_s)),
    ]
    return tuple(found)


def _stop(says: str, event: str, *, run: int = 0) -> Advice:
    return Advice(Level.STOP, says, because=(Because(SAFE_WAY_OUT),), from_events=(event,), run=run)


def _answered(record: JointRecord, at_s: float) -> bool:
    """A stop is answered only by a departure written after it: what was done, and why the work goes on."""
    return any(d.at_s > at_s for d in record.departures)


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
