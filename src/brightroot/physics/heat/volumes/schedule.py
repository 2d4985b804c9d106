"""A whole schedule of runs marched through: what the probes saw, how hot the faces were, and how much was hot behind each arc."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import CubicSpline, PchipInterpolator

from brightroot.base.errors import Refused
from brightroot.physics.heat.ring import ArcRun
from brightroot.physics.heat.volumes.body import Body, Heated, Probe, Seen, advanced, at_rest, weld_K

Array = NDArray[np.float64]
ROUND_1 = 0.98  # of the way round that is looked along behind the arc
LOOKS = 1440
Progress = Callable[[float, float], None]


@dataclass(frozen=True, eq=False, slots=True)
class History:
    """Every step of a schedule, the state at its end, and the state at each arc-off."""

    seen: Seen
    end: Heated
    stops: tuple[Heated, ...]


def marched(
    whole: Body, *, runs: Sequence[ArcRun], until_s: float, probes: Sequence[Probe] = (),
    laying: Sequence[int | None] | None = None, progress: Progress = lambda done_s, of_s: None,
) -> History:  # fmt: skip
    """March from rest through every run and pause. `progress` hears seconds done, of all; raising in it stops the march.

    Raises Refused for runs that overlap or end after `until_s`.
    """
    state = at_rest(whole)
    pieces: list[Seen] = []
    stops: list[Heated] = []
    for n, run in enumerate(runs):
        if run.start_s < state.time_s - 1e-6:
            raise Refused(
                field=f"runs[{n}].start_s", wanted=f"no earlier than the arc-off before, {state.time_s:g} s",
                got=f"{run.start_s:g} s",
            )  # fmt: skip
        if run.start_s > state.time_s + 1e-9:
            state, seen = advanced(whole, state, until_s=run.start_s, probes=probes)
            pieces.append(seen)
        state, seen = advanced(
            whole, state, until_s=run.stop_s, arc=run, laying=laying[n] if laying else None, probes=probes
        )
        pieces.append(seen)
        stops.append(state)
        progress(state.time_s, until_s)
    if until_s < state.time_s - 1e-6:
        raise Refused(
            field="until_s", wanted=f"no earlier than the last arc-off, {state.time_s:g} s", got=f"{until_s:g} s"
        )
    if until_s > state.time_s + 1e-9:
        state, seen = advanced(whole, state, until_s=until_s, probes=probes)
        pieces.append(seen)
        progress(until_s, until_s)
    start = whole.start_K
    first = Seen(np.zeros(1), np.full((1, len(probes)), start), np.full(1, start), np.full(1, start))
    return History(joined([first, *pieces]), state, tuple(stops))


def joined(pieces: Sequence[Seen]) -> Seen:
    """Looks one after another."""
    return Seen(
        np.concatenate([p.time_s for p in pieces]), np.concatenate([p.probe_K for p in pieces]),
        np.concatenate([p.outer_max_K for p in pieces]), np.concatenate([p.inner_max_K for p in pieces]),
    )  # fmt: skip


def at_times(time_s: Array, value: Array, wanted_s: Array, *, breaks_s: Sequence[float] = ()) -> Array:
    """Values between steps on a smooth curve that never leaves its neighbours, broken where an arc goes on or off."""
    cuts = [time_s[0], *(b for b in breaks_s if time_s[0] < b < time_s[-1]), time_s[-1]]
    found = np.empty((wanted_s.size, *value.shape[1:]))
    for low, high in itertools.pairwise(cuts):
        inside = (time_s >= low - 1e-9) & (time_s <= high + 1e-9)
        asked = (wanted_s >= low - 1e-9) & (wanted_s <= high + 1e-9)
        if not asked.any():
            continue
        steps, rows = time_s[inside], value[inside]
        if steps.size > 2:
            found[asked] = PchipInterpolator(steps, rows, axis=0)(np.clip(wanted_s[asked], steps[0], steps[-1]))
        else:
            flat = rows.reshape(steps.size, -1)
            parts = [np.interp(wanted_s[asked], steps, column) for column in flat.T]
            found[asked] = np.stack(parts, axis=1).reshape(-1, *value.shape[1:]) if parts else 0.0
    return found


def last_below_s(time_s: Array, value_K: Array, limit_K: float) -> float | None:
    """The last moment above the limit; the first moment if never above, None if still above at the end.

    >>> last_below_s(np.array([0.0, 1.0, 2.0, 3.0]), np.array([400.0, 350.0, 250.0, 260.0]), 300.0)
    1.5
    """
    above = np.flatnonzero(value_K > limit_K)
    if not above.size:
        return float(time_s[0])
    last = int(above[-1])
    if last + 1 == value_K.size:
        return None
    near = slice(max(0, last - 1), min(value_K.size, last + 3))
    steps, values = time_s[near], value_K[near]
    if np.all(np.diff(values) < 0):  # the curve through the steps about it, asked for its time
        return float(PchipInterpolator(values[::-1], steps[::-1])(limit_K))
    share = (value_K[last] - limit_K) / (value_K[last] - value_K[last + 1])
    return float(time_s[last] + share * (time_s[last + 1] - time_s[last]))


def behind_K(whole: Body, heated: Heated, run: ArcRun, *, side: str) -> tuple[Array, Array]:
    """Metres behind the arc along the outer face, and temperatures on the weld plane there, most of the way round."""
    edges, cells = weld_K(whole, heated, side=side)
    around = np.concatenate([edges[:-1] - 2 * math.pi, edges[:-1], edges + 2 * math.pi])
    three = np.concatenate([cells, cells, cells])
    # the slope of the running integral is right for averages
    integral = np.concatenate([[0.0], np.cumsum(three * np.diff(around))])
    back = np.linspace(0.0, ROUND_1 * 2 * math.pi, LOOKS + 1)
    angles = (run.to_rad - math.copysign(1.0, run.sweep_rad) * back) % (2 * math.pi)
    return back * whole.radius_m, np.asarray(CubicSpline(around, integral).derivative()(angles))


def hot_length_m(back_m: Array, value_K: Array, release_K: float, *, begins_m: float = math.inf) -> float | None:
    """From the arc back to where the hottest place's zone ends; 0 where nothing is hot that begins by `begins_m`, None all round.

    >>> hot_length_m(np.array([0.0, 0.01, 0.02]), np.array([900.0, 700.0, 500.0]), 600.0)
    0.015
    """
    hot = np.flatnonzero(value_K > release_K)
    if not hot.size or back_m[hot[0]] > begins_m:
        return 0.0
    hottest = int(value_K.argmax()) if math.isinf(begins_m) else int(hot[0])
    cold = np.flatnonzero(value_K[hottest:] <= release_K)
    if not cold.size:
        return None
    at = hottest + int(cold[0])
    share = (value_K[at - 1] - release_K) / (value_K[at - 1] - value_K[at])
    return float(back_m[at - 1] + share * (back_m[at] - back_m[at - 1]))
