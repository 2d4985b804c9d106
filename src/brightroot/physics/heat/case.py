"""A heat case in JSON, answered by the finite volumes: a plain tube, full wall, net power given.

Two grids are marched. The finer one answers; how far the coarser one lies off says what error was met.
"""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from brightroot.base.errors import Refused
from brightroot.physics.fields import known, listed, number, numbers, one_of, under
from brightroot.physics.heat.ring import ArcRun
from brightroot.physics.heat.volumes.body import FINE, PLANNING, Body, Losses, Pace, Probe, body, imbalance_1
from brightroot.physics.heat.volumes.metal import Latent, Metal, metal
from brightroot.physics.heat.volumes.schedule import (
    History,
    at_times,
    behind_K,
    hot_length_m,
    last_below_s,
    marched,
)
from brightroot.physics.heat.volumes.wall import plain_section

Array = NDArray[np.float64]
Progress = Callable[[float, float], None]
ZERO_C_K = 273.15
PROBE_M = 0.0254
PROBE_LIMIT_C = 93.3
RELEASES_C = (427, 260)
SIDES = {"o": "outside", "i": "inside"}
SOURCE_TYPES = ("surface Gaussian on outer surface",)
MOST_W = 5000.0
LONGEST_S = 200_000.0
# the coarser grid: half as fine again each way; halving squared would leave a third of the difference as the finer one's error
COARSE = Pace(cell_m=0.00075, widest=2, arc_step_s=0.2, arc_step_m=0.0004, age_share_1=0.06, longest_s=1.0)
COARSER_1 = 1.5
LEFT_1 = 1 / (COARSER_1**2 - 1)
FINER_WORK_1 = 6.0  # the finer grid's work over the coarser's, about
CELL_STAGE_S = 4e-9  # of one cell at one stage on a common machine


@dataclass(frozen=True, slots=True)
class HeatCase:
    """A case as it was read."""

    outer_diameter_m: float
    wall_m: float
    half_length_m: float
    metal: Metal
    start_K: float
    losses: Losses
    sigma_m: float
    runs: tuple[ArcRun, ...]
    end_s: float
    probes: Mapping[str, Probe]
    error_K: float | None
    within_s: float | None


def answer_case(case: Mapping[str, Any], progress: Progress = lambda done_s, of_s: None) -> dict[str, Any]:
    """The answer object of a heat case; what is missing, unknown or out of range is refused by its key.

    `progress` hears seconds marched, of all; raising in it stops the march. Against independent 3-D references: see the
    evidence page. `error_met` is this case's own estimate, from two grids: kelvin an inch away, seconds of hold. A case
    may ask for `error_K`; where that was not met a caveat says so. It may ask for `within_s`; where the finer grid would take
    longer (by the work that the coarser one took) the coarser answers and a caveat says that. `elapsed_s` is left to
    whoever holds a clock.
    """
    asked = read_case(case)
    layers = max(2, math.ceil(asked.wall_m / 0.0022))
    total = 2 * asked.end_s
    rough = _march(asked, COARSE, layers, 0.0012, 1.09, lambda done, of: progress(done * 0.5, total))
    caveats = []
    needs_s = rough[1].end.cell_stages * FINER_WORK_1 * CELL_STAGE_S
    if asked.within_s is not None and needs_s > asked.within_s:
        caveats.append(
            f"within_s {asked.within_s:g} was asked for, the finer grid needs about {needs_s:.1f} s: the coarser answers"
        )
        fine, rough = (
            rough,
            _march(asked, PLANNING, layers, 0.0018, 1.135, lambda done, of: progress(asked.end_s + done, total)),
        )
    else:
        fine = _march(
            asked, FINE, math.ceil(layers * 1.5), 0.0008, 1.06,
            lambda done, of: progress(asked.end_s * 0.5 + done * 1.5, total),
        )  # fmt: skip
    whole, history = fine
    times = np.union1d(np.append(np.arange(0.0, asked.end_s), asked.end_s), [run.stop_s for run in asked.runs])
    breaks = [t for run in asked.runs for t in (run.start_s, run.stop_s)]
    seen = history.seen
    rows = at_times(
        seen.time_s, np.column_stack([seen.probe_K, seen.outer_max_K, seen.inner_max_K]), times, breaks_s=breaks
    ).T - ZERO_C_K  # fmt: skip
    answers, others = (_per_run(asked, *marching) for marching in (fine, rough))
    met = _error_met(answers, others)
    if asked.error_K is not None and met["T25_K"] > asked.error_K:
        caveats.append(f"error_K {asked.error_K:g} was asked for, {met['T25_K']:.2g} K was met")
    return {
        "time_s": times.tolist(),
        "T_C": {name: rows[n].tolist() for n, name in enumerate(asked.probes)},
        "outer_max_C": rows[-2].tolist(),
        "inner_max_C": rows[-1].tolist(),
        "per_run": answers,
        "energy_balance_rel": imbalance_1(whole, history.end),
        "error_met": met,
        "caveats": caveats,
    }


