"""The purge as it goes: typed readings and events of a record to the filter, and back to one verdict with its reasons."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

from brightroot.base.source import Datum
from brightroot.model.entry import number_of
from brightroot.model.plan import Plan
from brightroot.model.record import JointRecord, Seen
from brightroot.physics.purge.filter.answer import Answer, Cause, Quantiles, TargetAnswer
from brightroot.physics.purge.filter.inputs import Done, Look, Monitor, Purge

SHIFT_S = 12 * 3600.0  # a check counts for the shift it was made in
POINTS = ("air", "cylinder argon", "hose end")
OVER_FRAC = 1000e-6  # range of a monitor that has shown no larger number
LAG_SHARE = 2 / 3  # of hose and cell together; the rest is the hose's delay
EVENTS = {
    "tape.opened": ("tape_opened",), "tape.closed": ("tape_closed",), "dam.placed": ("dam_moved",),
    "dam.removed": ("dam_moved",), "dam.moved": ("dam_moved",), "cylinder.changed": ("cylinder_changed",),
    "sample_line.opened": ("sample_line_opened",), "sample_line.closed": ("sample_line_closed",),
    # on its way from one place to the other it draws air
    "sample_line.moved": ("sample_line_opened", "sample_line_closed"),
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class PurgeState:
    """What is known of the purge now. Times are absolute seconds, as the record's; fractions of oxygen by volume.

    `verdict`: check_instrument | leak | stalled | at_target | wait | not_measured, and it never gives leave to strike.
    `band`: (seconds, low, middle, high) of the gas at the vent under the present flow; `missing`: what this shift has
    not checked yet, without which at_target is not said.
    """

    verdict: str
    target: TargetAnswer
    place: str  # where the gas was sampled: vent | weld plane
    vent_frac: Quantiles
    root_frac: Quantiles
    floor_frac: Quantiles
    leak_m3_s: Quantiles
    causes: tuple[Cause, ...]
    next_test: str
    flags: tuple[str, ...]
    missing: tuple[str, ...]
    band: tuple[tuple[float, float, float, float], ...]
    looks: tuple[Look, ...]  # those that the filter took in
    argon_m3: float
    age_s: float | None  # of the last number
    at_s: float


def purge_state(
    plan: Plan, record: JointRecord, now_s: float, *, cells: Mapping[str, Datum], band_s: Sequence[float] = (),
    seed: int = 0,
) -> PurgeState | None:  # fmt: skip
    """The purge at this moment; None before the gas was turned on."""
    purge = purge_of(plan, record, cells=cells)
    if purge is None:
        return None
    answer = _answer(purge, now_s, tuple(band_s), seed)
    age_s = max(0.0, now_s - purge.looks[-1].at_s) if purge.looks else None
    missing = unchecked(record, now_s)
    verdict = answer.verdict
    if age_s is None or age_s > cells["oxygen_good_for_s"].value:
        verdict = "not_measured"
    elif verdict == "at_target" and missing:
        verdict = "wait"
    return PurgeState(
        verdict=verdict,
        target=answer.targets[0],
        place=purge.monitor.place,
        vent_frac=answer.vent_frac,
        root_frac=answer.root_frac,
        floor_frac=answer.floor_frac,
        leak_m3_s=answer.leak_m3_s,
        causes=answer.causes,
        next_test=answer.causes[0].test if answer.causes else "",
        flags=answer.flags,
        missing=missing,
        band=answer.band,
        looks=purge.looks,
        argon_m3=answer.argon_m3,
        age_s=age_s,
        at_s=now_s,
    )


@lru_cache(maxsize=64)
def _answer(purge: Purge, now_s: float, band_s: tuple[float, ...], seed: int) -> Answer:
    from brightroot.physics.purge.filter.run import filtered

    return filtered(purge, at_s=(now_s,), seed=seed, band_s=band_s)[0]


def unchecked(record: JointRecord, now_s: float) -> tuple[str, ...]:
    """Which of air point, cylinder-argon point and hose check nobody has found good in this shift."""
    good = {
        str(check.data["against"])
        for check in record.checks
        if check.data["instrument"] == "oxygen monitor" and check.data["result"] == "good"
        and now_s - SHIFT_S <= check.at_s <= now_s
    }  # fmt: skip
    return tuple(point for point in POINTS if point not in good)


def purge_of(plan: Plan, record: JointRecord, *, cells: Mapping[str, Datum]) -> Purge | None:
    """The record's purge as the filter takes it; None before the gas was turned on."""
    course = _course(record)
    flows = tuple((seen.at_s, flow) for seen in course if (flow := _flow(seen)) is not None)
    if not flows:
        return None
    began = flows[0][0]
    reads = tuple(read for read in record.oxygen if read.at_s >= began)
    place = "vent" if any(read.place == "vent" for read in reads) else "weld plane"
    inside = tuple(sorted((r for r in reads if r.place == place), key=lambda r: r.at_s))
    supply = _supply_frac(plan, record)
    feed = plan.joint.purge.feed
    return Purge(
        volume_m3=plan.figures["purge.volume_m3"].value,
        flows=flows,
        feed=feed,
        vent={"low": "high", "high": "low"}.get(feed, "unknown"),
        supply_max_frac=cells["supply_oxygen_frac"].value if supply is None else supply,
        supply_frac=supply,
        targets_frac=(_target_frac(plan, cells, place),),
        monitor=_monitor(record, cells, place),
        looks=tuple(Look(r.at_s, r.oxygen_frac if r.state == "reading" else None, r.state) for r in inside),
        events=tuple(
            Done(seen.at_s, kind) for seen in course if seen.at_s > began for kind in EVENTS.get(seen.kind, ())
        ),
    )


