"""What the person at the pipe asks of the heat: how hot at the probe, how long to hold, how long to wait, how long a shield."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import PchipInterpolator

from brightroot.physics.heat.green import rise_dK
from brightroot.physics.heat.ring import ArcRun, Ring

Array = NDArray[np.float64]
HORIZON_S = 14400.0
OLD_S = 20.0  # heat that went in so long ago is old
OLD_LOOKS = 24
ANGLES = 72


@dataclass(frozen=True, slots=True)
class Band3:
    """Low, value, high of one answer; None where it does not come about before the horizon."""

    low: float | None
    value: float | None
    high: float | None


@dataclass(frozen=True, slots=True)
class RunHeat:
    """The answers for one run. Times count from its arc-off. Temperatures in K at the probe's place."""

    reading_at_arc_off_K: Band3
    reading_peak_K: Band3
    peak_after_s: Band3
    wait_s: Band3
    hold_outer_s: Band3
    hold_inner_s: Band3
    hot_length_outer_m: Band3
    hot_length_inner_m: Band3
    face_s_K: tuple[tuple[float, float], ...]  # history of the hottest point of the run, outside and inside
    root_s_K: tuple[tuple[float, float], ...]


@cache
def after_s() -> Array:
    """Seconds after arc-off at which a run is looked at: every half second at first, then ever wider."""
    return np.concatenate([np.arange(0, 20, 0.5), np.arange(20, 100, 2.0), np.geomspace(100, HORIZON_S, 45)])


def after_run(
    *, ring: Ring, runs: Sequence[ArcRun], index: int, limit_K: float, release_K: float, reading_z_m: float,
    next_run: ArcRun | None, low_1: float, high_1: float, probe_low_1: float, probe_high_1: float,
) -> RunHeat:  # fmt: skip
    """Everything about one run, with the heat of all the runs before it.

    `low_1` and `high_1` scale the rise on the hot weld, `probe_low_1` and `probe_high_1` at the probe (whose place is
    uncertain too): the rise is linear in net power, so a range costs nothing. The wait is until the probe's place, all
    along the next run, is under the limit and stays there. The hold is until every part just welded is under release.
    """
    run = runs[index]
    past = list(runs[: index + 1])
    times = after_s() + run.stop_s
    along = np.linspace(run.from_rad, run.to_rad, 13)
    gate = np.linspace(next_run.from_rad, next_run.to_rad, 7) if next_run else np.array([run.to_rad])
    probe = _rise(ring, past, np.concatenate([[run.to_rad], gate]), reading_z_m, "outside", times)
    outer = _rise(ring, past, along, 0.0, "outside", times)
    inner = _rise(ring, past, along, 0.0, "inside", times)
    here, at_gate = probe[:, 0], probe[:, 1:].max(axis=1)
    peak = int(here.argmax())
    scales = (low_1, 1.0, high_1)
    probe_scales = (probe_low_1, 1.0, probe_high_1)
    limit, release = limit_K - ring.ambient_K, release_K - ring.ambient_K
    hottest = outer.max(axis=1), inner.max(axis=1)
    # where the next run will be read, heat may still be on its way; it is waited for where it could reach the limit
    coming = int(at_gate.argmax()) if at_gate.max() * probe_high_1 > limit else 0
    return RunHeat(
        reading_at_arc_off_K=_scaled(float(here[0]), probe_scales, ring.ambient_K),
        reading_peak_K=_scaled(float(here[peak]), probe_scales, ring.ambient_K),
        peak_after_s=_peak(ring, run, float(after_s()[max(peak, coming)])),
        wait_s=Band3(*(_last_above(at_gate * k, limit) for k in probe_scales)),
        hold_outer_s=Band3(*(_last_above(hottest[0] * k, release) for k in scales)),
        hold_inner_s=Band3(*(_last_above(hottest[1] * k, release) for k in scales)),
        hot_length_outer_m=_hot_length(ring, past, run, "outside", release, scales),
        hot_length_inner_m=_hot_length(ring, past, run, "inside", release, scales),
        face_s_K=_history(ring, past, run, "outside"),
        root_s_K=_history(ring, past, run, "inside"),
    )


