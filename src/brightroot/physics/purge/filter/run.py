"""The filter over a whole record: every flow, event and reading in order of time, an answer at each moment asked for."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.random import Generator
from numpy.typing import NDArray

from brightroot.physics.purge.filter import kernels as k
from brightroot.physics.purge.filter import observe, priors
from brightroot.physics.purge.filter.answer import Answer, Quantiles, TargetAnswer, quantiles
from brightroot.physics.purge.filter.inputs import Done, Look, Purge
from brightroot.physics.purge.filter.verdict import causes_of, flags_of, verdict_of

Array = NDArray[np.float64]
PARTICLES = 2000
FORECAST = 1000  # particles that are carried on to the target
HORIZON_1 = 80.0  # volumes ahead after which a target counts as never reached


@dataclass(slots=True)
class _Cloud:
    """The particles as they stand at `at_s`: rows, clocks already passed, and log weights."""

    purge: Purge
    rng: Generator
    rows: Array
    when: Array
    logs: Array
    targets: Array
    at_s: float = 0.0
    flow: float = 0.0
    moved: bool = False
    line_open: bool = False
    last_shown: float | None = None
    seen: list[Look] = field(default_factory=list)


def filtered(
    purge: Purge, *, at_s: Sequence[float] | None = None, seed: int = 0, particles: int = PARTICLES,
    band_s: Sequence[float] = (),
) -> tuple[Answer, ...]:  # fmt: skip
    """An answer at each moment of `at_s` (in any order; without it at the last reading), the record filtered once.

    Only what stands in the record up to a moment speaks in its answer. `band_s` are seconds after each moment at which
    the forecast band is wanted. The same seed gives the same answer.
    """
    asked = list(at_s) if at_s is not None else [purge.looks[-1].at_s if purge.looks else purge.flows[0][0]]
    cloud = _begun(purge, particles, np.random.Generator(np.random.PCG64(seed)))
    todo = sorted(_happenings(purge), key=lambda pair: (pair[0], pair[1]))
    answers: dict[float, Answer] = {}
    position = 0
    for moment in sorted(set(asked)):
        while position < len(todo) and todo[position][0] <= moment:
            _happen(cloud, *todo[position])
            position += 1
        answers[moment] = _answered(cloud, moment, seed, band_s)
    return tuple(answers[moment] for moment in asked)


def _happenings(purge: Purge) -> list[tuple[float, int, int]]:
    """(seconds, what, which): a reading speaks of the moment before a step made at the same second."""
    looks = [(look.at_s, 0, n) for n, look in enumerate(purge.looks)]
    events = [(done.at_s, 1, n) for n, done in enumerate(purge.events)]
    flows = [(began, 2, n) for n, (began, _) in enumerate(purge.flows)]
    return looks + events + flows


def _begun(purge: Purge, particles: int, rng: Generator) -> _Cloud:
    rows = priors.drawn(purge, count=particles, rng=rng)
    targets = np.array(purge.targets_frac, dtype=float)
    when = np.full((particles, 2, len(targets)), np.nan)
    first = min(purge.flows[0][0], purge.looks[0].at_s if purge.looks else purge.flows[0][0])
    return _Cloud(purge, rng, rows, when, np.zeros(particles), targets, at_s=first)


def _march(cloud: _Cloud, until_s: float) -> None:
    if until_s > cloud.at_s:
        k.march(
            cloud.rows, cloud.when, cloud.logs, cloud.targets, cloud.at_s, until_s, cloud.flow, cloud.purge.volume_m3,
            priors.WIDTHS, cloud.rng,
        )  # fmt: skip
        cloud.at_s = until_s


def _happen(cloud: _Cloud, at_s: float, what: int, which: int) -> None:
    _march(cloud, at_s)
    if what == 0:
        _look(cloud, cloud.purge.looks[which])
    elif what == 1:
        _done(cloud, cloud.purge.events[which])
    else:
        _flow(cloud, cloud.purge.flows[which][1])


def _look(cloud: _Cloud, look: Look) -> None:
    cloud.seen.append(look)
    if look.state == "no digits":
        return
    cloud.last_shown = look.oxygen_frac
    if cloud.line_open:
        return
    cloud.logs += observe.log_likelihood(cloud.rows[:, k.SHOWN], look, cloud.purge.monitor)
    weights = observe.normalised(cloud.logs)
    if observe.effective_count(weights) < 0.5 * len(weights):
        copies = observe.chosen(weights, cloud.rng)
        cloud.rows, cloud.when = cloud.rows[copies], cloud.when[copies]
        cloud.logs = np.zeros(len(weights))
        observe.jittered(cloud.rows, priors.WIDTHS[k.STATIC_WALK], cloud.rng)
    else:
        cloud.logs -= cloud.logs.max()


def _done(cloud: _Cloud, done: Done) -> None:
    if done.kind == "sample_line_opened":
        cloud.line_open = True
    elif done.kind == "sample_line_closed":
        cloud.line_open = False
        priors.line_closed(cloud.rows, cloud.last_shown, cloud.rng)
    else:
        priors.event(cloud.rows, done.kind, cloud.purge, cloud.rng)


def _flow(cloud: _Cloud, flow: float) -> None:
    before, cloud.flow = cloud.flow, flow
    if not cloud.moved:
        cloud.moved = flow > 0.0
        return
    if flow == 0.0 and before > 0.0:
        priors.at_stop(cloud.rows, cloud.rng)
    elif flow > 0.0 and before == 0.0:
        priors.after_stop(cloud.rows, cloud.rng)
    elif flow > 0.0 and flow != before:
        priors.flow_step(cloud.rows, flow / before, cloud.rng)


def _answered(cloud: _Cloud, moment: float, seed: int, band_s: Sequence[float]) -> Answer:
    """The answer at a moment that may lie after the last happening; the cloud itself stays where it was."""
    rng = np.random.Generator(np.random.PCG64([seed, len(cloud.seen)]))
    copies = observe.chosen(observe.normalised(cloud.logs), rng)
    if len(copies) > FORECAST:
        copies = copies[:: max(1, len(copies) // FORECAST)]
    rows, when = cloud.rows[copies], cloud.when[copies]
    even = np.full(len(rows), 1.0 / len(rows))
    purge, flow = cloud.purge, cloud.flow
    if moment > cloud.at_s:
        k.march(
            rows,
            when,
            np.zeros(len(rows)),
            cloud.targets,
            cloud.at_s,
            moment,
            flow,
            purge.volume_m3,
            priors.WIDTHS,
            rng,
        )
    ahead, clocks = rows.copy(), when.copy()
    if flow > 0.0:
        k.forecast(ahead, clocks, cloud.targets, moment, flow, purge.volume_m3, HORIZON_1, priors.WIDTHS, rng)
    leak = np.exp(rows[:, k.LN_LEAK] if flow > 0.0 else rows[:, k.LN_LEAK_0])
    floor = rows[:, k.SUPPLY] + leak * k.AIR / flow if flow > 0.0 else rows[:, k.GAS]
    seen = tuple(look for look in cloud.seen if look.at_s <= moment)
    targets = tuple(_target(cloud, n, rows, clocks, seen) for n in range(len(cloud.targets)))
    flags = flags_of(purge, seen, moment)
    return Answer(
        at_s=moment,
        vent_frac=quantiles(rows[:, k.GAS], even),
        root_frac=quantiles(np.minimum(k.AIR, rows[:, k.GAS] * np.exp(rows[:, k.LN_ROOT])), even),
        targets=targets,
        floor_frac=quantiles(floor, even),
        leak_m3_s=quantiles(leak, even),
        verdict=verdict_of(purge, rows, targets, flags, seen, moment, flow),
        causes=causes_of(purge, rows, flow) if flow > 0.0 else (),
        flags=flags,
        argon_m3=purge.argon_m3(moment),
        seed=seed,
        band=_band(rows, purge, moment, flow, band_s, rng),
    )


def _target(cloud: _Cloud, n: int, rows: Array, clocks: Array, seen: Sequence[Look]) -> TargetAnswer:
    target = float(cloud.targets[n])
    read = [look for look in seen if look.state in ("reading", "under range")]
    shows = bool(read) and (read[-1].oxygen_frac is None or read[-1].oxygen_frac < target)
    below = float(np.mean(rows[:, k.GAS] < target))
    if cloud.flow <= 0.0:
        return TargetAnswer(target, 0.0 if below > 0.5 else 1.0, None, None, shows and below > 0.9)
    gas, shown = clocks[:, 0, n], clocks[:, 1, n]
    return TargetAnswer(
        target_frac=target,
        p_never=float(np.mean(np.isnan(gas))),
        gas_reaches_s=_clock(gas),
        monitor_shows_s=_clock(shown),
        reached=shows and below > 0.9,
    )


def _clock(times_s: Array) -> Quantiles | None:
    reached = times_s[~np.isnan(times_s)]
    if len(reached) < 5:
        return None
    return quantiles(reached, np.full(len(reached), 1.0 / len(reached)))


def _band(
    rows: Array, purge: Purge, moment: float, flow: float, band_s: Sequence[float], rng: Generator
) -> tuple[tuple[float, float, float, float], ...]:
    if not len(band_s):
        return ()
    times = moment + np.array(sorted(band_s), dtype=float)
    gas = k.band(rows.copy(), times, moment, flow, purge.volume_m3, priors.WIDTHS, rng)
    low, middle, high = np.quantile(gas, (0.05, 0.5, 0.95), axis=0)
    return tuple((float(t), float(a), float(b), float(c)) for t, a, b, c in zip(times, low, middle, high, strict=True))


def in_order(times_s: Sequence[float]) -> bool:
    """Whether the times never go back."""
    return all(b >= a for a, b in itertools.pairwise(times_s))
