"""One case on one grid: Runge–Kutta–Chebyshev steps (Sommeijer and Verwer), what is seen every second, what each run is asked."""

from __future__ import annotations

import itertools
import math
from collections.abc import Mapping
from typing import Any

import numpy as np
from numpy.typing import NDArray

from benchmarks.heat_reference.solid import Solid, hat_shares, solid

Array = NDArray[np.float64]
ZERO_C_K = 273.15
RADIATION = 5.670374419e-8
RELEASES_C = (427.0, 260.0)
DAMPING = 2 / 13


def grid_of(case: Mapping[str, Any], fine: float) -> Solid:
    """`fine` 1 is the finest: 0.6 mm at the weld both ways, the wall in eight; larger is coarser."""
    shape = case["geometry"]
    outer, wall, half = shape["OD_m"] / 2, shape["wall_m"], shape["half_length_m"]
    step = case.get("reference_step_m", 0.0006) * fine
    near = np.zeros(4096, dtype=bool)
    angles = np.linspace(0, 2 * np.pi, 4096, endpoint=False)
    for run in case["schedule"]:
        low, high = sorted((run["start_deg"], run["start_deg"] + run["sweep_deg"]))
        spare = math.degrees(0.022 / outer)
        turned = (np.degrees(angles) - (low - spare)) % 360
        near |= turned <= (high - low + 2 * spare)
    # cells grow away from where the arcs pass: density integrated round, then cut at whole numbers
    wide = np.where(near, step, 3 * step)
    kernel = np.ones(101) / 101
    wide = np.convolve(np.concatenate([wide[-50:], wide, wide[:50]]), kernel, mode="valid")
    density = outer / wide
    cells = math.ceil(density.sum() * (2 * np.pi / 4096))
    running = np.concatenate([[0.0], np.cumsum(density)])
    rounds = np.interp(np.linspace(0, running[-1], cells + 1), running, np.linspace(0, 2 * np.pi, 4097))[:-1]
    places = [0.0]
    while places[-1] < half:
        places.append(places[-1] + max(step, min(0.1 * fine * places[-1], 0.006 * fine)))
    marks = sorted({abs(p["z_m"]) for p in case["points"].values()} | {0.0254} - {0.0})
    along = np.array(places) * half / places[-1]
    for mark in marks:  # a line of nodes where something is read
        along[np.abs(along - mark).argmin()] = mark
    layers = max(3, round(case.get("reference_layers", 8) / fine))
    return solid(rounds, np.linspace(outer - wall, outer, layers + 1), np.unique(along))


class Metal:
    """Enthalpy in J/m³ on an even grid, with temperature and ∫k dT."""

    def __init__(self, material: Mapping[str, Any]) -> None:
        kelvin = np.arange(150.0, 7000.0, 0.2)
        if "k_const" in material:
            conducts, warmth = np.full(kelvin.size, material["k_const"]), np.full(kelvin.size, material["cp_const"])
        else:
            conducts = np.interp(kelvin - ZERO_C_K, material["k_T_C"], material["k_W_mK"])
            warmth = np.interp(kelvin - ZERO_C_K, material["cp_T_C"], material["cp_J_kgK"])
        for heat in material.get("latent", []):
            inside = (kelvin > heat["T1_C"] + ZERO_C_K) & (kelvin <= heat["T2_C"] + ZERO_C_K)
            warmth = warmth + inside * heat["J_per_kg"] / (inside.sum() * 0.2)
        held = material["rho"] * np.concatenate([[0.0], np.cumsum((warmth[1:] + warmth[:-1]) / 2 * 0.2)])
        theta = np.concatenate([[0.0], np.cumsum((conducts[1:] + conducts[:-1]) / 2 * 0.2)])
        even = np.linspace(0.0, held[-1], 60001)
        self.step = even[1]
        self.kelvin, self.theta = np.interp(even, held, kelvin), np.interp(even, held, theta)
        self.steepest = float(np.diff(self.theta).max() / self.step)
        self._kelvin, self._held = kelvin, held

    def enthalpy(self, kelvin: float) -> float:
        """At a temperature."""
        return float(np.interp(kelvin, self._kelvin, self._held))

    def look(self, enthalpy: Array, table: Array) -> Array:
        """Straight between rows."""
        x = enthalpy / self.step
        row = np.clip(x.astype(np.int64), 0, table.size - 2)
        low = table[row]
        return np.asarray(low + (x - row) * (table[row + 1] - low))


