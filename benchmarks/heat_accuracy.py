"""The heat engine against every 3-D case: how far off each figure is, beside what is allowed, and its order of accuracy.

The references are independent: two given with an estimate of their own error, and those of `benchmarks.heat_reference`.
"""

from __future__ import annotations

import itertools
import json
import math
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import numpy as np

from brightroot.physics.heat.case import answer_case, read_case
from brightroot.physics.heat.ring import ArcRun
from brightroot.physics.heat.volumes.body import PLANNING, Losses, Pace, Probe, body
from brightroot.physics.heat.volumes.metal import metal
from brightroot.physics.heat.volumes.schedule import History, marched
from brightroot.physics.heat.volumes.wall import plain_section

FOLDER = Path(__file__).parents[1] / "tests/cases/heat"
THICK_M = 0.012


def names() -> list[str]:
    """Every case that there is."""
    return sorted(path.stem for path in FOLDER.glob("[VF]*.json"))


def read(name: str) -> dict[str, Any]:
    """A case with its reference."""
    found: dict[str, Any] = json.loads((FOLDER / f"{name}.json").read_text(encoding="utf-8"))
    return found


def compared(case: Mapping[str, Any], answer: Mapping[str, Any]) -> list[dict[str, Any]]:
    """A row for each kind of figure: the largest share of what is allowed, and how far off that was."""
    wall, warm = case["geometry"]["wall_m"], case["T_initial_C"]
    rows: list[tuple[str, float, float]] = []  # kind, off, allowed
    for found, wanted in zip(answer["per_run"], case["outputs"]["per_run"], strict=True):
        for key in ("T25_at_arc_off_C", "T25_max_before_next_run_C"):
            rows.append(("an inch away, K", found[key] - wanted[key], 3.0 if wall > THICK_M else 2.0))
        for face in ("outer", "inner"):
            for release in (427, 260):
                key = f"{face}_max_below_{release}C_time_after_arc_off_s"
                rows += _pair("hold, s", found[key], wanted[key], 0.5)
                name = f"{face}_{release}"
                rows += _pair("hot length, mm", found["hot_len_mm"][name], wanted["hot_len_mm"][name], 1.0)
        key = "T25_below_93.3C_time_after_arc_off_s"
        rows += _pair("under 93.3 °C, s", found[key], wanted[key], 0.5)
    counts = _counted(case, np.array(answer["time_s"]))
    for name, values in case["outputs"]["T_C"].items():
        own, wanted_C = np.array(answer["T_C"][name])[counts], np.array(values)[counts]
        allowed = 0.01 * np.abs(wanted_C - warm) + 3
        worst = int((np.abs(own - wanted_C) / allowed).argmax())
        rows.append(("points 2 s after arc-off, K", float((own - wanted_C)[worst]), float(allowed[worst])))
    kinds = dict.fromkeys(kind for kind, *_ in rows)
    return [_worst(kind, [row for row in rows if row[0] == kind]) for kind in kinds]


def _pair(kind: str, found: float | None, wanted: float | None, least: float) -> list[tuple[str, float, float]]:
    if found is None and wanted is None:
        return []
    if found is None or wanted is None:
        return [(kind, math.inf, least)]
    return [(kind, found - wanted, max(least, 0.02 * wanted))]


def _worst(kind: str, rows: list[tuple[str, float, float]]) -> dict[str, Any]:
    _, off, allowed = max(rows, key=lambda row: abs(row[1]) / row[2])
    return {
        "kind": kind,
        "off": round(off, 3),
        "allowed": round(allowed, 3),
        "met": abs(off) <= allowed,
        "count": len(rows),
    }


def _counted(case: Mapping[str, Any], times: Any) -> Any:
    counts = np.zeros(times.size, dtype=bool)
    for n, run in enumerate(case["schedule"]):
        until = case["schedule"][n + 1]["t_start_s"] if n + 1 < len(case["schedule"]) else math.inf
        counts |= (times > run["t_end_s"] + 2) & (times <= until)
    return counts


