"""How long a search takes on one core with cold tables, and planning again: random joints to NPS 12."""

from __future__ import annotations

import json
import random
import sys
import time
from pathlib import Path
from typing import Any

from benchmarks.planner_table import joint_of
from brightroot.library.load import load_library
from brightroot.physics.heat import kernel as along
from brightroot.physics.heat import modal
from brightroot.planner.search import heat
from brightroot.planner.search.again import QUICK
from brightroot.planner.search.search import Begun, search
from brightroot.planner.search.task import Task
from brightroot.planner.search.tasks import setting_of

SEED, COUNT = 20261125, 60
RESULT = Path(__file__).parent / "results" / "planner_speed.json"
PIPES = (
    "NPS 1 Sch 40S", "NPS 1-1/2 Sch 40S", "NPS 2 Sch 40S", "NPS 3 Sch 40S", "NPS 4 Sch 40S", "NPS 6 Sch 40S", "NPS 8 Sch 40S",
    "NPS 10 Sch 40S", "NPS 12 Sch 40S", "NPS 12 Sch 10S",
)  # fmt: skip
KEPT = (modal.modes, along.rates_1_s, along.weights_1_m, heat.tables, heat.way_heat)


def outcome(index: int) -> dict[str, Any]:
    """Process seconds of a search, its task included, and of planning the rest again in the middle."""
    draw = random.Random(SEED * 1000 + index)
    joint = joint_of(
        draw.choice(PIPES), f"{draw.choice((65, 93, 120, 150))} °C", position=draw.choice(("1G", "2G", "5G", "6G")),
        longest_run_m=f"{draw.choice((50, 60, 80))} mm",
    )  # fmt: skip
    for kept in KEPT:
        kept.cache_clear()
    began = time.process_time()
    setting = setting_of(joint, library=load_library())
    found = search(setting.task)
    took = time.process_time() - began
    return {
        "index": index, "pipe": joint.end_a.size, "layers": len(setting.task.layers), "runs": found.restarts,
        "search_s": round(took, 4), "again_s": round(_again(setting.task), 4),
    }  # fmt: skip


def _again(task: Task) -> float:
    """The search of what is left, from a quarter of the way: one way a layer, as a log has it."""
    layers = tuple(
        type(layer)(layer.number, layer.name, layer.ways[:1], layer.first, layer.in_turn, layer.taped)
        for layer in task.layers
    )
    rest = type(task)(task.ring, layers[len(layers) // 4 :], task.limits, task.hands)
    began = time.process_time()
    search(rest, effort=QUICK, begun=Begun(heat.nothing_yet(task.ring), 60.0))
    return time.process_time() - began


def told(rows: list[dict[str, Any]]) -> dict[str, Any]:
    """Percentiles."""

    def at(name: str, share: float) -> float:
        values = sorted(row[name] for row in rows)
        return float(values[min(int(len(values) * share), len(values) - 1)])

    return {
        "joints": len(rows), "p50_s": at("search_s", 0.5), "p95_s": at("search_s", 0.95), "again_p50_s": at("again_s", 0.5),
        "again_p95_s": at("again_s", 0.95),
    }  # fmt: skip


def main() -> None:
    """All of them."""
    search(setting_of(joint_of("NPS 2 Sch 10S", "93 °C"), library=load_library()).task)  # compiled
    rows = []
    for index in range(COUNT):
        rows.append(outcome(index))
        print(f"\rsearch speed {index + 1}/{COUNT}", end="", file=sys.stderr, flush=True)
        data = {"seed": SEED, **told(rows), "rows": rows}
        RESULT.write_text(json.dumps(data, indent=1, ensure_ascii=False) + "\n", encoding="utf-8")
    print(file=sys.stderr)


if __name__ == "__main__":
    main()
