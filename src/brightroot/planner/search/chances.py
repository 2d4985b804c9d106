"""How sure a found plan is: time and gas at P10, P50 and P90, and how often each limit holds if the clock alone were followed.

Seeded draws of arc efficiency, losses, gap and travel speed, each run again on the modal heat. With the thermometer as the gate a
hot draw only takes longer; by the clock alone it would break the limit, and how often is told.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from brightroot.base.formula import Known
from brightroot.planner.choose import family_cells
from brightroot.planner.search.heat import HORIZON_S, State, Tables, nothing_yet, tables, turned
from brightroot.planner.search.task import Found, Task
from brightroot.planner.search.tasks import Setting

LOSSES = 5  # kinds of loss that draws are sorted into
RUNS = 2500  # that all draws together may take
MOST_DRAWS, LEAST_DRAWS = 300, 40
GAP_SPREAD_M = 0.0003  # of a gap between its measured points, one standard deviation: common practice, no source
PERCENTS = (10.0, 50.0, 90.0)
Band = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class Chances:
    """Bands of time and argon, and the share of draws in which each limit holds on the plan's own clock."""

    time_s: Band
    argon_m3: Band
    holds: Mapping[str, float]
    draws: int


@dataclass(frozen=True, slots=True)
class _Draw:
    power_1: float
    speed_1: float
    loss: int
    gap_m: float


def chances(setting: Setting, found: Found, *, seed: int = 1) -> Chances:
    """The bands. The same seed gives the same ones."""
    cells = family_cells(setting.joint, setting.library)
    draw = np.random.Generator(np.random.Philox(seed))
    count = int(np.clip(RUNS // max(len(found.runs), 1), LEAST_DRAWS, MOST_DRAWS))
    losses = np.linspace(0.5, 1.6, LOSSES)
    rings = [
        tables(
            replace(
                setting.task.ring, loss_outer_W_m2K=setting.task.ring.loss_outer_W_m2K * float(k),
                loss_inner_W_m2K=setting.task.ring.loss_inner_W_m2K * float(k),
            ),
            setting.task.limits.reading_m,
        )
        for k in losses
    ]  # fmt: skip
    rows = []
    for _ in range(count):
        one = _Draw(
            _within(draw, cells["efficiency_frac"]) / cells["efficiency_frac"].value,
            _within(draw, cells["travel_spread_1"]),
            int(draw.integers(LOSSES)),
            float(draw.normal(0.0, GAP_SPREAD_M)),
        )
        rows.append(_followed(setting, found, one, rings[one.loss]))
    table = np.array(rows)
    task = setting.task
    held: dict[str, float] = {}
    if task.limits.interpass_K is not None:
        held["interpass"] = float((table[:, 2] <= task.limits.interpass_K + 1e-6).mean())
    if task.limits.hot_length_m is not None:
        held["hot_length"] = float((table[:, 3] <= task.limits.hot_length_m + 1e-9).mean())
    held["hold"] = float((table[:, 4] <= 0.5).mean())
    limit = setting.joint.procedure.heat_input_max_J_m
    if limit is not None:
        held["heat_input"] = float((table[:, 5] <= limit.value * (1 + 1e-9)).mean())
    return Chances(_band(table[:, 0]), _band(table[:, 1]), held, count)


def _within(draw: np.random.Generator, known: Known) -> float:
    return float(draw.triangular(known.low, known.value, known.high)) if known.high > known.low else known.value


def _band(values: np.ndarray) -> Band:
    low, middle, high = np.percentile(values, PERCENTS)
    return float(low), float(middle), float(high)


def _followed(setting: Setting, found: Found, one: _Draw, t: Tables) -> tuple[float, ...]:
    """Time and argon with the thermometer as the gate; hottest strike, longest hot length, latest hold by the clock; heat input."""
    gated = _marched(setting, found, one, t, by_clock=False)
    clock = _marched(setting, found, one, t, by_clock=True)
    return gated[0], gated[1], clock[2], clock[3], clock[4], clock[5]


def _marched(setting: Setting, found: Found, one: _Draw, t: Tables, *, by_clock: bool) -> tuple[float, ...]:
    from brightroot.planner.search import kernel

    task, hands = setting.task, setting.task.hands
    air, radius = task.ring.ambient_K, task.ring.outer_diameter_m / 2
    release = task.limits.release_K - air
    state: State = nothing_yet(task.ring)
    clock = shielded = hold = hottest = longest = late = input_J_m = 0.0
    for number, run in enumerate(found.runs):
        way = task.layers[run.layer].ways[run.way]
        stretch = way.stretches[run.stretch]
        slow = (
            1.0 + one.gap_m / setting.joint.groove.gap_m.value
            if run.layer == 0 and setting.joint.groove.gap_m.value
            else 1.0
        )
        duration = run.duration_s * max(slow, 0.5) / one.speed_1
        gates = _gates(task, t, run.layer, run.way, run.stretch)
        pause = run.pause_s
        if number and not by_clock:
            least = hold + max(run.least_pause_s - found.runs[number - 1].hold_s, 0.0)
            pause = least
            if task.limits.interpass_K is not None:
                limit = task.limits.interpass_K - air
                of, wanted = np.array([0, gates.shape[0]]), np.array([0])
                cool = float(
                    kernel.until_under(
                        state, least, HORIZON_S, limit, gates, of, wanted, t.wave, t.rate, t.loss, t.probe
                    )[0]
                )
                pause = cool if cool >= 0 else HORIZON_S
        if number:
            hottest = max(
                hottest, air + float(kernel.rises(state, pause, gates, t.wave, t.rate, t.loss, t.probe).max())
            )
        power = way.power_W * one.power_1
        state = _with(t, state, pause, duration, stretch.from_rad, stretch.sweep_rad, power)
        turn = 1.0 if stretch.sweep_rad > 0 else -1.0
        end = stretch.from_rad + stretch.sweep_rad
        if by_clock:
            longest = max(
                longest, float(kernel.hot_length(state, end, turn, radius, release, t.wave, t.rate, t.loss, t.weld))
            )
        along = turned(t.own, np.linspace(stretch.from_rad, end, 5))
        hold = float(kernel.hold(state, along, release, HORIZON_S, t.wave, t.rate, t.loss, t.weld))
        hold = HORIZON_S if hold < 0 else hold
        late = max(late, hold - run.hold_s)
        input_J_m = max(input_J_m, power * duration / (abs(stretch.sweep_rad) * radius))
        clock += pause + duration
        shielded += duration + (run.hold_s if by_clock else hold)
    whole = clock + hold
    argon = hands.before_m3 + hands.shielded_m3_s * shielded + hands.backing_m3_s * whole
    return hands.before_s + whole, argon, hottest, longest, late, input_J_m


def _gates(task: Task, t: Tables, layer: int, way: int, stretch: int) -> np.ndarray:
    there = task.layers[layer].ways[way].stretches[stretch]
    return turned(t.own, np.linspace(there.from_rad, there.from_rad + there.sweep_rad, 5))


def _with(
    t: Tables, state: State, pause_s: float, duration_s: float, from_rad: float, sweep_rad: float, power_W: float
) -> State:
    from brightroot.physics.heat.modal import cold, with_run
    from brightroot.physics.heat.ring import ArcRun
    from brightroot.planner.search import kernel

    gain = with_run(t.own, cold(t.own), ArcRun(0.0, duration_s, from_rad, sweep_rad, 1.0))[0]
    return np.asarray(
        kernel.after(state, pause_s + duration_s, power_W, np.ascontiguousarray(gain), t.wave, t.rate, t.loss)
    )
