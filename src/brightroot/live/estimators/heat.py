"""Hold and wait forecast again from what happened: the arcs as made, and every contact reading so far."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace
from functools import lru_cache

import numpy as np

from brightroot.base.formula import Estimate
from brightroot.base.source import Datum
from brightroot.model.plan import Plan, PlannedRun
from brightroot.model.record import JointRecord, RunRecord
from brightroot.physics.heat.calibrate import PowerPosterior, TemperatureSeen, calibrated
from brightroot.physics.heat.green import rise_dK
from brightroot.physics.heat.questions import hold_and_wait
from brightroot.physics.heat.ring import ArcRun, Ring

NEWEST = 4  # readings that still speak for the hand as it welds now
LEAST_RISE_DK = 3.0


def ring_of(plan: Plan) -> Ring:
    """The ring that the plan's heat was computed on."""
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


def arcs_made(plan: Plan, record: JointRecord) -> tuple[tuple[int, ArcRun], ...]:
    """The runs that are finished, as the engine takes them: their own times and current, the plan's place."""
    made = []
    for run in record.runs:
        planned = plan.run(run.number)
        if planned is not None and run.stopped_s is not None and run.stopped_s > run.started_s:
            made.append((run.number, _arc(plan, planned, run)))
    return tuple(sorted(made, key=lambda pair: pair[1].start_s))


def _arc(plan: Plan, planned: PlannedRun, run: RunRecord) -> ArcRun:
    key = f"passes.{planned.pass_number}"
    power = plan.figures[f"{key}.net_power_W"].value
    if run.current_A is not None:
        power *= run.current_A / plan.figures[f"{key}.current_A"].value
    seconds = (run.stopped_s or run.started_s) - run.started_s
    return ArcRun(run.started_s, seconds, planned.from_rad, planned.sweep_rad, power)


def readings_of(record: JointRecord, *, place_m: float, spread_dK: float) -> tuple[TemperatureSeen, ...]:
    """Contact readings since the first arc; infrared of bright metal is left out, as its emissivity is unknown."""
    first = min((run.started_s for run in record.runs), default=None)
    return tuple(
        TemperatureSeen(
            t.at_s, t.at_rad, t.distance_m if t.distance_m is not None else place_m, t.side, t.temperature_K, spread_dK
        )
        for t in record.temperatures
        if first is not None and t.at_s > first and t.method == "contact"
    )


def posterior_of(plan: Plan, record: JointRecord, *, cells: Mapping[str, Datum]) -> PowerPosterior:
    """Net power and losses after the newest contact readings; older ones were made with a hand that has since moved."""
    place = plan.figures["set_up.reading_distance_m"].value
    readings = readings_of(record, place_m=place, spread_dK=cells["thermometer_spread_dK"].value)
    arcs = tuple(arc for _, arc in made) if (made := arcs_made(plan, record)) else ()
    ring = ring_of(plan)
    told = tuple(r for r in readings[-NEWEST:] if _tells(ring, arcs, r))
    efficiency, probe = cells["efficiency_frac"], cells["probe_spread_m"].value
    return _posterior(ring, arcs, told, efficiency.value, efficiency.low, efficiency.high, probe)


def _tells(ring: Ring, arcs: tuple[ArcRun, ...], reading: TemperatureSeen) -> bool:
    """A reading says something of the power only once enough heat has come to its place."""
    rise = rise_dK(
        ring=ring, runs=arcs, theta_rad=[reading.theta_rad], z_m=reading.z_m, side=reading.side, time_s=[reading.time_s]
    )
    return float(rise[0, 0]) > LEAST_RISE_DK


@lru_cache(maxsize=1024)
def _posterior(
    ring: Ring,
    arcs: tuple[ArcRun, ...],
    readings: tuple[TemperatureSeen, ...],
    efficiency_frac: float,
    low_frac: float,
    high_frac: float,
    probe_m: float,
) -> PowerPosterior:
    return calibrated(
        ring=ring,
        runs=arcs,
        readings=readings,
        efficiency_frac=efficiency_frac,
        low_frac=low_frac,
        high_frac=high_frac,
        probe_m=probe_m,
    )


