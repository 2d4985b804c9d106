"""The heat engine against every 3-D case: how far off each figure is, beside what is allowed, and its order of accuracy.

The references are independent: two given with an estimate of their own error, and those of `benchmarks.heat_reference`.
`python -m benchmarks.heat_accuracy` writes the table.
"""

from __future__ import annotations

import itertools
import json
import math
import subprocess
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

import numpy as np

from brightroot.physics.heat.case import answer_case, read_case
from brightroot.physics.heat.ring import ArcRun
from brightroot.physics.heat.volumes.body import FINE, PLANNING, Body, Losses, Pace, Probe, body
from brightroot.physics.heat.volumes.metal import metal
from brightroot.physics.heat.volumes.schedule import History, behind_K, hot_length_m, last_below_s, marched
from brightroot.physics.heat.volumes.wall import End, Preparation, joint_section, plain_section

FOLDER = Path(__file__).parents[1] / "tests/cases/heat"
RESULT = Path(__file__).parent / "results/heat_accuracy.json"
THICK_M = 0.012
ROOT_M = 0.0025  # where plans lay the root's top; nothing is laid here
Row = tuple[str, float, float, float | None]  # kind, off, allowed, the reference's own error


def names() -> list[str]:
    """Every case that there is."""
    return sorted(path.stem for path in FOLDER.glob("[VF]*.json"))


def grooves() -> list[str]:
    """Every groove case."""
    return sorted(path.stem for path in FOLDER.glob("G*.json"))


def read(name: str) -> dict[str, Any]:
    """A case with its reference."""
    found: dict[str, Any] = json.loads((FOLDER / f"{name}.json").read_text(encoding="utf-8"))
    return found


def compared(case: Mapping[str, Any], answer: Mapping[str, Any]) -> list[dict[str, Any]]:
    """A row for each kind of figure: the largest share of what is allowed, how far off that was, and the reference's own error."""
    rows = runs_compared(case, answer["per_run"])
    warm, counts = case["T_initial_C"], _counted(case, np.array(answer["time_s"]))
    for name, values in case["outputs"]["T_C"].items():
        own, wanted_C = np.array(answer["T_C"][name])[counts], np.array(values)[counts]
        allowed = 0.01 * np.abs(wanted_C - warm) + 3
        worst = int((np.abs(own - wanted_C) / allowed).argmax())
        error = case["estimated_error"]["points"][name]["rms_K"]
        rows.append(("points 2 s after arc-off, K", float((own - wanted_C)[worst]), float(allowed[worst]), error))
    return worst_of(rows)


def runs_compared(case: Mapping[str, Any], runs: Sequence[Mapping[str, Any]]) -> list[Row]:
    """Every figure of every run beside the reference."""
    wide = 3.0 if case["geometry"]["wall_m"] > THICK_M else 2.0
    rows: list[Row] = []
    for found, wanted, error in zip(runs, case["outputs"]["per_run"], case["estimated_error"]["per_run"], strict=True):
        for key in ("T25_at_arc_off_C", "T25_max_before_next_run_C"):
            rows.append(("an inch away, K", found[key] - wanted[key], wide, error[key]))
        for face in ("outer", "inner"):
            for release in (427, 260):
                key = f"{face}_max_below_{release}C_time_after_arc_off_s"
                rows += _pair("hold, s", found[key], wanted[key], error.get(key), least=0.5)
                name = f"{face}_{release}"
                lengths = (each["hot_len_mm"] for each in (found, wanted, error))
                rows += _pair("hot length, mm", *(each[name] for each in lengths), least=1.0)
        key = "T25_below_93.3C_time_after_arc_off_s"
        rows += _pair("under 93.3 °C, s", found[key], wanted[key], error.get(key), least=0.5)
    return rows


def _pair(kind: str, found: float | None, wanted: float | None, error: float | None, *, least: float) -> list[Row]:
    if found is None and wanted is None:
        return []
    if found is None or wanted is None:
        return [(kind, math.inf, least, error)]
    return [(kind, found - wanted, max(least, 0.02 * wanted), error)]


def worst_of(rows: Sequence[Row]) -> list[dict[str, Any]]:
    """Of every kind, the row that takes the largest share of what is allowed."""
    told = []
    for kind in dict.fromkeys(row[0] for row in rows):
        own = [row for row in rows if row[0] == kind]
        _, off, allowed, error = max(own, key=lambda row: abs(row[1]) / row[2])
        told.append(
            {"kind": kind, "off": round(off, 3), "allowed": round(allowed, 3), "reference_error": error,
             "met": abs(off) <= allowed, "count": len(own)}
        )  # fmt: skip
    return told


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
    return {"case": name, "off_K": round(sorted(offs, key=abs)[-1], 2)}


def groove(name: str) -> dict[str, Any]:
    """An open groove by the joint's section: as plans march it, and with the same section in fine steps round the pipe."""
    case = read(name)
    told: dict[str, Any] = {"case": name}
    for pace, label in ((PLANNING, "as plans march"), (FINE, "fine round the pipe and in time")):
        told[label] = worst_of(runs_compared(case, _groove_runs(case, pace)))
    return told


