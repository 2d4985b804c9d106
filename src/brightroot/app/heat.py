"""The heat of a joint, run by run: as it was made where it was, as planned where it was not. Pictures are made from it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray

from brightroot.app.plan_joint import iron_of
from brightroot.app.ports import Place
from brightroot.app.work_live import Now
from brightroot.base.errors import Refused
from brightroot.base.source import Datum
from brightroot.live.estimators.heat import asked_after, posterior_of
from brightroot.live.estimators.heat_made import Made, answered, made_of
from brightroot.model.plan import Plan
from brightroot.physics.heat.ring import ArcRun
from brightroot.physics.heat.volumes.after_run import AfterRun, Scales
from brightroot.physics.heat.volumes.body import Body, Heated, face_K

Array = NDArray[np.float64]
MOMENTS_S = (
    0.0,
    3.0,
    6.0,
    10.0,
    15.0,
    20.0,
    30.0,
    40.0,
    50.0,
    60.0,
    80.0,
    100.0,
    120.0,
    150.0,
    180.0,
    240.0,
    360.0,
    480.0,
    900.0,
)
MOST_MOMENTS = 14
ALONG_M, LEAST_ALONG_M, ALONG_1 = (
    0.06,
    0.034,
    0.18,
)  # how far along the pipe a map goes: a share of once round, within these


@dataclass(frozen=True, eq=False, slots=True)
class RunSeen:
    """One run's heat: whether it was made, the factors on its rise (low, value, high), and the answers of the march."""

    number: int
    made: bool
    arc: ArcRun
    scales_1: Scales
    after: AfterRun
    body: Body

    def band(self, name: str) -> tuple[float, float, float] | None:
        """Low, value and high of a figure; None where any of them does not come about. The hold is the later of both faces."""
        heat = self.after.heat
        bands = [heat.hold_outer_s, heat.hold_inner_s] if name == "hold_s" else [getattr(heat, name)]
        ends = [[getattr(band, end) for band in bands] for end in ("low", "value", "high")]
        if any(one is None for end in ends for one in end):
            return None
        return max(ends[0]), max(ends[1]), max(ends[2])

    def moments(self) -> tuple[tuple[float, Heated], ...]:
        """The joint from arc-off until nothing is over release any more and the place of the reading has peaked."""
        off = self.after.states[0].time_s
        last = self.after.states[-1].time_s - off
        heat = self.after.heat
        ends = (heat.hold_outer_s.high, heat.hold_inner_s.high, heat.peak_after_s.value)
        until = min(last, max(last if end is None else end for end in ends))
        seconds = [s for s in MOMENTS_S if s <= until]
        later = [s for s in MOMENTS_S if until < s <= last][:1]
        return tuple((s, self.after.at(self.body, off + s)) for s in [*seconds, *later][:MOST_MOMENTS])


@dataclass(frozen=True, slots=True)
class RunRow:
    """One run's figures at their middle; None where they do not come about within four hours."""

    number: int
    pass_name: str
    made: bool
    reading_at_arc_off_K: float | None
    reading_peak_K: float | None
    peak_after_s: float | None
    wait_s: float | None
    hold_s: float | None
    hot_length_outer_m: float | None
    hot_length_inner_m: float | None

    def figures(self) -> tuple[tuple[str, float | None], ...]:
        """Each figure by its name."""
        return tuple((f.name, getattr(self, f.name)) for f in fields(self)[3:])

    def plain(self) -> dict[str, object]:
        """As data."""
        return {f.name: getattr(self, f.name) for f in fields(self)}


def heat_table(place: Place, now: Now) -> tuple[RunRow, ...]:
    """Every run of the plan, as made where it was made."""
    rows = []
    for run in now.plan.runs:
        seen = run_heat(place, now, run.number)
        heat = seen.after.heat
        holds = (heat.hold_outer_s.value, heat.hold_inner_s.value)
        hold = None if None in holds else max(h for h in holds if h is not None)
        rows.append(
            RunRow(
                run.number, run.pass_name, seen.made, heat.reading_at_arc_off_K.value, heat.reading_peak_K.value,
                heat.peak_after_s.value, heat.wait_s.value, hold, heat.hot_length_outer_m.value, heat.hot_length_inner_m.value,
            )
        )  # fmt: skip
    return tuple(rows)


def run_heat(place: Place, now: Now, run: int) -> RunSeen:
    """The heat of one run. Raises Refused for a run that the plan does not have."""
    plan, record = now.plan, now.state.record
    if plan.run(run) is None:
        raise Refused(field="run", wanted=f"a run from 1 to {len(plan.runs)}", got=str(run), reason="refused.range")
    whole = iron_of(place, plan)
    made = made_of(plan, record)
    at = next((n for n, one in enumerate(made) if one.number == run), None)
    if at is not None:
        posterior = posterior_of(whole, plan, record, cells=now.cells)
        scales = (posterior.low_1, posterior.value_1, posterior.high_1)
        chain = made[: at + 1]
    else:
        scales, chain = _planned_scales(plan, run, whole.losses.air_K), planned_until(plan, run, cells=now.cells)
    after = answered(whole, chain, asked_after(plan, run), scales)
    return RunSeen(run, at is not None, chain[-1].arc, scales, after, whole)


def planned_until(plan: Plan, run: int, *, cells: Mapping[str, Datum]) -> tuple[Made, ...]:
    """The planned runs up to one, each after hold, moving and wait of the one before."""
    chain: list[Made] = []
    start = 0.0
    for one in plan.runs:
        figure = plan.figures
        seconds = figure[f"runs.{one.number}.arc_time_s"].value
        power = figure[f"passes.{one.pass_number}.net_power_W"].value
        arc = ArcRun(start, seconds, one.from_rad, one.sweep_rad, power)
        chain.append(Made(one.number, one.pass_number - 1, arc))
        if one.number == run:
            break
        pause = [0.0, 0.0]
        for n, name in enumerate(("hold_s", "wait_s")):
            found = figure.get(f"runs.{one.number}.{name}")
            pause[n] = found.value if found else 0.0
        start = arc.stop_s + max(pause[0] + cells["move_s"].value, pause[1])
    return tuple(chain)


def _planned_scales(plan: Plan, run: int, ambient_K: float) -> Scales:
    """The plan's own range at the probe, as factors on the rise."""
    peak = plan.figures.get(f"runs.{run}.reading_peak_K")
    if peak is None:
        return (1.0, 1.0, 1.0)
    rise = max(peak.value - ambient_K, 1.0)
    return (peak.low - ambient_K) / rise, 1.0, (peak.high - ambient_K) / rise


def face_of_joint(seen: RunSeen, state: Heated, *, side: str = "outside") -> tuple[Array, Array, Array]:
    """Places along the pipe in metres, angles in radians, and kelvin there (places × angles), about the weld."""
    edges, face = face_K(seen.body, state, side=side)
    cut = seen.body.section
    reach = min(ALONG_M, max(LEAST_ALONG_M, ALONG_1 * 2 * np.pi * seen.body.radius_m))
    near = np.abs(cut.z_m) <= reach
    along, values = cut.z_m[near], face[near]
    if cut.mirrored:
        along, values = np.concatenate([-along[::-1], along]), np.concatenate([values[::-1], values])
    ambient = seen.body.losses.air_K
    middle = (edges[1:] + edges[:-1]) / 2
    return along, middle, ambient + (values - ambient) * seen.scales_1[1]
