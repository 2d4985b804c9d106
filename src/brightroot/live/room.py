"""The air where the work is: argon let go, how soon it could be short of oxygen, and the reading that people went by.

Nothing here lets anybody in. It keeps who read what, where, with which monitor and when, and says what still blocks.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from brightroot.base.formula import Estimate, estimate
from brightroot.base.source import Datum
from brightroot.live.estimators.oxygen import AHEAD_S
from brightroot.live.gas_flows import CIRCUITS, flow_now, let_go_m3
from brightroot.live.gates import Gate
from brightroot.model.advice import Because
from brightroot.model.entry import number_of, reading_of
from brightroot.model.plan import Plan
from brightroot.model.record import JointRecord, Seen
from brightroot.physics.purge.pit import argon_depth_m, lip_reached_s
from brightroot.physics.purge.room_air import (
    exhaust_limit_reached_s,
    exhaust_oxygen_frac,
    sealed_limit_reached_s,
    sealed_oxygen_frac,
    supply_limit_reached_s,
    supply_oxygen_frac,
)

LEANING_IN = ("dam.removed", "root.looked_at")  # a head in the pipe is a head in the space
BOTTOM = "bottom of space"
OWN_MONITORS = ("personal monitor", "area monitor")


@dataclass(frozen=True, slots=True)
class Space:
    """The space as described, and what the argon let go so far makes of it. Figures are None where they cannot be told.

    `soonest_s`: seconds from now until a mixed space is at the lower limit with every circuit on, None: not by mixing.
    """

    described: Seen | None
    argon_m3: float
    flow_m3_s: float
    mixed: Estimate | None
    soonest_s: float | None
    depth: Estimate | None
    lip: Estimate | None


def space_of(plan: Plan, record: JointRecord, *, now_s: float, cells: Mapping[str, Datum]) -> Space:
    """What is known of the space now. Forecasts only: the reading at the bottom is the only thing that counts."""
    argon_m3, flow = let_go_m3(plan, record, now_s), sum(flow_now(plan, record, circuit) for circuit in CIRCUITS)
    described = record.spaces[-1] if record.spaces else None
    if described is None:
        return Space(None, argon_m3, flow, None, None, None, None)
    elapsed_s = argon_m3 / flow if flow > 0 else 0.0  # as if all of it had come at the full flow until now
    room = reading_of(described.data, "room_m3")
    bottom, lip = reading_of(described.data, "bottom_m2"), reading_of(described.data, "lip_m")
    depth = fills = None
    if bottom is not None:
        depth = estimate(argon_depth_m, key="air.argon_depth_m", argon_m3=argon_m3, bottom_m2=bottom)
        if lip is not None and flow > 0:
            fills = estimate(
                lip_reached_s, key="air.lip_reached_s", argon_m3=argon_m3, bottom_m2=bottom, lip_m=lip,
                argon_flow_m3_s=flow,
            )  # fmt: skip
    if room is None or flow <= 0:
        return Space(described, argon_m3, flow, None, None, depth, fills)
    mixed, reached_s = _mixed(described, room.value, flow, elapsed_s, cells["air_low_frac"].value)
    soonest = None if reached_s is None else max(0.0, reached_s - elapsed_s)
    return Space(described, argon_m3, flow, mixed, soonest, depth, fills)


def _mixed(
    described: Seen, room_m3: float, flow: float, elapsed_s: float, limit_frac: float
) -> tuple[Estimate, float | None]:
    """Oxygen now and the moment of the limit, as mixed; a fan that moves no more than the argon counts as none."""
    fan = number_of(described.data, "ventilation_m3_s") or 0.0
    how = str(described.data["air_change"])
    key, common = "air.room_oxygen_frac", {"argon_flow_m3_s": flow, "room_m3": room_m3}
    if how == "exhaust" and fan > flow:
        now = estimate(exhaust_oxygen_frac, key=key, ventilation_m3_s=fan, elapsed_s=elapsed_s, **common)
        return now, exhaust_limit_reached_s(ventilation_m3_s=fan, limit_frac=limit_frac, **common)
    if how == "fresh air in" and fan > 0:
        now = estimate(supply_oxygen_frac, key=key, ventilation_m3_s=fan, elapsed_s=elapsed_s, **common)
        return now, supply_limit_reached_s(ventilation_m3_s=fan, limit_frac=limit_frac, **common)
    now = estimate(sealed_oxygen_frac, key=key, elapsed_s=elapsed_s, **common)
    return now, sealed_limit_reached_s(limit_frac=limit_frac, **common)


def asks_for_air(plan: Plan, record: JointRecord, cells: Mapping[str, Datum]) -> bool:
    """Whether leaning in is entering: the work is in a described space, or the bore takes a head."""
    bore = max(plan.joint.end_a.bore, plan.joint.end_b.bore)
    return bool(record.spaces) or bore >= cells["head_bore_m"].low


def air_gate(record: JointRecord, *, now_s: float, cells: Mapping[str, Datum]) -> Gate:
    """What stands against leaning in: a reading at the bottom, fresh, in range, by a monitor of one's own, two stamps."""
    read = next((seen for seen in reversed(record.air) if seen.data.get("place") == BOTTOM), None)
    if read is None:
        return Gate("air", "unknown", "air.read", Because("gate.air.never"))
    events = (read.event,)
    oxygen = number_of(read.data, "room_oxygen_frac")
    age_s = now_s - read.at_s
    params = (
        ("room_oxygen_frac", f"{oxygen}"), ("age_s", f"{max(0.0, age_s)}"), ("stamp", str(read.data.get("stamp", ""))),
        ("monitor", str(read.data.get("monitor", ""))), ("good_for_s", f"{cells['air_good_for_s'].value}"),
    )  # fmt: skip
    blocked = _blocked(read, oxygen, age_s, cells)
    if blocked:
        state, says = blocked
        return Gate("air", state, "air.read", Because(says, params), events)
    second = _second(record, read)
    if second is None:
        return Gate("air", "unknown", "air.seconded", Because("gate.air.one_stamp", params), events)
    told = (*params, ("second", str(second.data["stamp"])))
    return Gate("air", "open", "", Because("gate.air.read", told), (read.event, second.event))


def _blocked(read: Seen, oxygen: float | None, age_s: float, cells: Mapping[str, Datum]) -> tuple[str, str] | None:
    """(state, why) of the first thing that speaks against a reading; None where nothing does."""
    monitor = read.data.get("monitor")
    if oxygen is None:
        return "unknown", "gate.air.never"
    if oxygen < cells["air_low_frac"].value - 1e-9:
        return "shut", "gate.air.low"
    if oxygen > cells["air_high_frac"].value + 1e-9:
        return "shut", "gate.air.high"
    if monitor == "purge monitor":
        return "unknown", "gate.air.purge_monitor"
    if monitor not in OWN_MONITORS:
        return "unknown", "gate.air.monitor_unknown"
    if age_s < -AHEAD_S:
        return "unknown", "gate.reading_ahead"
    if age_s > cells["air_good_for_s"].value:
        return "unknown", "gate.air.stale"
    return None


def _second(record: JointRecord, read: Seen) -> Seen | None:
    """A second person behind that very reading: neither who read it nor who wrote it down."""
    first = {str(read.data.get("stamp", "")).strip().casefold(), read.by.strip().casefold()}
    after = [seen for seen in record.air_seconded if seen.at_s >= read.at_s]
    return next((seen for seen in after if str(seen.data["stamp"]).strip().casefold() not in first), None)