def solve(case: Mapping[str, Any], fine: float, *, dt_s: float = 0.1, on_step: Any = None) -> dict[str, Any]:
    """Outputs of a case as its format has them, without rounding."""
    body, metal = grid_of(case, fine), Metal(case["material"])
    counts, losses, sigma = body.shape, case["losses"], case["source"]["sigma_m"]
    outer_m = case["geometry"]["OD_m"] / 2
    state = np.full(body.volume_m3.size, metal.enthalpy(case["T_initial_C"] + ZERO_C_K))
    along = hat_shares(body.places_m, 0.0, sigma)
    along /= along.sum()
    diagonal = body.stiffness.diagonal() / body.volume_m3
    stiff = 2.0 * diagonal.max() * metal.steepest  # a bound: rows of a stiffness matrix sum to nothing
    air = losses["T_inf_C"] + ZERO_C_K
    faces = (
        (
            np.flatnonzero(body.outer_m2),
            body.outer_m2[body.outer_m2 > 0],
            losses["h_outer"],
            losses["emissivity_outer"],
        ),
        (
            np.flatnonzero(body.inner_m2),
            body.inner_m2[body.inner_m2 > 0],
            losses["h_inner"],
            losses["emissivity_inner"],
        ),
    )
    top = np.arange(counts[0])[:, None] * counts[1] * counts[2] + (counts[1] - 1) * counts[2] + np.arange(counts[2])

    def rate(now: Array, feed: Array) -> Array:
        gained = -(body.stiffness @ metal.look(now, metal.theta))
        for which, area, convects, radiates in faces:
            kelvin = metal.look(now[which], metal.kelvin)
            gained[which] -= area * (convects * (kelvin - air) + radiates * RADIATION * (kelvin**4 - air**4))
        gained[top] += feed
        return np.asarray(gained / body.volume_m3)

    def feed(start: float, end: float) -> Array:
        total = np.zeros((counts[0], counts[2]))
        for run in case["schedule"]:
            low, high = max(start, run["t_start_s"]), min(end, run["t_end_s"])
            if high > low:
                for part, weight in ((-0.7745966692414834, 5 / 18), (0.0, 4 / 9), (0.7745966692414834, 5 / 18)):
                    moment = (low + high) / 2 + part * (high - low) / 2
                    share = (moment - run["t_start_s"]) / (run["t_end_s"] - run["t_start_s"])
                    angle = math.radians(run["start_deg"] + run["sweep_deg"] * share)
                    round_it = hat_shares(body.angles_rad * outer_m, angle * outer_m, sigma, turn=2 * np.pi * outer_m)
                    power = run["Q_net_W"] / 2 * weight * (high - low) / (end - start)
                    total += power * (round_it / round_it.sum())[:, None] * along[None, :]
        return total

    marks = {0.0, case["t_end_s"], *np.arange(0.0, case["t_end_s"]).tolist()}
    stops = [(run["t_start_s"], run["t_end_s"]) for run in case["schedule"]]
    marks |= {t for pair in stops for t in pair}
    times = sorted(marks)
    shown = sorted(marks - {start for start, _ in stops} | {0.0, *np.arange(0.0, case["t_end_s"]).tolist()})
    seen: dict[float, tuple[Array, Array]] = {}

    def look(moment: float) -> None:
        kelvin = metal.look(state, metal.kelvin).reshape(counts)
        seen[moment] = (kelvin[:, -1, :] - ZERO_C_K, kelvin[:, 0, :] - ZERO_C_K)

    look(0.0)
    for start, end in itertools.pairwise(times):
        steps = max(1, math.ceil((end - start) / dt_s - 1e-9))
        dt = (end - start) / steps
        for n in range(steps):
            state = chebyshev(state, dt, stiff, rate, feed(start + n * dt, start + (n + 1) * dt))
        look(end)
        if on_step:
            on_step(end)
    return _answers(case, body, shown, seen)


