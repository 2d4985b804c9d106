"""What was made so far, as the heat engines take it: arcs with their own times, and the joint at any moment after them.

The march goes on from where it stopped: a new reading costs the seconds since the last arc, a new arc its own length.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

from brightroot.model.plan import Plan, PlannedRun
from brightroot.model.record import JointRecord, RunRecord
from brightroot.physics.heat.ring import ArcRun, Ring
from brightroot.physics.heat.volumes.after_run import AfterRun, Scales, after_run, rescaled
from brightroot.physics.heat.volumes.body import Body, Heated, Probe, advanced, at_rest

SHORTEST_S = 0.5  # an arc that two clocks leave less than this is no arc


@dataclass(frozen=True, slots=True)
class Made:
    """One finished run: its number in the plan, the layer it laid (from 0), and its arc."""

    number: int
    layer: int
    arc: ArcRun


@dataclass(frozen=True, slots=True)
class Asked:
    """What is asked after a run: the limits, the place of the reading, and the run that comes next."""

    limit_K: float
    release_K: float
    reading_z_m: float
    next_run: ArcRun | None


def ring_of(plan: Plan) -> Ring:
    """The ring that Green's function knows: mean properties, the thinner wall."""
    figure = plan.figures
    wall = min(plan.joint.end_a.wall_m.value, plan.joint.end_b.wall_m.value)
    return Ring(
        outer_diameter_m=plan.joint.end_a.outer_diameter_m.value,
        wall_m=wall,
        half_length_m=figure["heat.half_length_m"].value,
        conductivity_W_mK=figure["heat.conductivity_W_mK"].value,
        heat_capacity_J_m3K=figure["heat.capacity_J_m3K"].value,
        loss_outer_W_m2K=figure["heat.loss_outer_W_m2K"].value,
        loss_inner_W_m2K=figure["heat.loss_inner_W_m2K"].value,
        ambient_K=figure["heat.ambient_K"].value,
    )


def made_of(plan: Plan, record: JointRecord) -> tuple[Made, ...]:
    """The finished runs in the order of their arcs, one after another whatever two clocks say."""
    runs = [
        (run, planned)
        for run in record.runs
        if (planned := plan.run(run.number)) is not None and run.stopped_s is not None and run.stopped_s > run.started_s
    ]
    made: list[Made] = []
    for run, planned in sorted(runs, key=lambda pair: pair[0].started_s):
        arc = _arc(plan, planned, run, made[-1].arc.stop_s if made else run.started_s)
        if arc.duration_s >= SHORTEST_S:
            made.append(Made(run.number, planned.pass_number - 1, arc))
    return tuple(made)


def _arc(plan: Plan, planned: PlannedRun, run: RunRecord, earliest_s: float) -> ArcRun:
    key = f"passes.{planned.pass_number}"
    power = plan.figures[f"{key}.net_power_W"].value
    if run.current_A is not None:
        power *= run.current_A / plan.figures[f"{key}.current_A"].value
    start = max(run.started_s, earliest_s)
    return ArcRun(start, (run.stopped_s or start) - start, planned.from_rad, planned.sweep_rad, power)


@lru_cache(maxsize=512)
def stopped(whole: Body, made: tuple[Made, ...]) -> Heated:
    """The joint when the last of the arcs went off. Times count from the first arc-on."""
    last = made[-1]
    return advanced(
        whole, started(whole, made), until_s=last.arc.stop_s - made[0].arc.start_s, arc=last.arc, laying=last.layer
    )[0]


@lru_cache(maxsize=512)
def started(whole: Body, made: tuple[Made, ...]) -> Heated:
    """The joint when the last of the arcs went on."""
    if len(made) == 1:
        return at_rest(whole)
    return advanced(whole, stopped(whole, made[:-1]), until_s=made[-1].arc.start_s - made[0].arc.start_s)[0]


@lru_cache(maxsize=1024)
def seen_K(whole: Body, made: tuple[Made, ...], time_s: float, probe: Probe) -> float:
    """Temperature at a place at a moment after the last of the arcs."""
    wanted = time_s - made[0].arc.start_s
    before = stopped(whole, made)
    if wanted <= before.time_s + 1e-6:
        wanted = before.time_s + 1e-3  # at arc-off itself: the march tells what it saw at the end of a step
    return float(advanced(whole, before, until_s=wanted, probes=[probe])[1].probe_K[-1, 0])


@lru_cache(maxsize=512)
def answered(whole: Body, made: tuple[Made, ...], asked: Asked, scales_1: Scales) -> AfterRun:
    """What is asked after the last of the arcs, for three factors on its rise. Other factors on known arcs march nothing anew."""
    # a new reading moves the factors a little each time: the march goes far enough for all up to the next fifth
    reach = max(1.2, math.ceil(max(scales_1) * 5) / 5)
    return rescaled(
        _cooled(whole, made, asked, reach), whole=whole, run=made[-1].arc, limit_K=asked.limit_K, release_K=asked.release_K,
        weld_1=scales_1, probe_1=scales_1,
    )  # fmt: skip


@lru_cache(maxsize=512)
def _cooled(whole: Body, made: tuple[Made, ...], asked: Asked, reach_1: float) -> AfterRun:
    last, scales = made[-1], (1.0, 1.0, reach_1)
    return after_run(
        whole=whole, before=started(whole, made), run=last.arc, laying=last.layer, limit_K=asked.limit_K,
        release_K=asked.release_K, reading_z_m=asked.reading_z_m, next_run=asked.next_run, weld_1=scales, probe_1=scales,
    )  # fmt: skip
