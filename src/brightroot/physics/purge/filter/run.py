"""The filter over a whole record: every flow, event and reading in order of time, an answer at each moment asked for."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.random import Generator
from numpy.typing import NDArray

from brightroot.physics.purge.filter import kernels as k
from brightroot.physics.purge.filter import observe, priors
from brightroot.physics.purge.filter.answer import Answer, Quantiles, TargetAnswer, quantiles
from brightroot.physics.purge.filter.beliefs import BELIEFS
from brightroot.physics.purge.filter.cloud import Cloud, begun, flow_changed, happened, looked, marched
from brightroot.physics.purge.filter.inputs import Look, Purge
from brightroot.physics.purge.filter.verdict import Standing, causes_of, flags_of, verdict_of

Array = NDArray[np.float64]
PARTICLES = 8000
FORECAST = 1000  # particles that are carried on to the target
SURE = 0.9  # share of the particles below a target before it counts as reached


def filtered(
    purge: Purge, *, at_s: Sequence[float] | None = None, seed: int = 0, particles: int = PARTICLES,
    band_s: Sequence[float] = (),
) -> tuple[Answer, ...]:  # fmt: skip
    """An answer at each moment of `at_s` (in any order; without it at the last reading), the record filtered once.

    Only what stands in the record up to a moment speaks in its answer. `band_s` are seconds after each moment at which
    the forecast band is wanted. The same seed gives the same answer.
    """
    asked = list(at_s) if at_s is not None else [purge.looks[-1].at_s if purge.looks else purge.flows[0][0]]
    cloud = begun(purge, particles=particles, seed=seed)
    todo = sorted(_happenings(purge))
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


def _happen(cloud: Cloud, at_s: float, what: int, which: int) -> None:
    marched(cloud, at_s)
    if what == 0:
        looked(cloud, cloud.purge.looks[which])
    elif what == 1:
        happened(cloud, cloud.purge.events[which])
    else:
        flow_changed(cloud, cloud.purge.flows[which][1])


def _answered(cloud: Cloud, moment: float, seed: int, band_s: Sequence[float]) -> Answer:
    """The answer at a moment that may lie after the last happening; the cloud itself stays where it was."""
    rng = np.random.Generator(np.random.PCG64([seed, len(cloud.seen)]))
    copies = observe.chosen(observe.normalised(cloud.logs), rng)
    if len(copies) > FORECAST:
        copies = copies[:: max(1, len(copies) // FORECAST)]
    rows, when = cloud.rows[copies], cloud.when[copies]
    purge, flow, even = cloud.purge, cloud.flow, np.full(len(rows), 1.0 / len(rows))
    if moment > cloud.at_s:
        none = np.zeros(len(rows))
        k.march(rows, when, none, cloud.targets, cloud.at_s, moment, flow, purge.volume_m3, cloud.widths, rng)
        even = observe.normalised(none)
    clocks = when.copy()
    if flow > 0.0:
        k.forecast(rows.copy(), clocks, cloud.targets, moment, flow, purge.volume_m3, cloud.widths, rng)
    _loosened(clocks, purge, flow, rng)
    leak = np.exp(rows[:, k.LN_LEAK] if flow > 0.0 else rows[:, k.LN_LEAK_0])
    floor = rows[:, k.SUPPLY] + leak * k.AIR / flow if flow > 0.0 else rows[:, k.GAS]
    targets = tuple(_target(cloud, n, rows, clocks, even) for n in range(len(cloud.targets)))
    standing = Standing(purge, rows, even, targets, tuple(cloud.seen), cloud.odd, moment, flow, cloud.line_open)
    return Answer(
        at_s=moment,
        vent_frac=quantiles(rows[:, k.GAS], even),
        root_frac=quantiles(_root(rows, moment, flow, rng), even),
        targets=targets,
        floor_frac=quantiles(floor, even),
        leak_m3_s=quantiles(leak, even),
        verdict=verdict_of(standing),
        causes=causes_of(standing),
        flags=flags_of(standing),
        argon_m3=purge.argon_m3(moment),
        seed=seed,
        band=_band(rows, purge, moment, flow, band_s, rng),
    )


def _loosened(clocks: Array, purge: Purge, flow: float, rng: Generator) -> None:
    """Spread that the particles lose when few of them are copied: of lag and delay, and a little of the stream."""
    lag_s = purge.monitor.lag_s + purge.monitor.delay_s
    volume_s = purge.volume_m3 / flow if flow > 0.0 else 0.0
    for clock, share in ((0, BELIEFS.clock_lag), (1, BELIEFS.clock_lag / 2)):
        sd_s = np.hypot(share * lag_s, BELIEFS.clock_volume * volume_s)
        clocks[:, clock] += sd_s * rng.standard_normal((len(clocks), 1))


def _root(rows: Array, at_s: float, flow: float, rng: Generator) -> Array:
    """The gas at the root, of which the vent tells little: what leaks in is near it, and the front has been there first."""
    b, gas = BELIEFS, rows[:, k.GAS]
    if flow <= 0.0:
        still: Array = gas * np.exp(b.root_still_sd * rng.standard_normal(len(rows)))
        return np.minimum(k.AIR, still)
    out = np.exp(rows[:, k.LN_OUTGAS]) / (1.0 + at_s / rows[:, k.OUT_TIME])
    leak, rest = np.exp(rows[:, k.LN_LEAK]) * k.AIR / flow, rows[:, k.SUPPLY] + out * k.AIR / flow
    z = rng.standard_normal(len(rows))
    ahead = b.root_ahead * np.exp(np.where(z < 0, b.root_ahead_low, b.root_ahead_high) * z)
    near = b.root_leak * np.exp(b.root_leak_sd * rows[:, k.LN_ROOT])
    settled = np.minimum(1.0, gas / (rest + leak)) * (rest + leak * near)
    root: Array = settled + np.maximum(0.0, gas - rest - leak) * ahead
    return np.minimum(k.AIR, root)


def _target(cloud: Cloud, n: int, rows: Array, clocks: Array, even: Array) -> TargetAnswer:
    target = float(cloud.targets[n])
    below = float(np.sum(even[rows[:, k.GAS] < target]))
    reached = _shown_below(cloud.seen, target) and below > SURE
    if cloud.flow <= 0.0:
        return TargetAnswer(target, 1.0 - below, None, None, reached)
    gas, shown = clocks[:, 0, n], clocks[:, 1, n]
    never = float(np.sum(even[np.isnan(gas)]))
    return TargetAnswer(target, never, _clock(gas, even), _clock(shown, even), reached)


def _shown_below(seen: Sequence[Look], target: float) -> bool:
    """Whether the last number on the monitor is under the target."""
    read = [look for look in seen if look.state != "no digits"]
    if not read or read[-1].state == "over range":
        return False
    return read[-1].oxygen_frac is None or read[-1].oxygen_frac < target


def _clock(times_s: Array, even: Array) -> Quantiles | None:
    reached = ~np.isnan(times_s)
    if reached.sum() < 5:
        return None
    return quantiles(times_s[reached], even[reached])


def _band(
    rows: Array, purge: Purge, moment: float, flow: float, band_s: Sequence[float], rng: Generator
) -> tuple[tuple[float, float, float, float], ...]:
    if not len(band_s):
        return ()
    times = moment + np.array(sorted(band_s), dtype=float)
    when, targets = np.full((len(rows), 2, 1), np.nan), np.array([1.0])
    gas = k.band(rows.copy(), when, targets, times, moment, flow, purge.volume_m3, priors.widths(purge), rng)
    low, middle, high = np.quantile(gas, (0.05, 0.5, 0.95), axis=0)
    return tuple((float(t), float(a), float(b), float(c)) for t, a, b, c in zip(times, low, middle, high, strict=True))
