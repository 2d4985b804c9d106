"""May the next arc be struck? Each gate answers from readings, and a missing reading is never a yes.

The thermometer is the gate and the clock only a forecast; nothing here ever says that it is safe.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from brightroot.base.clock import beside_rad
from brightroot.base.formula import Known
from brightroot.base.source import Datum
from brightroot.live.estimators.oxygen import AHEAD_S, OxygenState
from brightroot.model.advice import Because
from brightroot.model.plan import Plan, PlannedRun
from brightroot.model.record import JointRecord, RunRecord, TemperatureRead
from brightroot.rules.heat import READING_WITHIN_RAD
from brightroot.rules.instruments import found_bad

STRIKE_SHARE = 0.75
SUSPECT_TINTS = ("purple", "dark blue", "light blue", "grey", "white", "not seen")


@dataclass(frozen=True, slots=True)
class Gate:
    """One gate: open | shut | unknown, what to record to open it, and why."""

    name: str
    state: str
    event: str
    because: Because
    from_events: tuple[str, ...] = ()


def limit_of(plan: Plan, cells: Mapping[str, Datum], name: str) -> Known:
    """The procedure's limit of that name, or the family's default."""
    typed = getattr(plan.joint.procedure, name)
    return typed if typed is not None else cells[name]


def last_stopped(record: JointRecord) -> RunRecord | None:
    """The run whose arc went out last."""
    stopped = [run for run in record.runs if run.stopped_s is not None]
    return max(stopped, key=lambda run: run.stopped_s or 0.0, default=None)


def temperature_gate(plan: Plan, record: JointRecord, *, run: int, cells: Mapping[str, Datum], now_s: float) -> Gate:
    """Under the interpass limit by a contact reading taken since the last arc, at its place, and not still rising."""
    last = last_stopped(record)
    limit = limit_of(plan, cells, "interpass_max_K")
    if last is None:
        return Gate("temperature", "open", "", Because("gate.temperature.first"))
    since = [r for r in record.temperatures if last.stopped_s is not None and r.at_s >= last.stopped_s]
    if not since:
        return Gate("temperature", "unknown", "temperature.read", Because("gate.temperature.not_read"))
    read = since[-1]
    events = (read.event,)
    if read.temperature_K > limit.value * (1 + 1e-9):
        params = (("temperature_K", f"{read.temperature_K}"), ("over_dK", f"{read.temperature_K - limit.value}"))
        return Gate("temperature", "shut", "temperature.read", Because("gate.temperature.over", params), events)
    if read.at_s > now_s + AHEAD_S:
        return Gate("temperature", "unknown", "temperature.read", Because("gate.reading_ahead"), events)
    if found_bad(record, "thermometer", read.at_s):
        return Gate("temperature", "unknown", "temperature.read", Because("gate.temperature.instrument"), events)
    if (doubt := _stream_doubt(record, "temperature_K", read.at_s)) is not None:
        return Gate("temperature", "unknown", "temperature.read", doubt, events)
    if (doubt := _doubt(plan, read, last, plan.run(run), cells)) is not None:
        return Gate("temperature", "unknown", "temperature.read", doubt, events)
    return Gate(
        "temperature",
        "open",
        "",
        Because("gate.temperature.under", (("temperature_K", f"{read.temperature_K}"),)),
        events,
    )


def _doubt(
    plan: Plan, read: TemperatureRead, last: RunRecord, coming: PlannedRun | None, cells: Mapping[str, Datum]
) -> Because | None:
    """Why a reading under the limit is still no pass: its kind, its place, or because the metal is still warming there."""
    if read.method == "infrared":
        return Because("gate.temperature.infrared")
    place = limit_of(plan, cells, "reading_distance_m")
    if read.distance_m is None:
        return Because("gate.temperature.no_distance", (("place_m", f"{place.value}"),))
    if read.distance_m > place.value * (1 + 1e-9):
        return Because("gate.temperature.far", (("distance_m", f"{read.distance_m}"), ("place_m", f"{place.value}")))
    if coming is not None and _elsewhere(coming, read):
        return Because("gate.temperature.elsewhere", (("at_rad", f"{read.at_rad}"), ("from_rad", f"{coming.from_rad}")))
    peak = plan.figures.get(f"runs.{last.number}.peak_after_s")
    if peak is None or read.after_arc_off_s is None:
        return Because("gate.temperature.no_peak")
    if read.after_arc_off_s < peak.high:
        return Because("gate.temperature.rising", (("again_s", f"{math.ceil(peak.high - read.after_arc_off_s)}"),))
    return None


def _elsewhere(run: PlannedRun, read: TemperatureRead) -> bool:
    """Whether a reading was taken too far round to speak for the run, by the verdict's own measure."""
    return beside_rad(from_rad=run.from_rad, sweep_rad=run.sweep_rad, at_rad=read.at_rad) > READING_WITHIN_RAD