def hold_and_wait(
    *, ring: Ring, runs: Sequence[ArcRun], limit_K: float, release_K: float, reading_z_m: float,
    next_run: ArcRun | None, scales_1: Sequence[float],
) -> tuple[tuple[float | None, float | None], ...]:  # fmt: skip
    """(hold, wait) after the last of the runs for each factor on their net power; one look at the engine serves all.

    >>> ring = Ring(0.0889, 0.00549, 0.15, 20.0, 2.7e6, 12.0, 8.0, 298.15)
    >>> run = ArcRun(0.0, 33.25, 0.0, 1.0472, 680.0)
    >>> found = hold_and_wait(ring=ring, runs=[run], limit_K=366.45, release_K=533.15, reading_z_m=0.0254, next_run=None,
    ...     scales_1=[1.0])
    >>> [round(x) for x in found[0]]
    [43, 133]
    """
    run = runs[-1]
    times = after_s() + run.stop_s
    gate = np.linspace(next_run.from_rad, next_run.to_rad, 7) if next_run else np.array([run.to_rad])
    probe = _rise(ring, runs, gate, reading_z_m, "outside", times).max(axis=1)
    along = np.linspace(run.from_rad, run.to_rad, 13)
    weld = np.maximum(*(_rise(ring, runs, along, 0.0, side, times).max(axis=1) for side in ("outside", "inside")))
    limit, release = limit_K - ring.ambient_K, release_K - ring.ambient_K
    return tuple((_last_above(weld * k, release), _last_above(probe * k, limit)) for k in scales_1)


def _rise(ring: Ring, runs: Sequence[ArcRun], angles: Array, z_m: float, side: str, times: Array) -> Array:
    """The rise of all runs. Heat that is old at every moment asked changes slowly: it is looked at a few times, and the
    rest lies on a smooth curve between (0.05 K at most, tested)."""
    old = [run for run in runs if run.stop_s < times.min() - OLD_S]
    if not old or times.size < 2 * OLD_LOOKS:
        return rise_dK(ring=ring, runs=runs, theta_rad=angles, z_m=z_m, side=side, time_s=times)
    first, last = float(times.min()), float(times.max())
    looks = first - OLD_S + np.geomspace(OLD_S, last - first + OLD_S, OLD_LOOKS)
    slow = rise_dK(ring=ring, runs=old, theta_rad=angles, z_m=z_m, side=side, time_s=looks)
    fresh = [run for run in runs if run.stop_s >= times.min() - OLD_S]
    quick = rise_dK(ring=ring, runs=fresh, theta_rad=angles, z_m=z_m, side=side, time_s=times)
    return np.asarray(quick + PchipInterpolator(looks, slow, axis=0)(times))


def _scaled(rise: float, scales: tuple[float, float, float], ambient_K: float) -> Band3:
    return Band3(*(ambient_K + rise * k for k in scales))


def _peak(ring: Ring, run: ArcRun, after: float) -> Band3:
    """When the probe peaks does not depend on power; its place and the metal's diffusivity move it by about a quarter."""
    return Band3(after * 0.75, after, after * 1.25 + 1.0)


def _last_above(rise: Array, limit: float) -> float | None:
    """The last moment above the limit, between two looks; 0 if never above, None if still above at the horizon."""
    above = np.flatnonzero(rise > limit)
    if not above.size:
        return 0.0
    last = int(above[-1])
    seconds = after_s()
    if last + 1 >= seconds.size:
        return None
    share = (rise[last] - limit) / (rise[last] - rise[last + 1])
    return float(seconds[last] + share * (seconds[last + 1] - seconds[last]))


def _hot_length(
    ring: Ring, past: Sequence[ArcRun], run: ArcRun, side: str, release: float, scales: tuple[float, float, float]
) -> Band3:
    """Back from the arc, at arc-off, to the first place under release, along the outer face; None: all the way round."""
    behind = np.linspace(0.0, 0.98 * 2 * np.pi, 721)
    sign = 1.0 if run.sweep_rad > 0 else -1.0
    rise = _rise(ring, past, run.to_rad - sign * behind, 0.0, side, np.array([run.stop_s]))[0]
    radius = ring.outer_diameter_m / 2
    answers: list[float | None] = []
    for scale in scales:
        hot = rise * scale > release
        first = int(hot.argmax()) if hot.any() else 0
        if not hot.any() or behind[first] * radius > 0.02:
            answers.append(0.0)
            continue
        cold = np.flatnonzero(~hot[first:])
        if not cold.size:
            answers.append(None)
            continue
        at = first + int(cold[0])
        share = (rise[at - 1] * scale - release) / ((rise[at - 1] - rise[at]) * scale) if at else 0.0
        answers.append(float((behind[at - 1] + share * (behind[at] - behind[at - 1])) * radius) if at else 0.0)
    return Band3(*answers)


def _history(ring: Ring, past: Sequence[ArcRun], run: ArcRun, side: str) -> tuple[tuple[float, float], ...]:
    """Temperature at the middle of the run from arc-on until ten minutes after arc-off, for the tint forecast."""
    middle = np.array([run.from_rad + run.sweep_rad / 2])
    times = np.concatenate([np.linspace(run.start_s, run.stop_s, 25), run.stop_s + after_s()[1:70]])
    rise = _rise(ring, past, middle, 0.0, side, times)[:, 0]
    return tuple((float(t - run.start_s), float(ring.ambient_K + r)) for t, r in zip(times, rise, strict=True))