def chebyshev(state: Array, dt: float, stiff: float, rate: Any, feed: Array) -> Array:
    """One step of second order with as many stages as its stiffness asks for."""
    stages = max(2, math.ceil(math.sqrt(1 + 1.54 * dt * stiff)))
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
    a = 1 - b * value
    begin = rate(state, feed)
    before, last = state, state + b[1] * w1 * dt * begin
    for j in range(2, stages + 1):
        mu, nu = 2 * b[j] * w0 / b[j - 1], -b[j] / b[j - 2]
        mt = 2 * b[j] * w1 / b[j - 1]
        new = (1 - mu - nu) * state + mu * last + nu * before + mt * dt * rate(last, feed) - a[j - 1] * mt * dt * begin
        before, last = last, new
    return np.asarray(last)


def _answers(case: Mapping[str, Any], body: Solid, times: list[float], seen: Mapping[float, Any]) -> dict[str, Any]:
    def at(face: Array, degrees: float, place: float) -> float:
        column = face[:, int(np.abs(body.places_m - abs(place)).argmin())]
        angles = np.concatenate([body.angles_rad, body.angles_rad[:2] + 2 * np.pi])
        return float(np.interp(math.radians(degrees) % (2 * np.pi), angles, np.concatenate([column, column[:2]])))

    points = {
        name: [at(seen[t][0 if p["side"] == "o" else 1], p["theta_deg"], p["z_m"]) for t in times]
        for name, p in case["points"].items()
    }
    outer = [float(seen[t][0].max()) for t in times]
    inner = [float(seen[t][1].max()) for t in times]
    runs = []
    for n, run in enumerate(case["schedule"]):
        off, end_deg = run["t_end_s"], run["start_deg"] + run["sweep_deg"]
        until = case["schedule"][n + 1]["t_start_s"] if n + 1 < len(case["schedule"]) else case["t_end_s"]
        own = [t for t in times if off - 1e-9 <= t <= until + 1e-9]
        probe = [at(seen[t][0], end_deg, 0.0254) for t in own]
        peak = int(np.argmax(probe))
        row: dict[str, Any] = {
            "run": n + 1, "t_end": off, "hot_len_mm": {}, "T25_at_arc_off_C": probe[0],
            "T25_max_before_next_run_C": probe[peak], "T25_max_time_after_arc_off_s": own[peak] - off,
            "T25_below_93.3C_time_after_arc_off_s": _below(own, probe, 93.3, off),
        }  # fmt: skip
        for face, name in ((0, "outer"), (1, "inner")):
            most = [float(seen[t][face].max()) for t in own]
            for release in RELEASES_C:
                row[f"{name}_max_below_{release:.0f}C_time_after_arc_off_s"] = _below(own, most, release, off)
                row["hot_len_mm"][f"{name}_{release:.0f}"] = _length(case, body, seen[off][face][:, 0], run, release)
        runs.append(row)
    return {"time_s": times, "T_C": points, "outer_max_C": outer, "inner_max_C": inner, "per_run": runs}


def _below(times: list[float], values: list[float], limit: float, off: float) -> float | None:
    above = [n for n, value in enumerate(values) if value > limit]
    if not above:
        return 0.0
    if above[-1] + 1 == len(values):
        return None
    n = above[-1]
    share = (values[n] - limit) / (values[n] - values[n + 1])
    # between seconds the fall is curved: the logarithm of the rise is nearly straight
    return times[n] + share * (times[n + 1] - times[n]) - off


def _length(case: Mapping[str, Any], body: Solid, row: Array, run: Mapping[str, Any], release: float) -> float | None:
    radius = case["geometry"]["OD_m"] / 2 * 1000
    sign = 1.0 if run["sweep_deg"] > 0 else -1.0
    end = math.radians(run["start_deg"] + run["sweep_deg"])
    back = np.linspace(0.0, 0.98 * 2 * np.pi, 7200)
    angles = np.concatenate([body.angles_rad, [2 * np.pi]])
    values = np.interp((end - sign * back) % (2 * np.pi), angles, np.append(row, row[0]))
    if values.max() <= release:
        return 0.0
    cold = np.flatnonzero(values[values.argmax() :] <= release)
    return float(back[values.argmax() + cold[0]] * radius) if cold.size else None
