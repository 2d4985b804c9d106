"""`python -m benchmarks.heat_reference NAME …`: solve cases on three grids, and write what the grids say of their error."""

from __future__ import annotations

import json
import sys
import time
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import numpy as np

from benchmarks.heat_reference.cases import CASES
from benchmarks.heat_reference.solve import solve

FOLDER = Path(__file__).parents[2] / "tests/cases/heat"
RATIO = 1.5
GRIDS = (RATIO**2, RATIO, 1.0)


def extrapolated(coarse: Any, medium: Any, fine: Any) -> Any:
    """Richardson error of the fine answer at second order, number by number; None where it says nothing."""
    if isinstance(fine, dict):
        return {key: extrapolated(coarse[key], medium[key], fine[key]) for key in fine}
    if isinstance(fine, list):
        return [extrapolated(*row) for row in zip(coarse, medium, fine, strict=True)]
    if None in (coarse, medium, fine):
        return None
    return round(abs(fine - medium) / (RATIO**2 - 1), 4)


def made(name: str) -> dict[str, Any]:
    """The case with its outputs, and the error of each by three grids."""
    case = CASES[name]
    began = time.perf_counter()
    with ThreadPoolExecutor(1) as lane:
        coarse, medium, fine = lane.map(lambda grid: solve(case, grid), GRIDS)
    print(f"{name}: {time.perf_counter() - began:.0f} s", flush=True)
    points = {}
    for point, values in fine["T_C"].items():
        off = np.abs(np.array(values) - np.array(medium["T_C"][point])) / (RATIO**2 - 1)
        points[point] = {"max_K": round(float(off.max()), 2), "rms_K": round(float(np.sqrt((off**2).mean())), 3)}
    order = []
    for a, b, c in zip(coarse["per_run"], medium["per_run"], fine["per_run"], strict=True):
        gaps = [abs(x["T25_at_arc_off_C"] - y["T25_at_arc_off_C"]) for x, y in ((a, b), (b, c))]
        order.append(round(float(np.log(gaps[0] / gaps[1]) / np.log(RATIO)), 2) if min(gaps) > 0 else None)
    error = {
        "method": f"finite elements on three grids, ratio {RATIO}: |fine − medium|/(ratio² − 1)",
        "points": points,
        "per_run": extrapolated(coarse["per_run"], medium["per_run"], fine["per_run"]),
        "observed_order_T25": order,
    }
    rounded = json.loads(json.dumps(fine), parse_float=lambda text: round(float(text), 3))
    for row, exact in zip(rounded["per_run"], fine["per_run"], strict=True):
        row["t_end"] = exact["t_end"]
    rounded["time_s"] = fine["time_s"]
    kept = {key: value for key, value in case.items() if not key.startswith("reference_")}
    return {**kept, "outputs": rounded, "estimated_error": error}


def main() -> None:
    """Write every named case; all of them where none is named."""
    for name in sys.argv[1:] or CASES:
        (FOLDER / f"{name}.json").write_text(json.dumps(made(name), ensure_ascii=False) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
