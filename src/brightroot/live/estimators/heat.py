"""Hold and wait forecast again from what happened: the arcs as made, and every temperature read so far."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace
from functools import lru_cache

from brightroot.base.formula import Estimate
from brightroot.base.source import Datum
from brightroot.live.estimators.heat_made import Asked, Made, answered, made_of, ring_of, seen_K
from brightroot.model.plan import Plan
from brightroot.model.record import JointRecord, TemperatureRead
from brightroot.physics.heat.calibrate import PowerPosterior, TemperatureSeen, calibrated
from brightroot.physics.heat.green import rise_dK
from brightroot.physics.heat.questions import hold_and_wait
from brightroot.physics.heat.reading import infrared_true_K
from brightroot.physics.heat.ring import ArcRun, Ring
from brightroot.physics.heat.volumes.body import Body, Probe

NEWEST = 4  # readings that still speak for the hand as it welds now
LEAST_RISE_DK = 3.0
TAIL_1 = 1.645  # standard deviations from the middle to a 90 % range's end
Band = tuple[float, float, float]


def posterior_of(whole: Body, plan: Plan, record: JointRecord, *, cells: Mapping[str, Datum]) -> PowerPosterior:
    """Net power and losses after the newest readings; older ones were made with a hand that has since moved.

    The rise at each reading is the finite volumes' own; Green's function tells how it leans on power, losses and place.
    """
    made = made_of(plan, record)
    reads = [r for r in record.temperatures if made and r.at_s > made[0].arc.start_s and r.method != "crayon"]
    ring, ambient = ring_of(plan), whole.losses.air_K
    told = tuple(t for r in reads[-NEWEST:] if (t := _seen(whole, plan, made, ring, ambient, r, cells)) is not None)
    efficiency, probe = cells["efficiency_frac"], cells["probe_spread_m"].value
    return _posterior(ring, tuple(m.arc for m in made), told, efficiency.value, efficiency.low, efficiency.high, probe)


def _seen(
    whole: Body, plan: Plan, made: tuple[Made, ...], ring: Ring, ambient_K: float, read: TemperatureRead,
    cells: Mapping[str, Datum],
) -> TemperatureSeen | None:  # fmt: skip
    """A reading that says something of the power: enough heat has come to its place. None where it does not."""
    past = tuple(m for m in made if m.arc.stop_s <= read.at_s)
    if not past:
        return None
    place = plan.figures["set_up.reading_distance_m"].value
    z_m = read.distance_m if read.distance_m is not None else place
    green = rise_dK(
        ring=ring, runs=[m.arc for m in past], theta_rad=[read.at_rad], z_m=z_m, side=read.side, time_s=[read.at_s]
    )
    rise = seen_K(whole, past, read.at_s, Probe(read.at_rad, z_m, read.side)) - ambient_K
    if min(rise, float(green[0, 0])) < LEAST_RISE_DK:
        return None
    value, spread = _true(read, ambient_K, cells)
    return TemperatureSeen(read.at_s, read.at_rad, z_m, read.side, value, spread, rise / float(green[0, 0]))


def _true(read: TemperatureRead, ambient_K: float, cells: Mapping[str, Datum]) -> tuple[float, float]:
    """What was read, and how far it may be off. Infrared of bright metal is worth what its emissivity is known by."""
    own = cells["thermometer_spread_dK"].value
    if read.method != "infrared":
        return read.temperature_K, own
    emissivity, set_1 = cells["emissivity_outer_1"], cells["infrared_set_1"].value
    bright, middle, dull = (
        infrared_true_K(reading_K=read.temperature_K, emissivity_set_1=set_1, emissivity_1=e, ambient_K=ambient_K)
        for e in (emissivity.low, emissivity.value, emissivity.high)
    )
    return middle, math.hypot(own, (bright - dull) / 2 / TAIL_1)


@lru_cache(maxsize=1024)
def _posterior(
    ring: Ring, arcs: tuple[ArcRun, ...], readings: tuple[TemperatureSeen, ...], efficiency_frac: float, low_frac: float,
    high_frac: float, probe_m: float,
) -> PowerPosterior:  # fmt: skip
    return calibrated(
        ring=ring, runs=arcs, readings=readings, efficiency_frac=efficiency_frac, low_frac=low_frac, high_frac=high_frac,
        probe_m=probe_m,
    )  # fmt: skip


def reforecast(whole: Body, plan: Plan, record: JointRecord, *, cells: Mapping[str, Datum]) -> Mapping[str, Estimate]:
    """Hold and wait of the run whose arc went out last, under its own times and the readings; {} before that."""
    made = made_of(plan, record)
    if not made:
        return {}
    number = made[-1].number
    asked = asked_after(plan, number)
    answers = _hold_and_wait(whole, ring_of(plan), made, posterior_of(whole, plan, record, cells=cells), asked)
    found: dict[str, Estimate] = {}
    for name, answer in zip(("hold_s", "wait_s"), answers, strict=True):
        planned = plan.figures.get(f"runs.{number}.{name}")
        if planned is not None and answer is not None:
            low, value, high = answer
            caveats = (*planned.caveats, "caveat.from_readings")
            found[planned.key] = replace(planned, value=value, low=low, high=high, caveats=caveats)
    return found


def asked_after(plan: Plan, number: int) -> Asked:
    """The limits, the place of the reading, and where the next run lies."""
    following = plan.run(number + 1)
    place = ArcRun(0.0, 1.0, following.from_rad, following.sweep_rad, 0.0) if following else None
    limit, release, reading = (
        plan.figures[f"set_up.{name}"].value for name in ("interpass_max_K", "release_K", "reading_distance_m")
    )
    return Asked(limit, release, reading, place)


def told_holds(whole: Body, plan: Plan, record: JointRecord, *, cells: Mapping[str, Datum]) -> Mapping[int, Estimate]:
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
        hold = reforecast(whole, plan, then, cells=cells).get(f"runs.{run.number}.hold_s")
        if hold is not None:
            told[run.number] = hold
    return told


@lru_cache(maxsize=1024)
def _hold_and_wait(
    whole: Body, ring: Ring, made: tuple[Made, ...], posterior: PowerPosterior, asked: Asked
) -> tuple[Band | None, Band | None]:
    """Low, value and high of both: power by the finite volumes, losses by what they change in Green's answers."""
    heat = answered(whole, made, asked, (posterior.low_1, posterior.value_1, posterior.high_1)).heat
    hold = [_later(a, b) for a, b in zip(_ends(heat.hold_outer_s), _ends(heat.hold_inner_s), strict=True)]
    arcs = tuple(m.arc for m in made)
    losses = (1.0, posterior.loss_low_1, posterior.loss_value_1, posterior.loss_high_1)
    looks = [
        hold_and_wait(
            ring=_lossy(ring, loss), runs=arcs, limit_K=asked.limit_K, release_K=asked.release_K,
            reading_z_m=asked.reading_z_m, next_run=asked.next_run, scales_1=(posterior.value_1,),
        )[0]
        for loss in losses
    ]  # fmt: skip
    return (
        _together(hold, [look[0] for look in looks]),
        _together(_ends(heat.wait_s), [look[1] for look in looks]),
    )