def _groove_runs(case: Mapping[str, Any], pace: Pace) -> list[dict[str, Any]]:
    shape = case["geometry"]
    asked = read_case({**case, "geometry": {key: shape[key] for key in ("OD_m", "wall_m", "half_length_m")}})
    end = End(asked.outer_diameter_m, asked.wall_m, asked.half_length_m)
    other = shape.get("other_side")
    beyond = End(other["OD_m"], other["wall_m"], asked.half_length_m) if other else end
    angle = math.radians(shape["groove"]["included_angle_deg"])
    cut = Preparation(shape["groove"]["gap_m"], shape["groove"]["land_m"], angle, (ROOT_M, asked.wall_m))
    whole = body(
        metal=asked.metal, section=joint_section(ends=(beyond, end), preparation=cut), radius_m=asked.outer_diameter_m / 2,
        losses=asked.losses, start_K=asked.start_K, sigma_m=asked.sigma_m, pace=pace,
    )  # fmt: skip
    probes = [Probe(run.to_rad, 0.0254) for run in asked.runs]
    history = marched(whole, runs=asked.runs, until_s=asked.end_s, probes=probes)
    starts = [run.start_s for run in asked.runs[1:]]
    return [_run_row(whole, history, asked.runs[n], n, until) for n, until in enumerate([*starts, asked.end_s])]


def _run_row(whole: Body, history: History, run: ArcRun, n: int, until_s: float) -> dict[str, Any]:
    """A run's figures under the names of the cases."""
    seen = history.seen
    own = (seen.time_s >= run.stop_s - 1e-9) & (seen.time_s <= until_s + 1e-9)
    after, probe = seen.time_s[own] - run.stop_s, seen.probe_K[own, n] - 273.15
    lengths: dict[str, float | None] = {}
    row: dict[str, Any] = {
        "T25_at_arc_off_C": float(probe[0]), "T25_max_before_next_run_C": float(probe.max()), "hot_len_mm": lengths,
        "T25_below_93.3C_time_after_arc_off_s": last_below_s(after, probe, 93.3),
    }  # fmt: skip
    for face, side, hottest in (("outer", "outside", seen.outer_max_K), ("inner", "inside", seen.inner_max_K)):
        back, value = behind_K(whole, history.stops[n], run, side=side)
        for release in (427, 260):
            limit = release + 273.15
            row[f"{face}_max_below_{release}C_time_after_arc_off_s"] = last_below_s(after, hottest[own], limit)
            length = hot_length_m(back, value, limit)
            lengths[f"{face}_{release}"] = None if length is None else length * 1000
    return row


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


CELLS_M, STEPS_S = (0.004, 0.002, 0.001, 0.0005), (1.0, 0.5, 0.25, 0.125)


def orders() -> dict[str, Any]:
    """How fast the error falls with the cell and with the step: a ring with even properties, an inch away, 5 s after arc-off.

    Orders are of successive differences; errors against the last two extrapolated at second order.
    """
    iron = metal(density_kg_m3=4510.0, conductivity=([300.0], [20.0]), specific_heat=([300.0], [600.0]))
    run, losses = ArcRun(0.0, 20.0, 0.0, 0.8, 500.0), Losses(298.15, 12.0, 0.0, 8.0, 0.0)

    def look(cell_m: float, step_s: float) -> float:
        pace = Pace(cell_m=cell_m, widest=0, arc_step_s=step_s, arc_step_m=1.0, age_share_1=1e-6, longest_s=step_s)
        cut = plain_section(
            outer_diameter_m=0.06, wall_m=0.004, half_length_m=0.08, layers=round(0.004 / cell_m), first_m=cell_m,
            growth_1=1 + 1e-6, merge_m=1.0,
        )  # fmt: skip
        whole = body(metal=iron, section=cut, radius_m=0.03, losses=losses, start_K=298.15, pace=pace)
        seen = marched(whole, runs=[run], until_s=25.0, probes=[Probe(0.8, 0.0254)]).seen
        return float(seen.probe_K[-1, 0])

    space, time = [look(cell, 0.05) for cell in CELLS_M], [look(0.002, step) for step in STEPS_S]
    return {
        "cell_mm": [x * 1000 for x in CELLS_M],
        "step_s": list(STEPS_S),
        "space": _order(space),
        "time": _order(time),
    }


def _order(values: list[float]) -> dict[str, Any]:
    exact = values[-1] + (values[-1] - values[-2]) / 3
    steps = [abs(b - a) for a, b in itertools.pairwise(values)]
    return {
        "error_K": [round(abs(value - exact), 5) for value in values],
        "order": [round(math.log2(a / b), 2) for a, b in itertools.pairwise(steps)],
    }


def measured() -> dict[str, Any]:
    """The whole table."""
    cases = [accuracy(name) for name in names()]
    open_ones = [groove(name) for name in grooves()]
    every = [row for each in cases for row in each["rows"]]
    every_open = [row for each in open_ones for row in each["as plans march"]]
    return {
        "cases": cases, "planning": [planning(name) for name in names()], "grooves": open_ones, "orders": orders(),
        "met": all(row["met"] for row in every), "grooves_met": all(row["met"] for row in every_open),
    }  # fmt: skip


def main() -> None:
    """Write the table with the commit that made it."""
    commit = subprocess.run(["git", "rev-parse", "--short", "HEAD"], capture_output=True, text=True, check=False).stdout
    text = json.dumps({"commit": commit.strip() or "unknown", **measured()}, indent=1, ensure_ascii=False)
    RESULT.write_text(text + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
