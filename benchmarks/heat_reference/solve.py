"""One case on one grid: Runge–Kutta–Chebyshev steps (Sommeijer and Verwer), and what is seen at every one of them."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import BarycentricInterpolator
from scipy.sparse import diags
from scipy.sparse.linalg import eigsh

from benchmarks.heat_reference.answers import answers
from benchmarks.heat_reference.compiled import flowed, looked, lost, stage
from benchmarks.heat_reference.grids import PROBE_M, grid_of
from benchmarks.heat_reference.metal import ZERO_C_K, Metal
from benchmarks.heat_reference.solid import Solid, hat_shares

Array = NDArray[np.float64]
RADIATION = 5.670374419e-8
DAMPING = 2 / 13
CALM_S = 20.0  # so long after an arc-off steps may be three times as long
GAUSS = ((-0.7745966692414834, 5 / 18), (0.0, 4 / 9), (0.7745966692414834, 5 / 18))


@dataclass(frozen=True, eq=False)
class Run:
    """What a solution was, step by step: °C at each place, hottest of each face; both weld lines at each arc-off."""

    time_s: Array
    place_C: Array
    outer_C: Array
    inner_C: Array
    lines_C: Mapping[float, tuple[Array, Array]]
    balance_1: float
    nodes: int


def solve(case: Mapping[str, Any], member: int, *, calls: Callable[[float], None] = lambda t: None) -> dict[str, Any]:
    """Outputs of a case as its format has them, without rounding. `member` is of `grids.FAMILY`."""
    body = grid_of(case, member)
    run = march(case, body, member, calls)
    return {**answers(case, body.angles_rad, run), "energy_balance_rel": run.balance_1, "nodes": run.nodes}


def march(case: Mapping[str, Any], body: Solid, steps_a_second: int, calls: Callable[[float], None]) -> Run:
    """From rest to the end."""
    metal, counts = Metal(case["material"]), body.shape
    marks, stops = _marks(case)
    state = np.full(body.volume_m3.size, metal.enthalpy(case["T_initial_C"] + ZERO_C_K))
    begin = float((state * body.volume_m3).sum())
    flow = _Flow(case, body, metal)
    columns, weights = _places(case, body)
    book: list[tuple[float, Array, float, float]] = []
    lines: dict[float, tuple[Array, Array]] = {}
    weld = int(np.abs(body.places_m).argmin())

    def look(moment: float) -> None:
        kelvin = flow.kelvin(state).reshape(counts) - ZERO_C_K
        seen = (kelvin.ravel()[columns] * weights).sum(axis=1)
        book.append((moment, seen, float(kelvin[:, -1].max()), float(kelvin[:, 0].max())))
        if moment in stops:
            lines[moment] = (kelvin[:, -1, weld].copy(), kelvin[:, 0, weld].copy())

    look(0.0)
    for start, end in itertools.pairwise(marks):
        # seconds are cut alike on every grid of a family: 4, 6 or 9 steps; calm ones in a third of that
        on = any(run["t_start_s"] < end - 1e-9 and run["t_end_s"] > start - CALM_S for run in case["schedule"])
        steps = max(1, round(steps_a_second * (end - start) / (1 if on else 3)))
        dt = (end - start) / steps
        for n in range(steps):
            moment = end if n + 1 == steps else start + (n + 1) * dt
            state = flow.stepped(state, start + n * dt, moment)
            look(moment)
        calls(end)
    times = np.array([row[0] for row in book])
    stored = float((state * body.volume_m3).sum()) - begin
    return Run(
        times, np.array([row[1] for row in book]), np.array([row[2] for row in book]), np.array([row[3] for row in book]),
        lines, abs(flow.fed - stored - flow.lost) / flow.fed, state.size,
    )  # fmt: skip


class _Flow:
    """What heats and cools a body, and Chebyshev's steps through it. Counts joules fed and lost."""

    def __init__(self, case: Mapping[str, Any], body: Solid, metal: Metal) -> None:
        losses = case["losses"]
        self.case, self.body, self.metal = case, body, metal
        self.sigma, self.outer = case["source"]["sigma_m"], case["geometry"]["OD_m"] / 2
        self.along = hat_shares(body.places_m, 0.0, self.sigma)
        self.along *= (1.0 if body.places_m[0] < 0.0 else 0.5) / self.along.sum()
        self.air = losses["T_inf_C"] + ZERO_C_K
        self.faces = [
            (np.flatnonzero(area), area[area > 0.0], losses[f"h_{name}"], losses[f"emissivity_{name}"] * RADIATION)
            for name, area in (("outer", body.outer_m2), ("inner", body.inner_m2))
        ]
        even = diags(body.volume_m3**-0.5)
        stiffest = eigsh(even @ body.stiffness @ even, k=1, which="LM", return_eigenvectors=False, tol=1e-3)
        self.stiff = 1.02 * float(stiffest[0]) * metal.steepest
        counts = body.shape
        self.top = (np.arange(counts[0])[:, None] * counts[1] + counts[1] - 1) * counts[2] + np.arange(counts[2])
        self.theta, self.gained, self.fed, self.lost = (
            np.empty(body.volume_m3.size),
            np.empty(body.volume_m3.size),
            0.0,
            0.0,
        )

    def kelvin(self, state: Array) -> Array:
        """Temperatures at nodes."""
        found = np.empty(state.size)
        looked(state, self.metal.kelvin, self.metal.step, found)
        return found

    def rate(self, state: Array, feed: Array | None) -> float:
        """Fills `gained` with what every node gains in W; gives what the faces lose."""
        looked(state, self.metal.theta, self.metal.step, self.theta)
        matrix = self.body.stiffness
        flowed(matrix.indptr, matrix.indices, matrix.data, self.theta, self.gained)
        away = 0.0
        for nodes, area, convects, radiates in self.faces:
            away += lost(nodes, area, self.kelvin(state[nodes]), self.air, convects, radiates, self.gained)
        if feed is not None:
            self.gained[self.top] += feed
        return away

    def feed(self, start: float, end: float) -> Array | None:
        """Watts at the nodes of the top, the mean over a step: the density integrated with every node's own hat."""
        total: Array | None = None
        for run in self.case["schedule"]:
            low, high = max(start, run["t_start_s"]), min(end, run["t_end_s"])
            if high - low < 1e-12:
                continue
            total = np.zeros((self.body.shape[0], self.body.shape[2])) if total is None else total
            for part, weight in GAUSS:
                moment = (low + high) / 2 + part * (high - low) / 2
                share = (moment - run["t_start_s"]) / (run["t_end_s"] - run["t_start_s"])
                place = math.radians(run["start_deg"] + run["sweep_deg"] * share) * self.outer
                turn = 2 * np.pi * self.outer
                wide = hat_shares(self.body.angles_rad * self.outer, place % turn, self.sigma, turn=turn)
                power = run["Q_net_W"] * weight * (high - low) / (end - start)
                total += power * (wide / wide.sum())[:, None] * self.along[None, :]
        return total

    def stepped(self, state: Array, start: float, end: float) -> Array:
        """One step of second order with as many stages as its stiffness asks for."""
        dt, feed, volume = end - start, self.feed(start, end), self.body.volume_m3
        b, mu, nu, mt, a = _chebyshev(max(2, math.ceil(math.sqrt(1 + 1.54 * dt * self.stiff))))
        # the same sums, for what the faces lose: the step's own quadrature, so the balance is to rounding
        away0 = away = self.rate(state, feed)
        begin = self.gained / volume
        before, last = state, state + mt[1] * dt * begin
        gone_before, gone = 0.0, mt[1] * dt * away0
        for j in range(2, b.size):
            away = self.rate(last, feed)
            own = 1 - mu[j] - nu[j]
            new = np.empty(state.size)
            back = -a[j - 1] * mt[j] * dt
            stage((own, mu[j], nu[j], mt[j] * dt, back), state, last, before, self.gained, begin, volume, new)
            gone, gone_before = mu[j] * gone + nu[j] * gone_before + mt[j] * dt * away + back * away0, gone
            before, last = last, new
        self.lost += gone
        self.fed += 0.0 if feed is None else float(feed.sum()) * dt
        return np.asarray(last)


