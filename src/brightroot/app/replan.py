"""What is left of a joint, planned again from its log: what came up, the new order, and one sentence why."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from brightroot.app.ports import Place
from brightroot.app.work_live import Now, look
from brightroot.base.errors import Refused
from brightroot.base.instant import seconds_of
from brightroot.live.estimators.heat import posterior_of
from brightroot.live.estimators.heat_made import made_of
from brightroot.live.gates import last_stopped, limit_of, read_limit_frac
from brightroot.model.event import Event
from brightroot.model.plan import PlannedRun
from brightroot.model.record import FitUpPoint, JointRecord
from brightroot.planner.search.again import Again, MadeRun, Trouble, replanned
from brightroot.planner.search.fit_up import AsFitted, FitUp, as_fitted
from brightroot.planner.search.search import Stuck

# how long what came up keeps the torch away: common practice, no source
SWAP_S, DIP_S, RAIN_S, DRAUGHT_S, SILENCE_S = 300.0, 180.0, 1800.0, 600.0, 900.0
CUT_1 = 0.97  # of a run: less was cut short
AFTER_SILENCE_S = 3600.0


@dataclass(frozen=True, slots=True)
class Replan:
    """The remaining plan, all that came up, and what the fit-up as measured changes."""

    again: Again
    troubles: tuple[Trouble, ...]
    fitted: AsFitted | None


def replan(place: Place, joint_id: str, *, at_s: float | None = None) -> Replan:
    """Planned again from the log as it stands. Raises Refused where what is left can no longer be made within its limits."""
    now = look(place, joint_id, at_s=at_s)
    return replan_of(place, now, troubles_of(now, place.store.events(joint_id)))


def replan_of(place: Place, now: Now, troubles: Sequence[Trouble]) -> Replan:
    """The same from a moment and what came up."""
    plan, record = now.plan, now.state.record
    made = tuple(_made(now, one.number, one.arc.start_s, one.arc.stop_s) for one in made_of(plan, record))
    power = posterior_of(now.iron, plan, record, cells=now.cells).value_1 if made and record.temperatures else 1.0
    try:
        again = replanned(plan, library=place.library, made=made, now_s=now.now_s, troubles=troubles, power_1=power)
    except Stuck as stuck:
        raise Refused(
            field="limits",
            wanted="limits that the rest can keep",
            got=f"layer {stuck.layer + 1}",
            reason="refused.stuck",
        ) from stuck
    points = [FitUp(point.at_rad, point.gap_m, point.hi_lo_m, point.land_m) for point in as_it_stands(record)]
    fitted = as_fitted(plan, points[-8:], library=place.library) if len(points) >= 4 else None
    return Replan(again, tuple(troubles), fitted)


def troubles_of(now: Now, events: Sequence[Event]) -> tuple[Trouble, ...]:
    """What the log says came up since the last arc, the newest first."""
    record = now.state.record
    last = last_stopped(record)
    since = last.stopped_s if last and last.stopped_s is not None else record.first_s or 0.0
    found: list[tuple[float, Trouble]] = []
    limit = limit_of(now.plan, now.cells, "interpass_max_K").value
    reads = [r for r in record.temperatures if r.at_s >= since]
    if last is not None and reads and reads[-1].temperature_K > limit:
        read = reads[-1]
        found.append((read.at_s, Trouble("temperature_over", None, read.at_rad, read.temperature_K, limit, read.at_s)))
    if record.oxygen and record.oxygen[-1].oxygen_frac is not None:
        last_read = record.oxygen[-1]
        allowed = read_limit_frac(now.plan, now.cells, last_read.place)
        read_frac = last_read.oxygen_frac or 0.0
        if read_frac > allowed and any(o.oxygen_frac and o.oxygen_frac <= allowed for o in record.oxygen):
            until = now.now_s + now.plan.figures["purge.time_s"].value
            found.append((last_read.at_s, Trouble("oxygen_rose", until, None, last_read.oxygen_frac, allowed)))
    found += [pair for event in events if (pair := _event_trouble(now, event, since)) is not None]
    smallest = now.plan.passes[0].rod_diameter_m
    for point in as_it_stands(record):
        if point.gap_m < smallest * (1 - 1e-9):
            found.append((record.first_s or 0.0, Trouble("gap_closed", None, point.at_rad, point.gap_m, smallest)))
    for hold_point in now.plan.joint.procedure.hold_points:
        if not any(seen.data.get("hold_point") == hold_point for seen in record.hold_points) and _due(now, hold_point):
            found.append((since, Trouble("inspector_late")))
    short = [run for run in record.runs if run.stopped_s is not None and _made_share(now, run.number) < CUT_1]
    if short and last is not None and short[-1].number == last.number:
        found.append((since, Trouble("power_cut", None, None, _made_share(now, last.number))))
    if record.last_s is not None and now.now_s - record.last_s > AFTER_SILENCE_S and record.runs:
        found.append((record.last_s, Trouble("silence", None, None, now.now_s - record.last_s)))
    return tuple(trouble for _, trouble in sorted(found, key=lambda pair: -pair[0]))


_LASTS = {
    "cylinder.changed": ("cylinder_swap", SWAP_S),
    "tungsten.dipped": ("tungsten_dip", DIP_S),
    "draught.felt": ("draught", DRAUGHT_S),
}


def _event_trouble(now: Now, event: Event, since_s: float) -> tuple[float, Trouble] | None:
    at = seconds_of(event.at_utc)
    if at < since_s:
        return None
    if event.kind == "surface.touched" and event.data.get("by_what") == "rain":
        return at, Trouble("rain", max(at + RAIN_S, now.now_s))
    known = _LASTS.get(event.kind)
    return None if known is None else (at, Trouble(known[0], max(at + known[1], now.now_s)))


def as_it_stands(record: JointRecord) -> tuple[FitUpPoint, ...]:
    """The fit-up by place, the last look at each: a gap that was put right and measured again is no longer closed."""
    return tuple({round(point.at_rad % (2 * math.pi), 4): point for point in record.fit_up}.values())


def _due(now: Now, hold_point: str) -> bool:
    """Whether nothing may be struck before the hold point: the fit-up before the first arc, the root once all of it is made."""
    made = {run.number for run in now.state.record.runs if run.stopped_s is not None}
    if hold_point == "root":
        return bool(made) and all(run.number in made for run in now.plan.runs if run.pass_number == 1)
    return hold_point == "fit-up" and not made and bool(now.state.record.fit_up)


def _made(now: Now, number: int, start_s: float, stop_s: float) -> MadeRun:
    return MadeRun(number, start_s, stop_s, _made_share(now, number))


def _made_share(now: Now, number: int) -> float:
    """How much of a run was made, by where its arc went off; all of it where nobody said."""
    run, planned = now.state.record.run(number), now.plan.run(number)
    if run is None or planned is None or run.stopped_at_rad is None:
        return 1.0
    return share_made(planned, run.stopped_at_rad)


def share_made(planned: PlannedRun, at_rad: float) -> float:
    """How much of a run was made, at least a twentieth. Off its arc it counts by the nearer end: just behind the start is a false
    start, no whole run."""
    along = (at_rad - planned.from_rad) * math.copysign(1.0, planned.sweep_rad) % (2 * math.pi)
    swept = abs(planned.sweep_rad)
    behind = along - swept > 2 * math.pi - along  # past the end, yet nearer to the start
    return 0.05 if behind else min(max(along / swept, 0.05), 1.0)