def reforecast(plan: Plan, record: JointRecord, *, cells: Mapping[str, Datum]) -> Mapping[str, Estimate]:
    """Hold and wait of the run whose arc went out last, under its own times and the readings; {} before that."""
    made = arcs_made(plan, record)
    if not made:
        return {}
    number = made[-1][0]
    following = plan.run(number + 1)
    place = ArcRun(0.0, 1.0, following.from_rad, following.sweep_rad, 0.0) if following else None
    answers = _hold_and_wait(
        ring_of(plan),
        tuple(arc for _, arc in made),
        posterior_of(plan, record, cells=cells),
        place,
        *(plan.figures[f"set_up.{name}"].value for name in ("interpass_max_K", "release_K", "reading_distance_m")),
    )
    found: dict[str, Estimate] = {}
    for name, answer in zip(("hold_s", "wait_s"), answers, strict=True):
        planned = plan.figures.get(f"runs.{number}.{name}")
        if planned is not None and answer is not None:
            low, value, high = answer
            caveats = (*planned.caveats, "caveat.from_readings")
            found[planned.key] = replace(planned, value=value, low=low, high=high, caveats=caveats)
    return found


def told_holds(plan: Plan, record: JointRecord, *, cells: Mapping[str, Datum]) -> Mapping[int, Estimate]:
    """The hold of each finished run as it was told when its shield came up: its own times, and the readings until then."""
    told = {}
    for run in record.runs:
        if run.stopped_s is None:
            continue
        until = run.lifted_s if run.lifted_s is not None else run.stopped_s
        then = replace(
            record,
            runs=tuple(r for r in record.runs if r.stopped_s is not None and r.stopped_s <= run.stopped_s),
            temperatures=tuple(t for t in record.temperatures if t.at_s <= until),
        )
        hold = reforecast(plan, then, cells=cells).get(f"runs.{run.number}.hold_s")
        if hold is not None:
            told[run.number] = hold
    return told


@lru_cache(maxsize=1024)
def _hold_and_wait(
    ring: Ring,
    arcs: tuple[ArcRun, ...],
    posterior: PowerPosterior,
    place: ArcRun | None,
    limit_K: float,
    release_K: float,
    reading_z_m: float,
) -> tuple[tuple[float, float, float] | None, tuple[float, float, float] | None]:
    """Low, value and high of both: power and losses each at their ends, the swings in quadrature."""
    powers = (posterior.low_1, posterior.value_1, posterior.high_1)
    losses = (posterior.loss_low_1, posterior.loss_value_1, posterior.loss_high_1)
    looks = [
        hold_and_wait(
            ring=_lossy(ring, loss),
            runs=arcs,
            limit_K=limit_K,
            release_K=release_K,
            reading_z_m=reading_z_m,
            next_run=place,
            scales_1=powers if loss == losses[1] else (posterior.value_1,),
        )
        for loss in losses
    ]
    middle = [[look[which] for look in looks[1]] for which in (0, 1)]
    return (
        _together(middle[0], (looks[0][0][0], looks[2][0][0])),
        _together(middle[1], (looks[0][0][1], looks[2][0][1])),
    )


def _together(power: list[float | None], loss: tuple[float | None, float | None]) -> tuple[float, float, float] | None:
    """One band from two; None where any end does not come about within the horizon."""
    ends = [*power, *loss]
    if any(x is None for x in ends):
        return None
    low, value, high, slow, fast = (float(x) for x in ends if x is not None)
    below = math.hypot(value - low, max(0.0, value - min(slow, fast)))
    above = math.hypot(high - value, max(0.0, max(slow, fast) - value))
    return max(0.0, value - below), value, value + above


def _lossy(ring: Ring, factor: float) -> Ring:
    return replace(
        ring, loss_outer_W_m2K=ring.loss_outer_W_m2K * factor, loss_inner_W_m2K=ring.loss_inner_W_m2K * factor
    )


def cooling_of(
    plan: Plan, record: JointRecord, *, run: int, cells: Mapping[str, Datum]
) -> tuple[tuple[float, float, float, float], ...]:
    """(seconds after arc-off, low, value, high) at the probe's place where the arc went off; () before the first arc."""
    made = arcs_made(plan, record)
    own = next((arc for number, arc in made if number == run), None)
    if own is None:
        return ()
    posterior = posterior_of(plan, record, cells=cells)
    ring = _lossy(ring_of(plan), posterior.loss_value_1)
    wait = plan.figures.get(f"runs.{run}.wait_s")
    seconds = np.linspace(0.0, max(120.0, min(1800.0, 1.6 * (wait.high if wait else 300.0))), 61)
    place = plan.figures["set_up.reading_distance_m"].value
    rise = rise_dK(
        ring=ring,
        runs=[arc for _, arc in made],
        theta_rad=[own.to_rad],
        z_m=place,
        side="outside",
        time_s=own.stop_s + seconds,
    )[:, 0]
    low, value, high = (ring.ambient_K + rise * k for k in (posterior.low_1, posterior.value_1, posterior.high_1))
    return tuple((float(s), float(a), float(b), float(c)) for s, a, b, c in zip(seconds, low, value, high, strict=True))