def oxygen_gate(plan: Plan, record: JointRecord, state: OxygenState, *, cells: Mapping[str, Datum]) -> Gate:
    """A fresh number at or under its limit, read while the purge runs. Silence and dashes are not numbers.

    The limit is the start limit where the gas was sampled at the weld plane; the vent tells of the root only within a
    factor, so there it is the plan's vent target.
    """
    if record.purge_started_s is None or record.purge_ended_s is not None:
        return Gate("oxygen", "shut", "purge.started", Because("gate.oxygen.purge_off"))
    if state.last is None:
        return Gate("oxygen", "unknown", "oxygen.read", Because("gate.oxygen.never"))
    events = (state.last.event,)
    if found_bad(record, "oxygen monitor", state.last.at_s):
        return Gate("oxygen", "unknown", "oxygen.read", Because("gate.oxygen.instrument"), events)
    if (doubt := _stream_doubt(record, "oxygen_frac", state.last.at_s)) is not None:
        return Gate("oxygen", "unknown", "oxygen.read", doubt, events)
    if _line_open(record, state.last.at_s):
        return Gate("oxygen", "unknown", "oxygen.read", Because("gate.oxygen.line_open"), events)
    if state.last.at_s < record.purge_started_s:
        return Gate("oxygen", "unknown", "oxygen.read", Because("gate.oxygen.before_purge"), events)
    if state.age_s is None:
        return Gate("oxygen", "unknown", "oxygen.read", Because("gate.reading_ahead"), events)
    if state.last.oxygen_frac is None:
        said = Because("gate.oxygen.no_number", (("state", state.last.state),))
        return Gate("oxygen", "shut" if state.state == "over range" else "unknown", "oxygen.read", said, events)
    limit_frac = read_limit_frac(plan, cells, state.last.place)
    params = (
        ("oxygen_frac", f"{state.last.oxygen_frac}"), ("age_s", f"{state.age_s or 0.0}"), ("limit_frac", f"{limit_frac}")
    )  # fmt: skip
    # a strike takes a moment: the reading must still count when the arc comes on
    if state.state == "not measured" or state.age_s > cells["oxygen_good_for_s"].value * STRIKE_SHARE:
        return Gate("oxygen", "unknown", "oxygen.read", Because("gate.oxygen.stale", params), events)
    at = "_vent" if state.last.place == "vent" else ""
    if state.last.oxygen_frac > limit_frac * (1 + 1e-9):
        return Gate("oxygen", "shut", "oxygen.read", Because(f"gate.oxygen.over{at}", params), events)
    return Gate("oxygen", "open", "", Because(f"gate.oxygen.at_target{at}", params), events)


def _stream_doubt(record: JointRecord, measures: str, read_s: float) -> Because | None:
    """Why an earlier reading no longer speaks: an instrument of that kind has since sent what is not believed."""
    last = {str(seen.data["instrument"]): seen for seen in record.streams if seen.data["measures"] == measures}
    for tag, seen in sorted(last.items()):
        if seen.data.get("doubtful") and seen.at_s > read_s:
            return Because(f"gate.{measures.split('_')[0]}.stream", (("instrument", tag),))
    return None


def _line_open(record: JointRecord, at_s: float) -> bool:
    """Whether the sample line was off at that moment: its monitor then showed the room."""
    kinds = ("sample_line.opened", "sample_line.closed", "sample_line.moved")
    told = [seen for seen in record.purge_course if seen.kind in kinds and seen.at_s <= at_s]
    return bool(told) and max(told, key=lambda seen: seen.at_s).kind == "sample_line.opened"


def read_limit_frac(plan: Plan, cells: Mapping[str, Datum], place: str) -> float:
    """What may be read at that place before a root arc: the start limit at the weld plane, less at the vent."""
    target = plan.figures.get("purge.vent_target_frac")
    if place == "vent" and target is not None:
        return target.value
    return limit_of(plan, cells, "start_oxygen_frac").value


