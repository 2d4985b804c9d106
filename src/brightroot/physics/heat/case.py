"""A heat case in JSON, answered by Green's function: constant properties, full wall, linear losses.

Tables of properties are replaced by their means, radiation by a coefficient, and the answer says so under `caveats`.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from brightroot.base.errors import Refused
from brightroot.physics.fields import known, listed, number, numbers, one_of, under
from brightroot.physics.heat.green import rise_dK, temperature_K
from brightroot.physics.heat.properties import STEFAN_BOLTZMANN_W_m2K4, mean_over
from brightroot.physics.heat.ring import ArcRun, Ring

Array = NDArray[np.float64]
ZERO_C_K = 273.15
PROBE_M = 0.0254
PROBE_LIMIT_C = 93.3
RELEASES_C = (427, 260)
SPAN_TO_C = 700.0  # means are taken from the start to here: most of the heat that reaches an inch flows below it
BLOCK = 2000  # times looked at together
ROUND = 720  # angles at which the hottest place is sought
SIDES = {"o": "outside", "i": "inside"}
SOURCE_TYPES = ("surface Gaussian on outer surface",)


def answer_case(case: Mapping[str, Any]) -> dict[str, Any]:
    """The answer object of a heat case; what is missing, unknown or out of range is refused by its key.

    Against the constant-property reference: temperatures 0.2 % of the rise 2 s after arc-off, hold 0.1 s, hot length
    0.05 mm. `elapsed_s` is left to whoever holds a clock.
    """
    whole = known(
        case,
        field="",
        needed=("geometry", "material", "T_initial_C", "losses", "source", "schedule", "t_end_s", "points"),
    )
    ring, caveats = _ring(whole)
    sigma_m = _sigma(whole["source"])
    runs = _runs(listed(whole, "schedule", field=""), ring)
    end = number(whole, "t_end_s", field="", low=0.0, high=20_000.0)
    if runs and runs[-1].stop_s > end:
        raise Refused(field="t_end_s", wanted="no earlier than the last arc-off", got=f"{end:g}", reason="refused.case")
    times = np.union1d(np.append(np.arange(0.0, end), end), [run.stop_s for run in runs])
    points = _points(whole["points"], ring)
    return {
        "time_s": times.tolist(),
        "T_C": {
            name: (temperature_K(
                ring=ring, runs=runs, theta_rad=angle, z_m=z_m, side=side, time_s=times, sigma_m=sigma_m
            ) - ZERO_C_K).tolist()
            for name, (angle, z_m, side) in points.items()
        },
        "outer_max_C": _hottest(ring, runs, "outside", times, sigma_m).tolist(),
        "inner_max_C": _hottest(ring, runs, "inside", times, sigma_m).tolist(),
        "per_run": [_one_run(ring, runs, index, end, sigma_m) for index in range(len(runs))],
        "energy_balance_rel": _imbalance(ring, runs, end, sigma_m),
        "caveats": caveats,
    }  # fmt: skip


def _ring(case: Mapping[str, Any]) -> tuple[Ring, list[str]]:
    shape = known(case["geometry"], field="geometry", needed=("OD_m", "wall_m", "half_length_m"))
    outer = number(shape, "OD_m", field="geometry", low=0.005, high=5.0)
    wall = number(shape, "wall_m", field="geometry", low=0.0002, high=0.45 * outer)
    half = number(shape, "half_length_m", field="geometry", low=0.01, high=20.0)
    ambient = number(case, "T_initial_C", field="", low=-60.0, high=500.0)
    conductivity, capacity, said = _material(case["material"], ambient)
    field = "losses"
    names = ("T_inf_C", "h_outer", "emissivity_outer", "h_inner", "emissivity_inner")
    losses = known(case["losses"], field=field, needed=names)
    air = number(losses, "T_inf_C", field=field, low=-60.0, high=500.0)
    if abs(air - ambient) > 0.5:
        raise Refused(
            field="losses.T_inf_C", wanted="T_initial_C: this engine starts at the surroundings' temperature",
            got=f"{air:g}", reason="refused.case",
        )  # fmt: skip
    chord = _radiation(ambient + ZERO_C_K, SPAN_TO_C / 2 + ZERO_C_K)
    outer_loss, inner_loss = (
        number(losses, f"h_{side}", field=field, low=0.0, high=5000.0)
        + chord * number(losses, f"emissivity_{side}", field=field, low=0.0, high=1.0)
        for side in ("outer", "inner")
    )
    if losses["emissivity_outer"] or losses["emissivity_inner"]:
        said.append(
            f"radiation as a coefficient of {chord:.1f} W/m²K times the emissivity, right at {SPAN_TO_C / 2:g} °C"
        )
    return Ring(outer, wall, half, conductivity, capacity, outer_loss, inner_loss, ambient + ZERO_C_K), said


def _radiation(cold_K: float, hot_K: float) -> float:
    return STEFAN_BOLTZMANN_W_m2K4 * (hot_K**2 + cold_K**2) * (hot_K + cold_K)


def _material(given: Any, ambient_C: float) -> tuple[float, float, list[str]]:
    field = "material"
    constant = isinstance(given, Mapping) and "k_const" in given
    tables = ("k_const", "cp_const") if constant else ("k_T_C", "k_W_mK", "cp_T_C", "cp_J_kgK")
    table = known(given, field=field, needed=("rho", *tables), allowed=("latent",))
    density = number(table, "rho", field=field, low=500.0, high=25000.0)
    said = []
    for n, row in enumerate(listed(table, "latent", field=field) if "latent" in table else []):
        name = f"material.latent[{n}]"
        heat = known(row, field=name, needed=("T1_C", "T2_C", "J_per_kg"))
        bottom = number(heat, "T1_C", field=name, low=-60.0, high=5000.0)
        number(heat, "T2_C", field=name, low=bottom, high=5000.0)
        number(heat, "J_per_kg", field=name, low=0.0, high=2e6)
        said.append(f"latent heat at {bottom:g} °C left out: it comes back on cooling")
    if constant:
        conductivity = number(table, "k_const", field=field, low=0.5, high=500.0)
        return conductivity, density * number(table, "cp_const", field=field, low=50.0, high=5000.0), said
    conductivity = _mean(table, "k_T_C", "k_W_mK", ambient_C, (0.5, 500.0))
    specific = _mean(table, "cp_T_C", "cp_J_kgK", ambient_C, (50.0, 5000.0))
    said.insert(
        0, f"tables replaced by means from {ambient_C:g} to {SPAN_TO_C:g} °C: k {conductivity:.1f}, cp {specific:.0f}"
    )
    return conductivity, density * specific, said


def _mean(table: Mapping[str, Any], at: str, of: str, from_C: float, within: tuple[float, float]) -> float:
    places = numbers(table, at, field="material", low=-273.15, high=6000.0, rising=True)
    values = numbers(table, of, field="material", low=within[0], high=within[1])
    if len(places) != len(values):
        raise Refused(
            field=f"material.{of}", wanted=f"{len(places)} values", got=str(len(values)), reason="refused.case"
        )
    return mean_over(temperature_K=places, value=values, from_K=from_C, to_K=max(SPAN_TO_C, from_C + 1))[1]


def _sigma(given: Any) -> float:
    source = known(given, field="source", needed=("sigma_m",), allowed=("type",))
    if "type" in source:
        one_of(source, "type", field="source", names=SOURCE_TYPES)
    return number(source, "sigma_m", field="source", low=0.0005, high=0.02)


def _runs(rows: list[Any], ring: Ring) -> tuple[ArcRun, ...]:
    runs: list[ArcRun] = []
    for n, row in enumerate(rows):
        field = f"schedule[{n}]"
        names = ("t_start_s", "t_end_s", "start_deg", "sweep_deg", "speed_mm_s", "Q_net_W")
        table = known(row, field=field, needed=names, allowed=("run",))
        start = number(table, "t_start_s", field=field, low=runs[-1].stop_s if runs else 0.0, high=100_000.0)
        stop = number(table, "t_end_s", field=field, low=start + 0.1, high=100_000.0)
        sweep = number(table, "sweep_deg", field=field, low=-720.0, high=720.0)
        speed = number(table, "speed_mm_s", field=field, low=0.0, high=100.0)
        path_mm = math.radians(abs(sweep)) * ring.outer_diameter_m * 500
        if abs(path_mm - speed * (stop - start)) > 0.05 + 0.01 * path_mm:
            raise Refused(
                field=under(field, "speed_mm_s"), wanted=f"{path_mm / (stop - start):.3f}, as sweep and times say",
                got=f"{speed:g}", reason="refused.case",
            )  # fmt: skip
        begin = number(table, "start_deg", field=field, low=-3600.0, high=3600.0)
        power = number(table, "Q_net_W", field=field, low=0.0, high=50_000.0)
        runs.append(ArcRun(start, stop - start, math.radians(begin), math.radians(sweep), power))
    return tuple(runs)


def _points(given: Any, ring: Ring) -> dict[str, tuple[float, float, str]]:
    if not isinstance(given, Mapping):
        raise Refused(field="points", wanted="an object", got=str(given), reason="refused.case")
    found = {}
    for name, row in given.items():
        field = f"points.{name}"
        table = known(row, field=field, needed=("side", "theta_deg", "z_m"))
        side = SIDES[one_of(table, "side", field=field, names=tuple(SIDES))]
        angle = math.radians(number(table, "theta_deg", field=field, low=-3600.0, high=3600.0))
        half = ring.half_length_m
        found[str(name)] = (angle, number(table, "z_m", field=field, low=-half, high=half), side)
    return found


def _hottest(ring: Ring, runs: Sequence[ArcRun], side: str, times: Array, sigma_m: float) -> Array:
    """Highest temperature in °C of a surface: its hottest place lies on the weld plane. A block of times at once."""
    angles = np.linspace(0.0, 2 * np.pi, ROUND, endpoint=False)
    blocks = [
        rise_dK(ring=ring, runs=runs, theta_rad=angles, z_m=0.0, side=side, time_s=some, sigma_m=sigma_m).max(axis=1)
        for some in np.array_split(times, times.size // BLOCK + 1)
    ]
    return np.concatenate(blocks) + (ring.ambient_K - ZERO_C_K)


def _one_run(ring: Ring, runs: Sequence[ArcRun], index: int, end: float, sigma_m: float) -> dict[str, Any]:
    run, past = runs[index], runs[: index + 1]
    until = runs[index + 1].start_s if index + 1 < len(runs) else end
    after = np.union1d(np.arange(0.0, until - run.stop_s, 0.25), [until - run.stop_s])
    times = run.stop_s + after
    probe = rise_dK(
        ring=ring, runs=past, theta_rad=run.to_rad, z_m=PROBE_M, side="outside", time_s=times, sigma_m=sigma_m
    )[:, 0] + (ring.ambient_K - ZERO_C_K)
    peak = int(probe.argmax())
    answer: dict[str, Any] = {
        "run": index + 1,
        "t_end": run.stop_s,
        "hot_len_mm": {},
        "T25_at_arc_off_C": float(probe[0]),
        "T25_max_before_next_run_C": float(probe[peak]),
        "T25_max_time_after_arc_off_s": float(after[peak]),
        f"T25_below_{PROBE_LIMIT_C}C_time_after_arc_off_s": _last_below(after, probe, PROBE_LIMIT_C),
    }
    for name, side in (("outer", "outside"), ("inner", "inside")):
        surface = _hottest(ring, past, side, times, sigma_m)
        back = _behind(ring, past, run, side, sigma_m)
        for release in RELEASES_C:
            answer["hot_len_mm"][f"{name}_{release}"] = _hot_length_mm(back, ring, release)
            answer[f"{name}_max_below_{release}C_time_after_arc_off_s"] = _last_below(after, surface, release)
    return answer


def _last_below(after: Array, values: Array, limit: float) -> float | None:
    """Seconds to the last downward crossing; 0 if never above, None if above at the last moment."""
    above = np.flatnonzero(values > limit)
    if not above.size:
        return 0.0
    last = int(above[-1])
    if last + 1 == values.size:
        return None
    share = (values[last] - limit) / (values[last] - values[last + 1])
    return float(after[last] + share * (after[last + 1] - after[last]))


def _behind(ring: Ring, past: Sequence[ArcRun], run: ArcRun, side: str, sigma_m: float) -> Array:
    """Temperatures in °C at arc-off, from the arc backwards to 98 % of the way round."""
    back = np.linspace(0.0, 0.98 * 2 * np.pi, 2 * ROUND)
    angles = run.to_rad - math.copysign(1.0, run.sweep_rad) * back
    rise = rise_dK(ring=ring, runs=past, theta_rad=angles, z_m=0.0, side=side, time_s=run.stop_s, sigma_m=sigma_m)[0]
    return np.asarray(rise + ring.ambient_K - ZERO_C_K)


def _hot_length_mm(behind: Array, ring: Ring, release: float) -> float | None:
    """From the arc back to where the zone of the hottest place ends; 0 where nothing is hot, None where it goes round."""
    if behind.max() <= release:
        return 0.0
    hottest = int(behind.argmax())
    cold = np.flatnonzero(behind[hottest:] <= release)
    if not cold.size:
        return None
    at = hottest + int(cold[0])
    step = 0.98 * math.pi * ring.outer_diameter_m / (2 * ROUND - 1) * 1000
    return float((at - 1 + (behind[at - 1] - release) / (behind[at - 1] - behind[at])) * step)


def _imbalance(ring: Ring, runs: Sequence[ArcRun], end: float, sigma_m: float) -> float:
    """Heat found by summing the rise over the pipe against heat put in less heat lost, once the wall is even."""
    if not runs:
        return 0.0
    put_in = sum(run.net_power_W * run.duration_s for run in runs)
    when = end + 2 * ring.wall_m**2 / ring.diffusivity_m2_s
    rate = max(ring.loss_rate, 1e-12)
    kept = sum(
        run.net_power_W * (math.exp(-rate * (when - run.stop_s)) - math.exp(-rate * (when - run.start_s))) / rate
        for run in runs
    )
    edges = np.linspace(0.0, 1.0, 9)
    nodes, weights = np.polynomial.legendre.leggauss(12)
    z = ring.half_length_m * ((edges[:-1, None] + edges[1:, None]) / 2 + nodes / 16).ravel()
    weight = np.tile(weights, 8) * ring.half_length_m / 16
    angles = np.linspace(0.0, 2 * np.pi, 64, endpoint=False)
    faces = [
        temperature_K(ring=ring, runs=runs, theta_rad=angles, z_m=z[:, None], side=side, time_s=when, sigma_m=sigma_m)
        for side in SIDES.values()
    ]
    mean = (np.mean(faces, axis=0) - ring.ambient_K).mean(axis=1)
    area = 2 * math.pi * ring.mean_radius_m * ring.wall_m * ring.heat_capacity_J_m3K
    return abs(2 * area * float(weight @ mean) - kept) / put_in if put_in else 0.0