def _chebyshev(stages: int) -> tuple[Array, ...]:
    w0 = 1 + DAMPING / stages**2
    value, first, second = np.zeros(stages + 1), np.zeros(stages + 1), np.zeros(stages + 1)
    value[:2], first[1] = (1.0, w0), 1.0
    for j in range(2, stages + 1):
        value[j] = 2 * w0 * value[j - 1] - value[j - 2]
        first[j] = 2 * value[j - 1] + 2 * w0 * first[j - 1] - first[j - 2]
        second[j] = 4 * first[j - 1] + 2 * w0 * second[j - 1] - second[j - 2]
    w1 = first[stages] / second[stages]
    b = np.empty(stages + 1)
    b[2:] = second[2:] / first[2:] ** 2
    b[:2] = b[2]
    mu, nu, mt = np.zeros(stages + 1), np.zeros(stages + 1), np.zeros(stages + 1)
    mu[2:], nu[2:] = 2 * b[2:] * w0 / b[1:-1], -b[2:] / b[:-2]
    mt[1], mt[2:] = b[1] * w1, 2 * b[2:] * w1 / b[1:-1]
    return b, mu, nu, mt, 1 - b * value


def _marks(case: Mapping[str, Any]) -> tuple[list[float], set[float]]:
    """Where a step must end, and the arc-offs among them."""
    stops = {run["t_end_s"] for run in case["schedule"]}
    starts = {run["t_start_s"] for run in case["schedule"]}
    return sorted({case["t_end_s"], *np.arange(0.0, case["t_end_s"]).tolist(), *starts, *stops}), stops


def _places(case: Mapping[str, Any], body: Solid) -> tuple[NDArray[np.int64], Array]:
    """Node numbers and weights of every point, then of each run's probe: cubic round the pipe, a node along it."""
    asked = [(p["side"], p["theta_deg"], p["z_m"]) for p in case["points"].values()]
    asked += [("o", run["start_deg"] + run["sweep_deg"], PROBE_M) for run in case["schedule"]]
    count, layers, places = body.shape
    numbers, weights = np.empty((len(asked), 4), dtype=np.int64), np.empty((len(asked), 4))
    for n, (side, degrees, place) in enumerate(asked):
        angle = math.radians(degrees) % (2 * np.pi)
        first = int(np.searchsorted(body.angles_rad, angle, side="right")) - 2
        own = np.arange(first, first + 4)
        at = body.angles_rad[own % count] + 2 * np.pi * (own // count)
        weights[n] = BarycentricInterpolator(at, np.eye(4), axis=0)(angle)
        along = int(np.abs(body.places_m - place).argmin())
        assert abs(body.places_m[along] - place) < 1e-9
        numbers[n] = ((own % count) * layers + (layers - 1 if side == "o" else 0)) * places + along
    return numbers, weights
