"""Facts of the tacks: none that is doubtful may stay in the weld."""

from __future__ import annotations

from brightroot.model.plan import Plan, PlannedTack
from brightroot.model.record import JointRecord, TackRecord
from brightroot.rules.fact import Fact
from brightroot.rules.moments import all_made


def tack_facts(record: JointRecord, plan: Plan | None) -> tuple[Fact, ...]:
    """What became of each tack, and whether those that stayed were feathered."""
    planned = {tack.name: tack for tack in plan.tacks} if plan else {}
    names = tuple(dict.fromkeys((*planned, *(tack.name for tack in record.tacks))))
    over = all_made(record, plan)
    left = tuple(_left(name, record.tack(name), planned.get(name), record, over) for name in names)
    feathered = tuple(_feathered(name, record.tack(name)) for name in names)
    return (
        Fact("tack_left", each=left, asks="ask.tacks"),
        Fact("tack_feathered", each=feathered, asks="ask.tacks"),
    )


def _left(name: str, tack: TackRecord | None, planned: PlannedTack | None, record: JointRecord, over: bool) -> Fact:
    """`cut`, or the worst that is known of a tack that the weld ran over: not purged, bridged, or its colour."""
    where = f"tack {name}"
    if tack is None:
        return Fact("tack_left", where=where, asks="ask.tack_made")
    if tack.cut:
        return Fact("tack_left", "cut", from_events=(tack.event,), where=where)
    run = record.run(planned.cut_before_run) if planned and planned.cut_before_run else None
    if run is None and not over:
        return Fact("tack_left", where=where, from_events=(tack.event,), asks="ask.tack_pending")
    value = "not purged" if not tack.purged else "bridged" if tack.shape == "bridged" else tack.tint
    asks = "ask.tack_colour" if value == "not seen" else ""
    return Fact("tack_left", None if asks else value, from_events=(tack.event,), where=where, asks=asks)


def _feathered(name: str, tack: TackRecord | None) -> Fact:
    where = f"tack {name}"
    if tack is None:
        return Fact("tack_feathered", where=where, asks="ask.tack_made")
    done = tack.feathered or None  # not recorded is not the same as not done
    return Fact("tack_feathered", done, from_events=(tack.event,), where=where, asks="ask.tack_feathered")