def _march(
    asked: HeatCase, pace: Pace, layers: int, first_m: float, growth_1: float, progress: Progress
) -> tuple[Body, History]:
    whole = body(
        metal=asked.metal,
        section=plain_section(
            outer_diameter_m=asked.outer_diameter_m, wall_m=asked.wall_m, half_length_m=asked.half_length_m, layers=layers,
            first_m=first_m, growth_1=growth_1, merge_m=3 * asked.wall_m,
        ),
        radius_m=asked.outer_diameter_m / 2, losses=asked.losses, start_K=asked.start_K, sigma_m=asked.sigma_m,
        pace=dataclasses.replace(pace, longest_s=max(pace.longest_s, asked.end_s / 5000)),
    )  # fmt: skip
    probes = [*asked.probes.values(), *(Probe(run.to_rad, PROBE_M) for run in asked.runs)]
    return whole, marched(whole, runs=asked.runs, until_s=asked.end_s, probes=probes, progress=progress)


def _per_run(asked: HeatCase, whole: Body, history: History) -> list[dict[str, Any]]:
    seen, found = history.seen, []
    for n, run in enumerate(asked.runs):
        until = asked.runs[n + 1].start_s if n + 1 < len(asked.runs) else asked.end_s
        rows = (seen.time_s >= run.stop_s - 1e-9) & (seen.time_s <= until + 1e-9)
        after = seen.time_s[rows] - run.stop_s
        probe = seen.probe_K[rows, len(asked.probes) + n] - ZERO_C_K
        peak = int(probe.argmax())
        answer: dict[str, Any] = {
            "run": n + 1,
            "t_end": run.stop_s,
            "hot_len_mm": {},
            "T25_at_arc_off_C": float(probe[0]),
            "T25_max_before_next_run_C": float(probe[peak]),
            "T25_max_time_after_arc_off_s": _peak_s(after, probe, peak),
            f"T25_below_{PROBE_LIMIT_C}C_time_after_arc_off_s": last_below_s(after, probe, PROBE_LIMIT_C),
        }
        for name, side, face in (("outer", "outside", seen.outer_max_K), ("inner", "inside", seen.inner_max_K)):
            back, value = behind_K(whole, history.stops[n], run, side=side)
            for release in RELEASES_C:
                length = hot_length_m(back, value, release + ZERO_C_K)
                answer["hot_len_mm"][f"{name}_{release}"] = None if length is None else length * 1000
                below = last_below_s(after, face[rows] - ZERO_C_K, release)
                answer[f"{name}_max_below_{release}C_time_after_arc_off_s"] = below
        found.append(answer)
    return found