def accuracy(name: str) -> dict[str, Any]:
    """One case: its rows, its energy balance, and the error that the engine says it met."""
    case = read(name)
    answer = answer_case(case)
    return {
        "case": name,
        "rows": compared(case, answer),
        "energy_balance_rel": answer["energy_balance_rel"],
        "error_met": {key: round(value, 3) for key, value in answer["error_met"].items()},
    }


def planning(name: str) -> dict[str, Any]:
    """The same case as plans march it: how far off an inch away."""
    case = read(name)
    seen = _marched(case, PLANNING, None, 0.00175, 1.15)[1].seen
    offs: list[float] = []
    for n, wanted in enumerate(case["outputs"]["per_run"]):
        off_s = wanted["t_end"]
        until = case["schedule"][n + 1]["t_start_s"] if n + 1 < len(case["schedule"]) else case["t_end_s"]
        own = (seen.time_s >= off_s - 1e-6) & (seen.time_s <= until + 1e-6)
        probe = seen.probe_K[own, n] - 273.15
        offs += [float(probe[0]) - wanted["T25_at_arc_off_C"], float(probe.max()) - wanted["T25_max_before_next_run_C"]]
    return {"case": name, "off_K": round(max(offs, key=lambda off: off * off), 2)}


def _marched(
    case: Mapping[str, Any], pace: Pace, layers: int | None, first_m: float, growth_1: float
) -> tuple[Any, History]:
    asked = read_case(case)
    whole = body(
        metal=asked.metal,
        section=plain_section(
            outer_diameter_m=asked.outer_diameter_m, wall_m=asked.wall_m, half_length_m=asked.half_length_m, layers=layers,
            first_m=first_m, growth_1=growth_1,
        ),
        radius_m=asked.outer_diameter_m / 2, losses=asked.losses, start_K=asked.start_K, sigma_m=asked.sigma_m, pace=pace,
    )  # fmt: skip
    probes = [Probe(run.to_rad, 0.0254) for run in asked.runs]
    return whole, marched(whole, runs=asked.runs, until_s=asked.end_s, probes=probes)


def orders() -> dict[str, Any]:
    """How fast the error falls with the cell and with the step: a ring with even properties, an inch away, 5 s after arc-off.

    Each against a march four times finer than the finest told.
    """
    iron = metal(density_kg_m3=4510.0, conductivity=([300.0], [20.0]), specific_heat=([300.0], [600.0]))
    run = ArcRun(0.0, 20.0, 0.0, 0.8, 500.0)

    def look(cell_m: float, step_s: float) -> float:
        pace = Pace(cell_m=cell_m, widest=0, arc_step_s=step_s, arc_step_m=1.0, age_share_1=1e-6, longest_s=step_s)
        cut = plain_section(
            outer_diameter_m=0.06, wall_m=0.004, half_length_m=0.08, layers=max(2, round(0.004 / cell_m)),
            first_m=cell_m, growth_1=1 + 1e-6, merge_m=1.0,
        )  # fmt: skip
        whole = body(
            metal=iron,
            section=cut,
            radius_m=0.03,
            losses=Losses(298.15, 12.0, 0.0, 8.0, 0.0),
            start_K=298.15,
            pace=pace,
        )
        probes = [Probe(0.8, 0.0254)]
        return float(marched(whole, runs=[run], until_s=25.0, probes=probes).seen.probe_K[-1, 0])

    space = _order([look(cell, 0.05) for cell in (0.004, 0.002, 0.001, 0.0005)])
    time = _order([look(0.002, step) for step in (1.0, 0.5, 0.25, 0.0625)])
    return {"cell_mm": [4.0, 2.0, 1.0], "step_s": [1.0, 0.5, 0.25], "space": space, "time": time}


def _order(values: list[float]) -> dict[str, Any]:
    errors = [abs(value - values[-1]) for value in values[:-1]]
    return {
        "error_K": [round(e, 5) for e in errors],
        "order": [round(math.log2(a / b), 2) for a, b in itertools.pairwise(errors) if b > 0],
    }


def measured() -> dict[str, Any]:
    """The whole table."""
    return {"cases": [accuracy(n) for n in names()], "planning": [planning(n) for n in names()], "orders": orders()}