def _ends(band: object) -> list[float | None]:
    return [band.low, band.value, band.high]  # type: ignore[attr-defined]


def _later(one: float | None, other: float | None) -> float | None:
    return None if one is None or other is None else max(one, other)


def _together(power: list[float | None], looks: list[float | None]) -> Band | None:
    """One band from two; None where any end does not come about within the horizon."""
    ends = [*power, *looks]
    if any(x is None for x in ends):
        return None
    low, value, high, plain, slow, middle, fast = (float(x) for x in ends if x is not None)
    if value == 0.0:
        return max(0.0, low), 0.0, high
    shift = middle - plain
    below = math.hypot(value - low, max(0.0, middle - min(slow, fast)))
    above = math.hypot(high - value, max(0.0, max(slow, fast) - middle))
    return max(0.0, value + shift - below), max(0.0, value + shift), max(0.0, value + shift + above)


def _lossy(ring: Ring, factor: float) -> Ring:
    return replace(
        ring, loss_outer_W_m2K=ring.loss_outer_W_m2K * factor, loss_inner_W_m2K=ring.loss_inner_W_m2K * factor
    )


def cooling_of(
    whole: Body, plan: Plan, record: JointRecord, *, run: int, cells: Mapping[str, Datum]
) -> tuple[tuple[float, float, float, float], ...]:
    """(seconds after arc-off, low, value, high) at the probe's place where the arc went off; () before the first arc."""
    made = made_of(plan, record)
    at = next((n for n, one in enumerate(made) if one.number == run), None)
    if at is None:
        return ()
    posterior = posterior_of(whole, plan, record, cells=cells)
    scales = (posterior.low_1, posterior.value_1, posterior.high_1)
    seen = answered(whole, made[: at + 1], asked_after(plan, run), scales).cooling
    ambient = whole.losses.air_K
    rise = seen.probe_K[:, 0] - ambient
    rows = zip(seen.time_s - seen.time_s[0], *(ambient + rise * k for k in scales), strict=True)
    return tuple((float(s), float(a), float(b), float(c)) for s, a, b, c in rows)