def _peak_s(after: Array, probe: Array, peak: int) -> float:
    """When a curve is highest: between steps by the parabola through the three about its highest."""
    if not 0 < peak < after.size - 1:
        return float(after[peak])
    bend = np.polyfit(after[peak - 1 : peak + 2] - after[peak], probe[peak - 1 : peak + 2], 2)
    return float(after[peak] - bend[1] / (2 * bend[0])) if bend[0] < 0 else float(after[peak])


def _error_met(fine: list[dict[str, Any]], rough: list[dict[str, Any]]) -> dict[str, float]:
    """What is left of the difference of two grids if the error falls with the square of the cell."""

    def most(names: Sequence[str]) -> float:
        pairs = [(a[name], b[name]) for a, b in zip(fine, rough, strict=True) for name in names]
        return max((abs(a - b) * LEFT_1 for a, b in pairs if a is not None and b is not None), default=0.0)

    holds = [
        f"{side}_max_below_{release}C_time_after_arc_off_s" for side in ("outer", "inner") for release in RELEASES_C
    ]
    return {"T25_K": most(["T25_at_arc_off_C", "T25_max_before_next_run_C"]), "hold_s": most(holds)}


def read_case(case: Mapping[str, Any]) -> HeatCase:
    """A case as the engines take it. Raises Refused by key."""
    names = ("geometry", "material", "T_initial_C", "losses", "source", "schedule", "t_end_s", "points")
    whole = known(case, field="", needed=names, allowed=("error_K", "within_s"))
    shape = known(whole["geometry"], field="geometry", needed=("OD_m", "wall_m", "half_length_m"))
    outer = number(shape, "OD_m", field="geometry", low=0.005, high=5.0)
    wall = number(shape, "wall_m", field="geometry", low=0.0002, high=0.45 * outer)
    half = number(shape, "half_length_m", field="geometry", low=PROBE_M, high=20.0)
    start = number(whole, "T_initial_C", field="", low=-60.0, high=600.0)
    runs = _runs(listed(whole, "schedule", field=""), outer)
    end = number(whole, "t_end_s", field="", low=0.0, high=LONGEST_S)
    if runs[-1].stop_s > end:
        raise Refused(field="t_end_s", wanted="no earlier than the last arc-off", got=f"{end:g}", reason="refused.case")
    wanted = number(whole, "error_K", field="", low=0.001, high=100.0) if "error_K" in whole else None
    within = number(whole, "within_s", field="", low=0.001, high=86_400.0) if "within_s" in whole else None
    return HeatCase(
        outer, wall, half, _material(whole["material"]), start + ZERO_C_K, _losses(whole["losses"]), _sigma(whole["source"]),
        runs, end, _points(whole["points"], half), wanted, within,
    )  # fmt: skip


def _losses(given: Any) -> Losses:
    field = "losses"
    names = ("T_inf_C", "h_outer", "emissivity_outer", "h_inner", "emissivity_inner")
    table = known(given, field=field, needed=names)
    air = number(table, "T_inf_C", field=field, low=-60.0, high=600.0) + ZERO_C_K
    outer, inner = (
        (
            number(table, f"h_{side}", field=field, low=0.0, high=5000.0),
            number(table, f"emissivity_{side}", field=field, low=0.0, high=1.0),
        )
        for side in ("outer", "inner")
    )
    return Losses(air, *outer, *inner)