def _course(record: JointRecord) -> tuple[Seen, ...]:
    """Since the gas was first turned on, or turned on anew after every dam had come out."""
    course = tuple(sorted(record.purge_course, key=lambda seen: seen.at_s))
    dams, began, aired = 0, None, False
    for n, seen in enumerate(course):
        dams += (seen.kind == "dam.placed") - (seen.kind == "dam.removed")
        aired = aired or (seen.kind == "dam.removed" and dams <= 0)
        if seen.kind == "purge.started" and (began is None or aired):
            began, aired = n, False
    return () if began is None else course[began:]


def _flow(seen: Seen) -> float | None:
    """The backing flow from this event on, or None where it does not change it."""
    if seen.kind == "purge.ended":
        return 0.0
    backing = seen.kind == "purge.started" or (seen.kind == "flow.changed" and seen.data.get("circuit") == "backing")
    return number_of(seen.data, "flow_m3_s") if backing else None


def _supply_frac(plan: Plan, record: JointRecord) -> float | None:
    """The newest number of the argon itself: read at the supply, written on the gas, or declared."""
    read = [r.oxygen_frac for r in record.oxygen if r.place == "supply" and r.oxygen_frac is not None]
    told = [number_of(seen.data, "supply_oxygen_frac") for seen in record.gas]
    typed = plan.joint.purge.supply_oxygen_frac
    known = [*([typed.value] if typed else []), *(x for x in told if x is not None), *read]
    return known[-1] if known else None


def _target_frac(plan: Plan, cells: Mapping[str, Datum], place: str) -> float:
    """What has to be read at that place: at the vent less than the root may have, for it tells of it only so well."""
    vent = plan.figures.get("purge.vent_target_frac")
    if place == "vent" and vent is not None:
        return vent.value
    typed = plan.joint.procedure.start_oxygen_frac
    return typed.value if typed else cells["start_oxygen_frac"].value


def _monitor(record: JointRecord, cells: Mapping[str, Datum], place: str) -> Monitor:
    lag_s = cells["monitor_lag_s"].value
    largest = max((r.oxygen_frac for r in record.oxygen if r.oxygen_frac is not None), default=0.0)
    return Monitor(
        lag_s=LAG_SHARE * lag_s, delay_s=(1 - LAG_SHARE) * lag_s, over_frac=max(OVER_FRAC, largest), place=place
    )
