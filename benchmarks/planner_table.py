"""By pipe size and limit: waiting until cold, the plan's own order, greedy, the search, and a search with ten times the beam.

Greedy always takes the run of the plan's own cut, current and travel that can start soonest; `greedy_strong_s` gives it the cut,
the current and the travel that the search found: only order is left to tell them apart. All on the modal heat, counted alike.
"""

from __future__ import annotations

import json
import sys
import time
from pathlib import Path
from typing import Any

from brightroot.app.declare_joint import declare_joint
from brightroot.library.load import load_library
from brightroot.model.joint import Joint
from brightroot.planner.search.search import Stuck, one_order, search
from brightroot.planner.search.task import Effort, Found, Task
from brightroot.planner.search.tasks import setting_of

RESULT = Path(__file__).parent / "results" / "planner_table.json"
PIPES = (
    "NPS 1-1/2 Sch 10S", "NPS 2 Sch 10S", "NPS 2 Sch 40S", "NPS 3 Sch 10S", "NPS 4 Sch 40S", "NPS 6 Sch 10S", "NPS 8 Sch 10S",
    "NPS 8 Sch 40S", "NPS 12 Sch 10S", "NPS 12 Sch 40S",
)  # fmt: skip
LIMITS = ("60 °C", "93 °C", "120 °C")
COLD_K = 313.15  # hand warm


def joint_of(pipe: str, limit: str, **more: str) -> Joint:
    """A plain joint of grade 2, fixed horizontal."""
    facts = {
        "id": "T-1", "metal": "Gr 2", "pipe": pipe, "position": "5G", "included_angle_rad": "70°", "land_m": "0.8 mm",
        "gap_m": "2.4 mm", "dam_kind": "foam", "dam_span_m": "600 mm", "feed": "low", "vent_diameter_m": "8 mm",
        "backing_flow_m3_s": "10 L/min", "supply_oxygen_frac": "3 ppm", "start_oxygen_frac": "20 ppm",
        "interpass_max_K": limit, "longest_run_m": "60 mm", "ambient_K": "20 °C", **more,
    }  # fmt: skip
    return declare_joint(facts, library=load_library())


def row(pipe: str, limit: str, *, wide: bool = True) -> dict[str, Any]:
    """One line of the table, in seconds."""
    task = setting_of(joint_of(pipe, limit), library=load_library()).task
    began = time.process_time()
    found = search(task)
    took = time.process_time() - began
    own = [0] * len(task.layers)
    best = [next(run.way for run in found.runs if run.layer == k) for k in range(len(task.layers))]
    cells = {
        "cold_s": _tried(task, own, until_K=COLD_K), "fixed_s": _tried(task, own), "greedy_s": _tried(task, own, greedy=True),
        "greedy_strong_s": _tried(task, best, greedy=True), "search_s": round(found.time_s, 1),
        "wide_s": round(search(task, effort=Effort.of(task).times(10)).time_s, 1) if wide else None,
    }  # fmt: skip
    bound = sum(run.binds in ("interpass", "hot_length") for run in found.runs)
    return {
        "pipe": pipe, "limit": limit, "layers": len(task.layers), "runs": found.restarts, "bound": bound,
        "purge_s": round(task.hands.before_s, 1), "cpu_s": round(took, 3),
        **cells, "faster_than_cold_frac": _gain(cells["cold_s"], found), "faster_than_greedy_frac": _gain(cells["greedy_s"], found),
    }  # fmt: skip


def _tried(task: Task, ways: list[int], *, greedy: bool = False, until_K: float | None = None) -> float | None:
    try:
        return round(one_order(task, ways=ways, greedy=greedy, until_K=until_K).time_s, 1)
    except Stuck:
        return None


def _gain(other_s: float | None, found: Found) -> float | None:
    return None if other_s is None else round(1 - found.time_s / other_s, 4)


def main() -> None:
    """The whole table, written as it grows."""
    search(setting_of(joint_of("NPS 2 Sch 10S", "93 °C"), library=load_library()).task)  # compiled
    rows: list[dict[str, Any]] = []
    for pipe in PIPES:
        for limit in LIMITS:
            rows.append(row(pipe, limit))
            print(f"\rtable {len(rows)}/{len(PIPES) * len(LIMITS)}", end="", file=sys.stderr, flush=True)
            RESULT.write_text(json.dumps({"rows": rows}, indent=1, ensure_ascii=False) + "\n", encoding="utf-8")
    print(file=sys.stderr)


if __name__ == "__main__":
    main()
