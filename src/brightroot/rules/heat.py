"""Facts of heat: the temperature before each run, and how long the shield stayed over it."""

from __future__ import annotations

import math
from collections.abc import Mapping
from itertools import pairwise

from brightroot.base.clock import beside_rad
from brightroot.model.joint import Joint
from brightroot.model.plan import Plan, PlannedRun
from brightroot.model.record import JointRecord, RunRecord, TemperatureRead
from brightroot.rules.fact import Fact
from brightroot.rules.instruments import found_bad
from brightroot.rules.moments import in_order

# how far beside the coming run's stretch a temperature still speaks for it: one hour of the clock, our own choice
READING_WITHIN_RAD = math.pi / 6


def heat_facts(
    record: JointRecord,
    plan: Plan | None,
    joint: Joint | None,
    reading_within_rad: float,
    rising_s: Mapping[str, float],
    hold_s: Mapping[int, tuple[float, float]],
) -> tuple[Fact, ...]:
    """Interpass temperature of every run after the first; current, shield time and told hold of every run."""
    runs = in_order(record)
    stated = joint.procedure.reading_distance_m if joint else None
    assumed = plan.figures.get("set_up.reading_distance_m") if plan else None
    farthest_m = stated.value if stated else assumed.value if assumed else None
    interpass = tuple(
        _interpass(
            before, run, record, plan.run(run.number) if plan else None, farthest_m, reading_within_rad, rising_s
        )
        for before, run in pairwise(runs)
    )
    return (
        Fact("interpass_K", each=interpass, asks="ask.interpass"),
        Fact("current_A", each=tuple(_current(run) for run in runs), asks="ask.current"),
        Fact("shield_held_s", each=tuple(_held(run) for run in runs), asks="ask.shield"),
        Fact("shield_hold_s", each=tuple(_hold(run, plan, hold_s) for run in runs), asks="ask.plan"),
    )


def _interpass(
    before: RunRecord,
    run: RunRecord,
    record: JointRecord,
    planned: PlannedRun | None,
    farthest_m: float | None,
    reading_within_rad: float,
    rising_s: Mapping[str, float],
) -> Fact:
    """The last reading between the arcs. A doubtful one has no value; where it can only read low it still bounds."""
    where = f"run {run.number}"
    off_s = before.stopped_s
    between = [t for t in record.temperatures if off_s is not None and off_s <= t.at_s <= run.started_s]
    if not between:
        return Fact("interpass_K", where=where, from_events=(run.started_event,), asks="ask.interpass")
    last = between[-1]
    events = (last.event, run.started_event)
    if found_bad(record, "thermometer", last.at_s):
        return Fact("interpass_K", None, last.as_entered, events, where=where, asks="ask.instrument")
    asks, reads_low = _doubt(last, planned, farthest_m, reading_within_rad, rising_s)
    if asks:
        low = last.temperature_K if reads_low else None
        return Fact("interpass_K", None, last.as_entered, events, low=low, where=where, asks=asks)
    return Fact("interpass_K", last.temperature_K, last.as_entered, events, where=where)


def _doubt(
    read: TemperatureRead,
    planned: PlannedRun | None,
    farthest_m: float | None,
    reading_within_rad: float,
    rising_s: Mapping[str, float],
) -> tuple[str, bool]:
    """Why a reading is no proof (a message id, or nothing), and whether the metal was at least that hot."""
    if read.method == "infrared":  # bright metal reads low, its reflections high
        return "ask.infrared", False
    if read.distance_m is None:
        return "ask.distance", False
    if farthest_m is not None and read.distance_m > farthest_m * (1 + 1e-9):
        return "ask.nearer", True
    if planned is None:
        return "ask.plan", False
    if beside_rad(from_rad=planned.from_rad, sweep_rad=planned.sweep_rad, at_rad=read.at_rad) > reading_within_rad:
        return "ask.at_the_place", False
    if rising_s.get(read.event, 0.0) > 0:
        return "ask.still_rising", True
    return "", False


def _current(run: RunRecord) -> Fact:
    return Fact(
        "current_A", run.current_A, from_events=(run.started_event,), where=f"run {run.number}", asks="ask.current"
    )


def _held(run: RunRecord) -> Fact:
    where = f"run {run.number}"
    if run.stopped_s is None or run.lifted_s is None:
        return Fact("shield_held_s", where=where, from_events=(run.started_event,), asks="ask.shield")
    # instants carry milliseconds; the difference of two large numbers would not
    held_s = round(run.lifted_s - run.stopped_s, 3)
    return Fact("shield_held_s", held_s, from_events=(run.stopped_event, run.lifted_event), where=where)


def _hold(run: RunRecord, plan: Plan | None, hold_s: Mapping[int, tuple[float, float]]) -> Fact:
    """The hold as told. Shorter than told but inside its spread is neither kept nor broken."""
    figure = plan.figures.get(f"runs.{run.number}.hold_s") if plan else None
    low, told = hold_s.get(run.number) or ((figure.low, figure.value) if figure else (math.nan, math.nan))
    if math.isnan(told):
        return Fact("shield_hold_s", where=f"run {run.number}", asks="ask.plan")
    return Fact("shield_hold_s", told, low=max(0.0, low), high=told, where=f"run {run.number}")
