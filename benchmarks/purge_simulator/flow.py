"""One purge in two dimensions: from a set-up with its faults to the oxygen at the vent and at the root, second by second."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from benchmarks.purge_simulator.bore import GRAVITY_M_S2, Bore, Branch, bore

Floats = NDArray[np.float64]
AIR_PPM = 209_460.0
ARGON_KG_M3, AIR_KG_M3 = 1.6618, 1.2046  # 20 °C, 101,325 Pa
LIFT = (ARGON_KG_M3 - AIR_KG_M3) / (0.5 * (ARGON_KG_M3 + AIR_KG_M3))
DIFFUSIVITY_M2_S, VISCOSITY_M2_S = 1.90e-5, 1.40e-5
L_MIN, ML_MIN = 1e-3 / 60, 1e-6 / 60
LONGEST_STEP_S, STILL_1 = 0.25, 2e-3


@dataclass(frozen=True)
class Place:
    """Where gas comes in or goes out: the share of the length, and low, middle or high."""

    at_1: float
    height: str


@dataclass(frozen=True)
class Truth:
    """Everything about a purge that the program is not told, and the set-up that it is."""

    diameter_m: float
    length_m: float
    feed: Place
    vent: Place
    vent_bore_m: float = 0.010
    vertical: bool = False
    second_diameter_m: float | None = None
    branch: Branch | None = None
    flows_L_min: tuple[tuple[float, float], ...] = ((0.0, 10.0),)
    supply_ppm: tuple[tuple[float, float], ...] = ((0.0, 3.0),)
    leaks_mL_min: tuple[tuple[float, float], ...] = ((0.0, 0.0),)
    leak_height: str = "round"  # or low, middle, high: one place of the gap
    still_leak_1: float = 3.0  # the leak at no flow over the leak at full flow
    still_flow_L_min: float = 1.5
    gap_at_1: float = 0.5
    gap_shares_1: tuple[tuple[float, float], ...] = ((0.0, 0.1),)  # of all that goes out, what leaves by the weld gap
    outgas_mL_min: float = 0.3
    outgas_s: float = 60.0
    diffuser_1: float = 0.3
    jet_m_s: float = 0.0
    eddy_m2_s: float = 3e-5
    breaths: tuple[tuple[float, float], ...] = ()  # (seconds, share of the pipe at its vent end refilled with air)
    end_s: int = 900
    columns: int = 40
    rows: int = 12
    start_ppm: float = AIR_PPM
    lift_1: float = LIFT


@dataclass(frozen=True)
class Course:
    """Oxygen second by second from 0 to the end: leaving at the vent, over the height at the root, and over all the pipe."""

    vent_ppm: Floats
    root_ppm: Floats
    mean_ppm: Floats
    steps: int
    missed_1: float  # oxygen unaccounted for, as a share of all there was and came in


def run(truth: Truth, *, air_1: Floats | None = None) -> Course:
    """The whole purge. Nothing in it is random: what is, was drawn into `truth`.

    `air_1` is how much of each cell is air at the start, where that is not the same everywhere.
    """
    from benchmarks.purge_simulator import compiled

    grid = bore(
        diameter_m=truth.diameter_m,
        length_m=truth.length_m,
        columns=truth.columns,
        rows=truth.rows,
        second_diameter_m=truth.second_diameter_m,
        branch=truth.branch,
    )
    march: Any = compiled.march
    shape = (grid.volume_m3, grid.width_m, grid.along_m2, grid.across_m2, grid.dx_m, grid.dz_m)
    factor = compiled.factored(grid.volume_m3, grid.along_m2, grid.across_m2, grid.dx_m, grid.dz_m)
    c = np.where(grid.volume_m3 > 0, truth.start_ppm * 1e-6 if air_1 is None else AIR_PPM * 1e-6 * air_1, 0.0)
    u, w = np.zeros_like(grid.along_m2), np.zeros_like(grid.across_m2)
    feed, jet = _fed(grid, truth)
    vent, root, gap = _vented(grid, truth), _at_root(grid, truth), _gap(grid, truth)
    leak, wall = _leak(grid, truth), grid.wall_m2 / float(grid.wall_m2.sum())
    lift = GRAVITY_M_S2 * truth.lift_1 / (AIR_PPM * 1e-6)
    mixing = (DIFFUSIVITY_M2_S + truth.eddy_m2_s, VISCOSITY_M2_S + truth.eddy_m2_s)
    lifts = (lift, 0.0) if truth.vertical else (0.0, lift)
    outgas = (wall, truth.outgas_mL_min * ML_MIN * AIR_PPM * 1e-6, truth.outgas_s)
    series, tally, steps = np.zeros((truth.end_s + 1, 3)), np.zeros(2), 0
    before_L = float((c * grid.volume_m3).sum()) * 1e3
    for begin, end in itertools.pairwise(_moments(truth)):
        before_L += _breathe(c, grid, truth, begin)
        source, rich, sink = _streams(truth, begin, feed=feed, leak=leak, vent=vent, gap=gap)
        push = jet * _now(truth.flows_L_min, begin) * L_MIN
        steps += march(
            begin, end, c, u, w, *shape, *mixing, *lifts, push, source, rich, sink, *outgas, vent, root,
            *factor, LONGEST_STEP_S, STILL_1, series, tally,
        )  # fmt: skip
    left_L = float((c * grid.volume_m3).sum()) * 1e3
    missed = (before_L + (tally[0] - tally[1]) * 1e3 - left_L) / (before_L + tally[0] * 1e3)
    vent_ppm, root_ppm, mean_ppm = (np.asarray(row) for row in series.T * 1e6)
    return Course(vent_ppm, root_ppm, mean_ppm, steps, float(missed))


def _streams(truth: Truth, at_s: float, *, feed: Floats, leak: Floats, vent: Floats, gap: Floats) -> tuple[Floats, ...]:
    """Gas let into each cell, the oxygen in it, and gas let out of each cell, m3/s, from that moment on."""
    flow, air = _now(truth.flows_L_min, at_s) * L_MIN, leak_mL_min(truth, at_s) * ML_MIN
    share = _now(truth.gap_shares_1, at_s) if flow > 0 else 0.0
    rich = flow * feed * _now(truth.supply_ppm, at_s) * 1e-6 + air * leak * AIR_PPM * 1e-6
    return flow * feed + air * leak, rich, (flow + air) * ((1 - share) * vent + share * gap)


def leak_mL_min(truth: Truth, at_s: float) -> float:
    """Air let in at that moment: the less the gas inside pushes against it, the more."""
    own, flow = _now(truth.leaks_mL_min, at_s), _now(truth.flows_L_min, at_s)
    return own * (1 + (truth.still_leak_1 - 1) * math.exp(-flow / truth.still_flow_L_min))


def _moments(truth: Truth) -> list[int]:
    """The whole seconds at which something changes."""
    given = (truth.flows_L_min, truth.supply_ppm, truth.leaks_mL_min, truth.gap_shares_1, truth.breaths)
    found = {round(at_s) for rows in given for at_s, _ in rows}
    return sorted({at_s for at_s in found if 0 <= at_s < truth.end_s} | {0, truth.end_s})


def _now(rows: Sequence[tuple[float, float]], at_s: float) -> float:
    return next((value for began, value in reversed(rows) if began <= at_s + 1e-9), 0.0)


def _height(grid: Bore, column: int, height: str, count: int) -> slice:
    first, last = (int(k) for k in grid.rows[column])
    count = min(count, last - first)
    if height == "low":
        return slice(first, first + count)
    if height == "high":
        return slice(last - count, last)
    middle = (first + last - count) // 2
    return slice(middle, middle + count)


def _column(grid: Bore, at_1: float) -> int:
    return min(len(grid.rows) - 1, max(0, int(at_1 * len(grid.rows))))


def _fed(grid: Bore, truth: Truth) -> tuple[Floats, Floats]:
    """The share of the flow that each cell gets, and the push of the jet on each face per flow."""
    column = _column(grid, truth.feed.at_1)
    count = max(1, round(truth.diffuser_1 * (grid.rows[column, 1] - grid.rows[column, 0])))
    rows = _height(grid, column, truth.feed.height, count)
    feed = np.zeros_like(grid.volume_m3)
    feed[column, rows] = grid.volume_m3[column, rows]
    feed /= float(feed.sum())
    jet = np.zeros_like(grid.along_m2)
    way = 1 if truth.feed.at_1 < 0.5 else -1
    faces = [column + 1, column + 2] if way > 0 else [column, column - 1]
    area = grid.along_m2[faces][:, rows]
    jet[np.ix_(faces, range(rows.start, rows.stop))] = np.where(area > 0, way * truth.jet_m_s, 0.0)
    return feed, jet / max(float(area.sum()) * grid.dx_m, 1e-12)


def _vented(grid: Bore, truth: Truth) -> Floats:
    column = _column(grid, truth.vent.at_1)
    rows = _height(grid, column, truth.vent.height, max(1, round(truth.vent_bore_m / grid.dz_m)))
    vent = np.zeros_like(grid.volume_m3)
    vent[column, rows] = grid.volume_m3[column, rows]
    return vent / float(vent.sum())


def _gap_columns(grid: Bore, truth: Truth) -> list[int]:
    right = min(len(grid.rows) - 1, max(1, round(truth.gap_at_1 * len(grid.rows))))
    return [right - 1, right]


def _at_root(grid: Bore, truth: Truth) -> Floats:
    root = np.zeros_like(grid.volume_m3)
    for column in _gap_columns(grid, truth):
        rows = slice(*grid.rows[column])
        root[column, rows] = 1.0 / (grid.rows[column, 1] - grid.rows[column, 0])
    return root / float(root.sum())


def _gap(grid: Bore, truth: Truth) -> Floats:
    """The gap runs round the bore: each row has its share of the way round."""
    gap = np.zeros_like(grid.volume_m3)
    for column in _gap_columns(grid, truth):
        rows = slice(*grid.rows[column])
        gap[column, rows] = grid.wall_m2[column, rows]
    return gap / float(gap.sum())


def _leak(grid: Bore, truth: Truth) -> Floats:
    if truth.leak_height == "round":
        return _gap(grid, truth)
    leak = np.zeros_like(grid.volume_m3)
    column = _gap_columns(grid, truth)[0]
    leak[column, _height(grid, column, truth.leak_height, 1)] = 1.0
    return leak / float(leak.sum())


def _breathe(c: Floats, grid: Bore, truth: Truth, at_s: float) -> float:
    """A dam moved: part of the pipe at the vent's end is half air again; the oxygen that came in, in litres."""
    before = float((c * grid.volume_m3).sum())
    for when, share in truth.breaths:
        if round(when) == at_s:
            near = (np.arange(len(c)) + 0.5) / len(c)
            there = near >= 1 - share if truth.vent.at_1 >= 0.5 else near <= share
            c[there] = np.where(grid.volume_m3[there] > 0, 0.5 * (c[there] + AIR_PPM * 1e-6), 0.0)
    return (float((c * grid.volume_m3).sum()) - before) * 1e3


def floor_ppm(truth: Truth) -> float:
    """The balance at the end, whatever the mixing: what all that goes out holds in the long run, outgassing over."""
    flow, air = _now(truth.flows_L_min, truth.end_s), leak_mL_min(truth, truth.end_s) / 1000
    if flow + air <= 0:
        return AIR_PPM
    return (truth.supply_ppm[-1][1] * flow + AIR_PPM * air) / (flow + air)