def _material(given: Any) -> Metal:
    field = "material"
    constant = isinstance(given, Mapping) and "k_const" in given
    tables = ("k_const", "cp_const") if constant else ("k_T_C", "k_W_mK", "cp_T_C", "cp_J_kgK")
    table = known(given, field=field, needed=("rho", *tables), allowed=("latent",))
    density = number(table, "rho", field=field, low=500.0, high=25000.0)
    latent = []
    for n, row in enumerate(listed(table, "latent", field=field) if "latent" in table else []):
        name = f"material.latent[{n}]"
        heat = known(row, field=name, needed=("T1_C", "T2_C", "J_per_kg"))
        bottom = number(heat, "T1_C", field=name, low=-60.0, high=5000.0)
        top = number(heat, "T2_C", field=name, low=bottom + 1.0, high=5000.0)
        joules = number(heat, "J_per_kg", field=name, low=0.0, high=2e6)
        latent.append(Latent(bottom + ZERO_C_K, top + ZERO_C_K, joules))
    if constant:
        conducts = ([300.0], [number(table, "k_const", field=field, low=0.5, high=500.0)])
        warmth = ([300.0], [number(table, "cp_const", field=field, low=50.0, high=5000.0)])
    else:
        conducts = _table(table, "k_T_C", "k_W_mK", (0.5, 500.0))
        warmth = _table(table, "cp_T_C", "cp_J_kgK", (50.0, 5000.0))
    return metal(density_kg_m3=density, conductivity=conducts, specific_heat=warmth, latent=latent)


def _table(table: Mapping[str, Any], at: str, of: str, within: tuple[float, float]) -> tuple[list[float], list[float]]:
    places = numbers(table, at, field="material", low=-273.15, high=6000.0, rising=True)
    values = numbers(table, of, field="material", low=within[0], high=within[1])
    if len(places) != len(values):
        raise Refused(
            field=f"material.{of}", wanted=f"{len(places)} values", got=str(len(values)), reason="refused.case"
        )
    return [place + ZERO_C_K for place in places], list(values)


def _sigma(given: Any) -> float:
    source = known(given, field="source", needed=("sigma_m",), allowed=("type",))
    if "type" in source:
        one_of(source, "type", field="source", names=SOURCE_TYPES)
    return number(source, "sigma_m", field="source", low=0.0005, high=0.02)


def _runs(rows: list[Any], outer_diameter_m: float) -> tuple[ArcRun, ...]:
    if not rows:
        raise Refused(field="schedule", wanted="one run or more", got="an empty list", reason="refused.case")
    runs: list[ArcRun] = []
    for n, row in enumerate(rows):
        field = f"schedule[{n}]"
        names = ("t_start_s", "t_end_s", "start_deg", "sweep_deg", "speed_mm_s", "Q_net_W")
        table = known(row, field=field, needed=names, allowed=("run",))
        start = number(table, "t_start_s", field=field, low=runs[-1].stop_s if runs else 0.0, high=LONGEST_S)
        stop = number(table, "t_end_s", field=field, low=start + 0.1, high=LONGEST_S)
        sweep = number(table, "sweep_deg", field=field, low=-720.0, high=720.0)
        speed = number(table, "speed_mm_s", field=field, low=0.0, high=100.0)
        path_mm = math.radians(abs(sweep)) * outer_diameter_m * 500
        if abs(path_mm - speed * (stop - start)) > 0.05 + 0.01 * path_mm:
            raise Refused(
                field=under(field, "speed_mm_s"), wanted=f"{path_mm / (stop - start):.3f}, as sweep and times say",
                got=f"{speed:g}", reason="refused.case",
            )  # fmt: skip
        begin = number(table, "start_deg", field=field, low=-3600.0, high=3600.0)
        power = number(table, "Q_net_W", field=field, low=0.0, high=MOST_W)
        runs.append(ArcRun(start, stop - start, math.radians(begin), math.radians(sweep), power))
    return tuple(runs)


def _points(given: Any, half_length_m: float) -> dict[str, Probe]:
    if not isinstance(given, Mapping):
        raise Refused(field="points", wanted="an object", got=str(given), reason="refused.case")
    found = {}
    for name, row in given.items():
        field = f"points.{name}"
        table = known(row, field=field, needed=("side", "theta_deg", "z_m"))
        side = SIDES[one_of(table, "side", field=field, names=tuple(SIDES))]
        angle = math.radians(number(table, "theta_deg", field=field, low=-3600.0, high=3600.0))
        found[str(name)] = Probe(angle, number(table, "z_m", field=field, low=-half_length_m, high=half_length_m), side)
    return found
