"""`python -m benchmarks.heat_reference [NAME …]`: solve cases on three grids, and write what the grids say of their error.

`given` instead of a name solves the two cases that came with another reference, and writes how far the two are apart.
"""

from __future__ import annotations

import json
import subprocess
import sys
import time
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from benchmarks.heat_reference.cases import CASES
from benchmarks.heat_reference.estimate import METHOD, error_of, order_of, over, points_error
from benchmarks.heat_reference.grids import FAMILY
from benchmarks.heat_reference.solve import solve

ROOT = Path(__file__).parents[2]
FOLDER = ROOT / "tests/cases/heat"
RESULT = ROOT / "benchmarks/results/heat_reference.json"
GIVEN = {"V1_const_nps3_one_run": 0.7, "V2_nps3_two_runs": 0.6}


def made(case: Mapping[str, Any]) -> dict[str, Any]:
    """The case with its outputs on the finest grid, and the error of each by three."""
    found, spent = [], []
    for member in FAMILY:
        began = time.process_time()
        found.append(solve(case, member))
        spent.append(round(time.process_time() - began, 1))
        print(f"{case['case']}: {member}/{FAMILY[-1]}, {found[-1]['nodes']} nodes, {spent[-1]} s", flush=True)
    fine = found[-1]
    runs = [each["per_run"] for each in found]
    error = {
        "method": METHOD,
        "points": points_error(found[-2]["T_C"], fine["T_C"]),
        "per_run": over(runs, error_of),
        "observed_order": over(runs, order_of),
    }
    told = json.loads(json.dumps(fine), parse_float=lambda text: round(float(text), 3))
    for row, exact in zip(told["per_run"], fine["per_run"], strict=True):
        row["t_end"] = exact["t_end"]
    told["time_s"] = fine["time_s"]
    source = {
        "solver": "scikit-fem, trilinear bricks in true cylinder shape, enthalpy and ∫k dT, lumped masses, Chebyshev steps",
        "nodes": [each["nodes"] for each in found],
        "cpu_s": spent,
        "energy_balance_rel": fine["energy_balance_rel"],
    }
    outputs = {key: told[key] for key in ("time_s", "T_C", "outer_max_C", "inner_max_C", "per_run")}
    kept = {key: value for key, value in case.items() if key != "reference"}
    return {**kept, "outputs": outputs, "estimated_error": error, "provenance": source}


def against_given(name: str) -> list[dict[str, Any]]:
    """Every figure of a given case by both references, with both errors."""
    case = json.loads((FOLDER / f"{name}.json").read_text(encoding="utf-8"))
    own = made({**case, "reference": {"step_m": GIVEN[name] / 1000}})
    rows = []
    for n, wanted in enumerate(case["outputs"]["per_run"]):
        found, error = own["outputs"]["per_run"][n], own["estimated_error"]["per_run"][n]
        theirs = case["estimated_error"]["per_run"][n]
        flat = [(key, found[key], wanted[key], error[key], theirs.get(key)) for key in error if key != "hot_len_mm"]
        flat += [
            (f"hot_len_mm.{key}", found["hot_len_mm"][key], wanted["hot_len_mm"][key], error["hot_len_mm"][key],
             theirs["hot_len_mm"][key]) for key in error["hot_len_mm"]
        ]  # fmt: skip
        for key, mine, other, mine_error, other_error in flat:
            if mine is None or other is None:
                rows.append({"run": n + 1, "figure": key, "elements": mine, "given": other, "within": mine is other})
                continue
            both = mine_error + (other_error or 0.0)
            rows.append(
                {"run": n + 1, "figure": key, "elements": round(mine, 3), "given": round(other, 3), "apart": round(mine - other, 3),
                 "elements_error": mine_error, "given_error": other_error, "within": abs(mine - other) <= both}
            )  # fmt: skip
    return rows


def _commit() -> str:
    told = subprocess.run(["git", "rev-parse", "--short", "HEAD"], capture_output=True, text=True, check=False).stdout
    return told.strip() or "unknown"


def main() -> None:
    """Write every named case; all of them where none is named."""
    for name in sys.argv[1:] or ["given", *CASES]:
        if name == "given":
            told = {each: against_given(each) for each in GIVEN}
            text = json.dumps({"commit": _commit(), "method": METHOD, "given": told}, indent=1, ensure_ascii=False)
            RESULT.write_text(text + "\n", encoding="utf-8")
            continue
        text = json.dumps(made(CASES[name]), ensure_ascii=False)
        (FOLDER / f"{name}.json").write_text(text + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