def backing_gate(plan: Plan, record: JointRecord, *, coming: PlannedRun) -> Gate:
    """After the root the gas must still be on for as long as the procedure wants; its other ends are not observed."""
    until = plan.joint.procedure.backing_until
    wanted = until == "whole joint" or (until == "hot pass" and coming.pass_number <= 2)
    if wanted and (record.purge_started_s is None or record.purge_ended_s is not None):
        return Gate("backing", "shut", "purge.started", Because("gate.backing.off"))
    return Gate("backing", "open", "", Because("gate.backing.on" if wanted else "gate.backing.not_asked"))


def tack_gate(plan: Plan, record: JointRecord, *, run: int) -> Gate:
    """A doubtful tack that this run would weld over has to be cut first."""
    due = {t.name for t in plan.tacks if t.cut_before_run == run}
    for tack in record.tacks:
        if tack.cut or (tack.name not in due and any(t.name == tack.name for t in plan.tacks)):
            continue
        if tack.tint in SUSPECT_TINTS or not tack.purged:
            return Gate(
                "tack", "shut", "tack.cut", Because("gate.tack.doubtful", (("tack", tack.name),)), (tack.event,)
            )
    return Gate("tack", "open", "", Because("gate.tack.none"))


def filler_gate(plan: Plan, record: JointRecord) -> Gate:
    """The rod on the bench is the rod of the plan; another one for this metal is a departure that somebody signs."""
    if not record.fillers:
        return Gate("filler", "unknown", "filler.issued", Because("gate.filler.not_issued"))
    last = record.fillers[-1]
    issued = str(last.data["filler"])
    if issued.replace(" ", "").lower() == plan.filler.replace(" ", "").lower():
        return Gate("filler", "open", "", Because("gate.filler.as_planned", (("filler", issued),)), (last.event,))
    params = (("filler", issued), ("planned", plan.filler))
    return Gate("filler", "shut", "filler.issued", Because("gate.filler.other", params), (last.event,))


def fit_up_gate(record: JointRecord, *, cells: Mapping[str, Datum]) -> Gate:
    """The largest step between the bores as measured is under what practice allows, unless somebody has decided."""
    limit = cells["hi_lo_max_m"].value
    worst = max(record.fit_up, key=lambda point: point.hi_lo_m, default=None)
    if worst is None:
        return Gate("fit_up", "unknown", "fit_up.measured", Because("gate.fit_up.not_measured"))
    params = (("hi_lo_m", f"{worst.hi_lo_m}"), ("at_rad", f"{worst.at_rad}"), ("limit_m", f"{limit}"))
    if worst.hi_lo_m > limit * (1 + 1e-9) and not record.departures:
        return Gate("fit_up", "shut", "plan.departed_from", Because("gate.fit_up.hi_lo", params), (worst.event,))
    return Gate("fit_up", "open", "", Because("gate.fit_up.within", params), (worst.event,))


def bead_gate(record: JointRecord) -> Gate:
    """The bead below must have been looked at, and a suspect colour stops the joint until somebody decides."""
    last = last_stopped(record)
    if last is None:
        return Gate("bead", "open", "", Because("gate.bead.first"))
    if not last.tint or last.tint == "not seen":
        said = Because("gate.bead.not_seen", (("run", str(last.number)),))
        return Gate("bead", "unknown", "bead.looked_at", said, (last.stopped_event,))
    # a band where the gas cover ended may be strong; grey and white may be nowhere
    banded = last.arrangement == "edge band" and last.tint not in ("grey", "white")
    if last.tint in SUSPECT_TINTS and not banded:
        decided = [d for d in record.departures if last.tint_s is not None and d.at_s > last.tint_s]
        if decided:
            said = Because("gate.bead.decided", (("run", str(last.number)), ("tint", last.tint)))
            return Gate("bead", "open", "", said, (last.tint_event, decided[-1].event))
        said = Because("gate.bead.suspect", (("run", str(last.number)), ("tint", last.tint)))
        return Gate("bead", "shut", "plan.departed_from", said, (last.tint_event,))
    return Gate("bead", "open", "", Because("gate.bead.seen", (("tint", last.tint),)), (last.tint_event,))
