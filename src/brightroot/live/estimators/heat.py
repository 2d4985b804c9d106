"""Hold and wait forecast again from what happened: the arcs as made, and every temperature read so far."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace
from functools import lru_cache

import numpy as np

from brightroot.base.formula import Estimate
from brightroot.base.source import Datum
from brightroot.live.estimators.heat_made import Asked, Made, answered, made_of, ring_of, seen_K
from brightroot.model.plan import Plan
from brightroot.model.record import JointRecord, TemperatureRead
from brightroot.physics.heat.calibrate import LOSSES_1, PowerPosterior, TemperatureSeen, calibrated, modal_rises
from brightroot.physics.heat.modal import left_by, modes, pauses_until_s, rise_dK
from brightroot.physics.heat.reading import infrared_true_K
from brightroot.physics.heat.ring import ArcRun, Ring
from brightroot.physics.heat.volumes.body import Body, Probe

NEWEST = 4  # readings that still speak for the hand as it welds now
LEAST_RISE_DK = 3.0
BELIEVED_1 = (0.4, 1.9)  # of the rise that the engine has; a probe 5 mm out of place makes it 0.7 to 1.4
ALONG, GATES = 13, 7  # places on the run that are asked for the hold, and before the next for the wait
TAIL_1 = 1.645  # standard deviations from the middle to a 90 % range's end
Band = tuple[float, float, float]


def posterior_of(whole: Body, plan: Plan, record: JointRecord, *, cells: Mapping[str, Datum]) -> PowerPosterior:
    """Net power and losses after the newest readings; older ones were made with a hand that has since moved.

    The rise at each reading is the finite volumes' own; the modes of the ring tell how it leans on power, losses and place.
    A reading that no power explains (another place, another moment, a slip) is left out.
    """
    told = tuple(seen for seen in _told(whole, plan, record, cells) if believable(seen, whole.losses.air_K))
    arcs = tuple(m.arc for m in made_of(plan, record))
    efficiency, probe = cells["efficiency_frac"], cells["probe_spread_m"].value
    return _posterior(ring_of(plan), arcs, told, efficiency.value, efficiency.low, efficiency.high, probe)


def _told(
    whole: Body, plan: Plan, record: JointRecord, cells: Mapping[str, Datum]
) -> tuple[TemperatureSeen, ...]:  # fmt: skip
    made, ring, ambient = made_of(plan, record), ring_of(plan), whole.losses.air_K
    seen = (_seen(whole, plan, made, ring, ambient, read, cells) for read in speaking(plan, record))
    return tuple(one for one in seen if one is not None)


def believable(seen: TemperatureSeen, ambient_K: float) -> bool:
    """Whether some power that a torch can have explains a reading, three spreads either way."""
    rise, slack = seen.value_K - ambient_K, 3 * seen.spread_K
    least, most = BELIEVED_1
    return least * seen.rise_dK - slack <= rise <= most * seen.rise_dK + slack


def speaking(plan: Plan, record: JointRecord) -> tuple[TemperatureRead, ...]:
    """The readings that the forecast rests on: the newest, taken after an arc, by a thermometer."""
    made = made_of(plan, record)
    reads = [r for r in record.temperatures if made and r.at_s > made[0].arc.start_s and r.method != "crayon"]
    return tuple(reads[-NEWEST:])


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
    own = modes(ring)
    left = left_by(own, [m.arc for m in past], time_s=read.at_s)
    even = float(rise_dK(own, left, theta_rad=read.at_rad, z_m=z_m)[0, 0])
    rise = seen_K(whole, past, read.at_s, Probe(read.at_rad, z_m, read.side)) - ambient_K
    true = _true(read, ambient_K, cells)
    if min(rise, even) < LEAST_RISE_DK or true is None:
        return None
    return TemperatureSeen(read.at_s, read.at_rad, z_m, read.side, *true, rise / even, rise)


def _true(read: TemperatureRead, ambient_K: float, cells: Mapping[str, Datum]) -> tuple[float, float] | None:
    """What was read, and how far it may be off. Infrared of bright metal is worth what its emissivity is known by, and nothing
    where it shows no more than the air."""
    own = cells["thermometer_spread_dK"].value
    if read.method != "infrared":
        return read.temperature_K, own
    if read.temperature_K - ambient_K < LEAST_RISE_DK:
        return None
    metal, dial = cells["infrared_metal_1"], cells["infrared_set_1"]
    noted = read.emissivity_set_1
    sets = (dial.low, dial.value, dial.high) if noted is None else (noted, noted, noted)

    def true_K(set_1: float, emissivity_1: float) -> float:
        found: float = infrared_true_K(
            reading_K=read.temperature_K, emissivity_set_1=set_1, emissivity_1=emissivity_1, ambient_K=ambient_K
        )
        return found

    middle = true_K(sets[1], metal.value)
    by_metal = (true_K(sets[1], metal.low) - true_K(sets[1], metal.high)) / 2 / TAIL_1
    by_dial = (true_K(sets[2], metal.value) - true_K(sets[0], metal.value)) / 2 / TAIL_1
    return middle, math.hypot(own, by_metal, by_dial)


@lru_cache(maxsize=1024)
def _posterior(
    ring: Ring, arcs: tuple[ArcRun, ...], readings: tuple[TemperatureSeen, ...], efficiency_frac: float, low_frac: float,
    high_frac: float, probe_m: float,
) -> PowerPosterior:  # fmt: skip
    return calibrated(
        ring=ring, runs=arcs, readings=readings, efficiency_frac=efficiency_frac, low_frac=low_frac, high_frac=high_frac,
        probe_m=probe_m, rises=modal_rises(ring, arcs, probe_m),
    )  # fmt: skip


def reforecast(whole: Body, plan: Plan, record: JointRecord, *, cells: Mapping[str, Datum]) -> Mapping[str, Estimate]:
    """Hold and wait of the run whose arc went out last, under its own times and the readings; {} before that."""
    made = made_of(plan, record)
    if not made:
        return {}
    number = made[-1].number
    asked = asked_after(plan, number)
    answers = _hold_and_wait(whole, ring_of(plan), made, posterior_of(whole, plan, record, cells=cells), asked)
    doubts = _doubts(whole, plan, record, cells)
    found: dict[str, Estimate] = {}
    for name, answer in zip(("hold_s", "wait_s"), answers, strict=True):
        planned = plan.figures.get(f"runs.{number}.{name}")
        if planned is not None and answer is not None:
            low, value, high = answer
            caveats = (*planned.caveats, "caveat.from_readings", *doubts)
            found[planned.key] = replace(planned, value=value, low=low, high=high, caveats=caveats)
    return found


def _doubts(whole: Body, plan: Plan, record: JointRecord, cells: Mapping[str, Datum]) -> tuple[str, ...]:
    """What is to be said of the readings that the forecast rests on."""
    infrared = any(read.method == "infrared" for read in speaking(plan, record))
    left_out = not all(believable(seen, whole.losses.air_K) for seen in _told(whole, plan, record, cells))
    return (*(("caveat.infrared",) if infrared else ()), *(("caveat.reading_left_out",) if left_out else ()))


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
    hold_looks, wait_looks = _by_losses(ring, tuple(m.arc for m in made), posterior, asked)
    return _together(hold, hold_looks), _together(_ends(heat.wait_s), wait_looks)


def _by_losses(
    ring: Ring, arcs: tuple[ArcRun, ...], posterior: PowerPosterior, asked: Asked
) -> tuple[list[float | None], list[float | None]]:
    """Hold and wait for the stated, the low, the likely and the high losses, by the modes: what a loss changes, not the figure."""
    run, coming = arcs[-1], asked.next_run
    own = modes(ring, losses_1=LOSSES_1)
    left = left_by(own, arcs, time_s=run.stop_s) * posterior.value_1
    along = np.linspace(run.from_rad, run.to_rad, ALONG)
    gates = np.linspace(coming.from_rad, coming.to_rad, GATES) if coming else np.array([run.to_rad])
    release, limit = asked.release_K - ring.ambient_K, asked.limit_K - ring.ambient_K
    hold = pauses_until_s(own, left, limit_dK=release, theta_rad=along, z_m=0.0)
    wait = pauses_until_s(own, left, limit_dK=limit, theta_rad=gates, z_m=asked.reading_z_m)
    losses = (1.0, posterior.loss_low_1, posterior.loss_value_1, posterior.loss_high_1)
    return [_at_loss(hold, loss) for loss in losses], [_at_loss(wait, loss) for loss in losses]


def _at_loss(pauses: tuple[float | None, ...], loss_1: float) -> float | None:
    """Between the two losses next to it, on a log scale; None where the pause does not end for both."""
    place = float(np.interp(math.log(loss_1), np.log(LOSSES_1), np.arange(len(LOSSES_1))))
    low, high = pauses[math.floor(place + 1e-9)], pauses[math.ceil(place - 1e-9)]
    return None if low is None or high is None else low + (high - low) * (place % 1.0)


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
