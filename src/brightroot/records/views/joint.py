"""A joint's log folded to its record: one small pure function for each kind of event, found in one table.

Logs are written by cold hands, so no odd order raises: what does not fit is kept whole among the doubts.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from functools import reduce

from brightroot.base.errors import Broken
from brightroot.base.instant import seconds_of
from brightroot.model.codec import from_data
from brightroot.model.event import KINDS, Event
from brightroot.model.joint import Joint
from brightroot.model.record import JointRecord, Signature
from brightroot.records.order import Settled, settled
from brightroot.records.steps import prepare, purge, weld
from brightroot.records.steps.keep import Step, doubt, in_course, kept
from brightroot.records.upcast import upcast


def fold(events: Iterable[Event]) -> JointRecord:
    """Everything that a set of events says of one joint. Arrival order and repeats make no difference."""
    return fold_settled(settled(upcast(event) for event in events))


def fold_settled(log: Settled) -> JointRecord:
    """The record of events that are in order already."""
    record = reduce(step, log.events, _opening(log))
    return reduce(doubt, (fault.event for fault in log.faults), record)


def step(record: JointRecord, event: Event) -> JointRecord:
    """The record after one more event. Unknown kinds and events without their required facts become doubts."""
    kind = KINDS.get(event.kind)
    if kind is None or any(f.required and f.name not in event.data for f in kind.fields):
        return doubt(record, event)
    return STEPS[event.kind](record, event)


def _opening(log: Settled) -> JointRecord:
    times = [seconds_of(event.at_utc) for event in log.every]
    return JointRecord(
        joint_id=log.every[0].joint if log.every else "",
        events_count=len(log.every),
        first_s=min(times, default=None),
        last_s=max(times, default=None),
        corrected=log.corrected,
        withdrawn=log.withdrawn,
    )


def _declared(record: JointRecord, event: Event) -> JointRecord:
    try:
        return replace(record, joint=from_data(event.data["joint"], Joint))
    except Exception as fault:  # cattrs gathers whatever is wrong with the fields
        raise Broken(where=event.id, wanted="a declared joint", got=repr(fault)) from fault


def _planned(record: JointRecord, event: Event) -> JointRecord:
    return replace(record, plan_sha256=event.data["plan_sha256"])


def _signed(record: JointRecord, event: Event) -> JointRecord:
    data = event.data
    line = Signature(event.id, seconds_of(event.at_utc), data["stamp"], data["role"], data.get("words", ""))
    return replace(record, signatures=(*record.signatures, line))


STEPS: dict[str, Step] = {
    "joint.declared": _declared,
    "plan.made": _planned,
    "plan.departed_from": kept("departures"),
    "heat_lot.recorded": kept("heats"),
    "filler.issued": kept("fillers"),
    "composition.recorded": kept("compositions"),
    "pmi.read": kept("pmi"),
    "tool.taken": kept("tools"),
    "defect.found": kept("defects"),
    "nde.reported": kept("nde"),
    "hardness.measured": kept("hardness"),
    "bend.tested": kept("bends"),
    "repair.decided": kept("repairs_decided"),
    "repair.made": kept("repairs_made"),
    "procedure.waived": kept("waivers"),
    "samples.kept": kept("streams"),
    "concession.signed": kept("concessions"),
    "gas.connected": kept("gas"),
    "cylinder.changed": in_course(kept("gas")),
    "gas.proved": kept("proofs"),
    "cylinder.read": kept("cylinders"),
    "space.described": kept("spaces"),
    "instrument.checked": kept("checks"),
    "surface.prepared": prepare.surface_prepared,
    "surface.touched": prepare.surface_touched,
    "fit_up.measured": prepare.fit_up,
    "hold_point.released": kept("hold_points"),
    "dam.placed": in_course(purge.dam_placed),
    "dam.removed": in_course(purge.dam_removed),
    "dam.moved": in_course(lambda record, event: record),
    "sample_line.opened": in_course(lambda record, event: record),
    "sample_line.closed": in_course(lambda record, event: record),
    "sample_line.moved": in_course(lambda record, event: record),
    "tape.opened": in_course(purge.tape_opened),
    "tape.closed": in_course(purge.tape_closed),
    "purge.started": in_course(purge.purge_started),
    "flow.changed": in_course(purge.flow_changed),
    "oxygen.read": purge.oxygen,
    "purge.ended": in_course(purge.purge_ended),
    "post_purge.ended": purge.post_purge_ended,
    "tack.made": weld.tack_made,
    "tack.cut": weld.tack_changed("cut"),
    "tack.feathered": weld.tack_changed("feathered"),
    "arc.started": weld.arc_started,
    "arc.stopped": weld.arc_stopped,
    "shield.lifted": weld.shield_lifted,
    "rod.looked_at": weld.rod_looked_at,
    "temperature.read": purge.temperature,
    "bead.looked_at": weld.bead_looked_at,
    "bead.brushed": weld.bead_brushed,
    "root.looked_at": kept("roots"),
    "photo.taken": kept("photos"),
    "tungsten.dipped": weld.tungsten_dipped,
    "draught.felt": kept("doubts"),
    "gas.faltered": kept("doubts"),
    "air.read": kept("air"),
    "air.seconded": kept("air_seconded"),
    "visual.measured": kept("visual"),
    "weld.stamped": kept("stamps"),
    "joint.signed": _signed,
    "work.given": lambda record, event: record,  # who may see the joint, not what was done on it
    "event.withdrawn": lambda record, event: record,  # done before the fold, in records/order.py
    "dossier.issued": kept("issued"),
}
