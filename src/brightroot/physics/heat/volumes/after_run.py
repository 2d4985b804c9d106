"""One run on a joint that already holds heat: the arc, then cooling for as long as anything is still asked."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from brightroot.physics.heat.questions import HORIZON_S, Band3, RunHeat
from brightroot.physics.heat.ring import ArcRun
from brightroot.physics.heat.volumes.body import Body, Heated, Probe, Seen, advanced
from brightroot.physics.heat.volumes.schedule import behind_K, hot_length_m, joined, last_below_s

Array = NDArray[np.float64]
Rows = tuple[tuple[float, float], ...]
Scales = tuple[float, float, float]  # for the low end, the value and the high end
FIRST_S = 40.0  # of cooling; each further stretch is half as long again
LONGER_1 = 1.5
GATES = 5  # places along the next run that are read before it
BEGINS_M = 0.02
HISTORY_S = 600.0


@dataclass(frozen=True, eq=False, slots=True)
class AfterRun:
    """The answers, and the states on the way down from arc-off: `at` gives the joint at any moment after it."""

    heat: RunHeat
    states: tuple[Heated, ...]
    cooling: Seen  # from arc-off; the first probe is the reading's place

    def at(self, whole: Body, time_s: float) -> Heated:
        """The joint at a moment after arc-off, from the last state before it."""
        last = [state for state in self.states if state.time_s <= time_s + 1e-9][-1]
        return advanced(whole, last, until_s=time_s)[0]


def after_run(
    *, whole: Body, before: Heated, run: ArcRun, laying: int | None, limit_K: float, release_K: float, reading_z_m: float,
    next_run: ArcRun | None, weld_1: Scales = (1.0, 1.0, 1.0), probe_1: Scales = (1.0, 1.0, 1.0),
) -> AfterRun:  # fmt: skip
    """Everything about one run that starts now.

    `weld_1` scales the rise on the hot weld for low, value and high, `probe_1` at the probe. The wait is until
    the probe's place, all along the next run, is under the limit and stays there; the hold until the hottest metal, outside
    and inside, is under release. What does not come about within four hours is None. Against independent 3-D references:
    within 1 K at one inch and 0.3 s of hold where the wall is full.
    """
    ambient = whole.losses.air_K
    gates = np.linspace(next_run.from_rad, next_run.to_rad, GATES) if next_run else np.array([run.to_rad])
    middle = run.from_rad + run.sweep_rad / 2
    probes = [Probe(run.to_rad, reading_z_m), Probe(middle, 0.0), Probe(middle, 0.0, "inside")]
    probes += [Probe(float(angle), reading_z_m) for angle in gates]
    stopped, during = advanced(
        whole, before, until_s=before.time_s + run.duration_s, arc=run, laying=laying, probes=probes
    )
    states, pieces, long_s = [stopped], [_last(during)], FIRST_S
    limit, release = limit_K - ambient, release_K - ambient

    def settled(seen: Seen) -> bool:
        gate = seen.probe_K[:, 3:].max(axis=1) - ambient
        here = seen.probe_K[:, 0]
        hottest = max(seen.outer_max_K[-1], seen.inner_max_K[-1]) - ambient
        falling = gate[-1] < gate.max() and here[-1] < here.max()
        return bool(hottest * weld_1[2] < release and gate[-1] * probe_1[2] < limit and falling)

    while (past := joined(pieces)) and not settled(past) and past.time_s[-1] - stopped.time_s < HORIZON_S:
        state, seen = advanced(whole, states[-1], until_s=states[-1].time_s + long_s, probes=probes)
        states.append(state)
        pieces.append(seen)
        long_s *= LONGER_1
    histories = _history(during, past, before.time_s, 1), _history(during, past, before.time_s, 2)
    heat = _answers(whole, run, stopped, past, limit_K, release_K, weld_1, probe_1, histories)
    return AfterRun(heat, tuple(states), past)


def rescaled(
    after: AfterRun, *, whole: Body, run: ArcRun, limit_K: float, release_K: float, weld_1: Scales, probe_1: Scales
) -> AfterRun:
    """The same march with its rise scaled otherwise: nothing is marched again. Factors above those that it was marched for may
    find no end where a longer march would."""
    histories = after.heat.face_s_K, after.heat.root_s_K
    heat = _answers(whole, run, after.states[0], after.cooling, limit_K, release_K, weld_1, probe_1, histories)
    return replace(after, heat=heat)


def _answers(
    whole: Body, run: ArcRun, stopped: Heated, past: Seen, limit_K: float, release_K: float, weld_1: Scales, probe_1: Scales,
    histories: tuple[Rows, Rows],
) -> RunHeat:  # fmt: skip
    ambient = whole.losses.air_K
    limit, release = limit_K - ambient, release_K - ambient
    after = past.time_s - stopped.time_s
    here, gate = past.probe_K[:, 0] - ambient, past.probe_K[:, 3:].max(axis=1) - ambient
    peak = int(here.argmax())
    # where the next run will be read, heat may still be on its way; it is waited for where it could reach the limit
    coming = int(gate.argmax()) if gate.max() * probe_1[2] > limit else 0
    outer, inner = past.outer_max_K - ambient, past.inner_max_K - ambient

    def behind(side: str) -> Band3:
        back, value = behind_K(whole, stopped, run, side=side)
        return _band(weld_1, lambda k: hot_length_m(back, (value - ambient) * k, release, begins_m=BEGINS_M))

    return RunHeat(
        reading_at_arc_off_K=_band(probe_1, lambda k: ambient + float(here[0]) * k),
        reading_peak_K=_band(probe_1, lambda k: ambient + float(here[peak]) * k),
        peak_after_s=_peak(float(after[max(peak, coming)])),
        wait_s=_band(probe_1, lambda k: last_below_s(after, gate * k, limit)),
        hold_outer_s=_band(weld_1, lambda k: last_below_s(after, outer * k, release)),
        hold_inner_s=_band(weld_1, lambda k: last_below_s(after, inner * k, release)),
        hot_length_outer_m=behind("outside"),
        hot_length_inner_m=behind("inside"),
        face_s_K=histories[0],
        root_s_K=histories[1],
    )


def _last(seen: Seen) -> Seen:
    return Seen(seen.time_s[-1:], seen.probe_K[-1:], seen.outer_max_K[-1:], seen.inner_max_K[-1:])


def _band(scales: Scales, ask: Callable[[float], float | None]) -> Band3:
    return Band3(*(ask(k) for k in scales))


def _peak(after: float) -> Band3:
    """When the probe peaks does not depend on power; its place and the metal's diffusivity move it by about a quarter."""
    return Band3(after * 0.75, after, after * 1.25 + 1.0)


def _history(during: Seen, past: Seen, start_s: float, probe: int) -> tuple[tuple[float, float], ...]:
    """Temperature at the middle of the run from arc-on until ten minutes after arc-off, for the tint forecast."""
    times = np.concatenate([during.time_s, past.time_s[1:]]) - start_s
    values = np.concatenate([during.probe_K[:, probe], past.probe_K[1:, probe]])
    keep = times <= during.time_s[-1] - start_s + HISTORY_S
    return tuple((float(t), float(v)) for t, v in zip(times[keep], values[keep], strict=True))
