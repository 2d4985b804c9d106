"""The purge simulator beside another's, and beside itself on finer grids.

`python -m benchmarks.purge_alike` writes `results/purge_simulator.json`. The four purges of `tests/cases/purge` were simulated
by others with known hidden parameters; here the same set-ups and faults are run on our own grid.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

from benchmarks.purge_filter import RESULTS, commit
from benchmarks.purge_simulator.case import crossings, volume_L
from benchmarks.purge_simulator.draw import drawn
from benchmarks.purge_simulator.flow import Course, Place, Truth, run

GIVEN = Path(__file__).parents[1] / "tests/cases/purge"
LEVELS_PPM = (1000, 100, 50, 20, 10)
FINER = (1.0, 1.5)
SEED = 777
SOME = (
    ("clean", 3),
    ("clean", 12),
    ("wrong end", 1),
    ("wrong end", 7),
    ("dead leg", 5),
    ("over range", 4),
    ("clean", 21),
)


def given() -> list[dict[str, Any]]:
    """The purges simulated by others."""
    return [json.loads(path.read_text(encoding="utf-8")) for path in sorted(GIVEN.glob("V*.json"))]


def as_given(case: Mapping[str, Any]) -> Truth:
    """The truth of such a purge, from its inputs and its hidden parameters, as ours."""
    told, hidden = case["inputs"], case["truth_hidden_parameters"]["sim"]
    return Truth(
        told["pipe_inside_diameter_m"],
        told["purge_length_between_dams_m"],
        _place(told["feed_position"]),
        _place(told["vent_position"]),
        flows_L_min=tuple((t, flow) for t, flow in told["flow_schedule_t_s_Lmin"]),
        leaks_mL_min=((0.0, hidden["leak_air_mLmin"]),),
        still_leak_1=hidden["leak_zero_flow_factor"],
        gap_at_1=hidden["gap_x"],
        gap_shares_1=((0.0, hidden["gap_out_frac"]),),
        outgas_mL_min=hidden["outgas0_mLmin"],
        outgas_s=hidden["outgas_t"],
        supply_ppm=((0.0, hidden["cin_ppm"]),),
        diffuser_1=hidden["diffuser_frac"],
        jet_m_s=hidden["u_jet"],
        eddy_m2_s=hidden["nu_t"],
        end_s=told["record_end_s"],
    )


def _place(word: str) -> Place:
    return Place(0.0 if "left" in word else 1.0, "low" if "low" in word else "high")


def beside(case: Mapping[str, Any]) -> dict[str, Any]:
    """Final passing of each level at vent and root, theirs and ours, and what is left at the end."""
    truth = as_given(case)
    course = run(truth)
    found: dict[str, Any] = {"volumes_to_20_ppm": _volumes(course, truth)}
    for name, ppm in (("vent", course.vent_ppm), ("root", course.root_ppm)):
        for level in LEVELS_PPM:
            ours = crossings(ppm, truth.flows_L_min, level)["final_below_s"]
            found[f"{name}_{level}_s"] = [case["truth"][name][str(level)]["final_below_s"], ours]
        found[f"{name}_end_ppm"] = [round(case["truth"][f"{name}_ppm_at_end"], 2), round(float(ppm[-1]), 2)]
    return found


def _volumes(course: Course, truth: Truth) -> float | None:
    at_s = crossings(course.vent_ppm, truth.flows_L_min, 20)["final_below_s"]
    return None if at_s is None else round(at_s / 60 * truth.flows_L_min[-1][1] / volume_L(truth), 2)


def finer(group: str, index: int) -> dict[str, Any]:
    """The same purge on finer and finer grids: passing 1000, 50 and 20 ppm at the vent."""
    truth = drawn(group, SEED, index).truth
    truth = replace(truth, end_s=min(truth.end_s, 1200))
    rows = []
    for times in FINER:
        course = run(replace(truth, columns=round(truth.columns * times), rows=round(truth.rows * times)))
        rows.append([crossings(course.vent_ppm, truth.flows_L_min, level)["final_below_s"] for level in (1000, 50, 20)])
    return {"group": group, "index": index, "times_finer": FINER, "passing_1000_50_20_s": rows}


def main() -> None:
    """Both tables."""
    data = {
        "commit": commit(),
        "seed": SEED,
        "theirs_and_ours": {case["id"]: beside(case) for case in given()},
        "finer": [finer(group, index) for group, index in SOME],
    }
    (RESULTS / "purge_simulator.json").write_text(json.dumps(data, indent=1) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
