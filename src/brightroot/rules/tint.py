"""Facts of colour, as welded. A brushed surface is no evidence of what the gas did."""

from __future__ import annotations

from brightroot.model.plan import Plan
from brightroot.model.record import JointRecord, RunRecord, Seen
from brightroot.rules.fact import Fact
from brightroot.rules.moments import in_order, last_root_arc_s


def appearance(tint: str, arrangement: str) -> str:
    """Colour and its arrangement in one phrase; a uniform colour by its name alone.

    >>> appearance("dark blue", "edge band"), appearance("silver", "uniform")
    ('dark blue, edge band', 'silver')
    """
    return tint if arrangement in ("", "uniform") else f"{tint}, {arrangement}"


def tint_facts(record: JointRecord, plan: Plan | None) -> tuple[Fact, ...]:
    """The colour of every bead before brushing, and of the root after its last arc."""
    beads = tuple(_bead(run) for run in in_order(record))
    return (
        Fact("bead_tint", each=beads, asks="ask.look_at_bead"),
        Fact("root_tint", each=_roots(record, plan), asks="ask.look_at_root"),
    )


def _bead(run: RunRecord) -> Fact:
    where = f"run {run.number}"
    if run.tint and run.tint != "not seen":
        events = (run.tint_event,) if run.tint_event else ()
        return Fact("bead_tint", appearance(run.tint, run.arrangement), from_events=events, where=where)
    asks = "ask.look_at_bead" if run.brushed_s is None else "ask.brushed"
    return Fact("bead_tint", from_events=(run.started_event,), where=where, asks=asks)


def _roots(record: JointRecord, plan: Plan | None) -> tuple[Fact, ...]:
    """Every look at the root counts, and one of them must be after the last root arc."""
    off_s = last_root_arc_s(record, plan)
    if off_s is None:
        return ()
    looks = tuple(_root(look, record) for look in record.roots)
    current = any(look.at_s >= off_s for look in record.roots)
    return looks if current else (*looks, Fact("root_tint", asks="ask.look_at_root"))


def _root(look: Seen, record: JointRecord) -> Fact:
    tint = str(look.data.get("tint") or "")
    brushed = any(
        p.data.get("subject") == "root" and p.data.get("brushed") is True and p.at_s <= look.at_s for p in record.photos
    )
    if brushed:
        return Fact("root_tint", from_events=(look.event,), asks="ask.brushed")
    if tint in ("", "not seen"):
        return Fact("root_tint", from_events=(look.event,), asks="ask.look_at_root")
    return Fact("root_tint", appearance(tint, str(look.data.get("arrangement") or "")), from_events=(look.event,))
