"""Is the search optimal where everything can be tried? Random tiny tasks, every sequence enumerated by another program."""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import Any

from benchmarks.planner_enumerator import cost, everything, tiny
from brightroot.planner.search.search import Stuck, search

SEED, COUNT = 20261125, 130
RESULT = Path(__file__).parent / "results" / "planner_optimal.json"
SAME_1 = 1e-3  # the two programs find moments to a tenth of a second


def outcome(index: int) -> dict[str, Any]:
    """The best of all sequences, what the judge makes of the search's, and whether they are the same."""
    task = tiny(SEED + index)
    best, count = None, 0
    for found, _ in everything(task):
        count += 1
        best = found if best is None else min(best, found)
    try:
        searched = search(task)
    except Stuck:
        return {"index": index, "sequences": count, "best_s": best, "search_s": None, "optimal": best is None}
    judged = cost(task, tuple((run.layer, run.way, run.stretch) for run in searched.runs))
    optimal = best is not None and judged is not None and judged <= best * (1 + SAME_1) + 0.1
    return {
        "index": index, "sequences": count, "best_s": best and round(best, 2), "search_s": judged and round(judged, 2),
        "own_s": round(searched.time_s, 2), "optimal": optimal,
    }  # fmt: skip


def main() -> None:
    """All of them, written as they come."""
    rows = []
    for index in range(COUNT):
        rows.append(outcome(index))
        print(f"\rtiny tasks {index + 1}/{COUNT}", end="", file=sys.stderr, flush=True)
        solved = [row for row in rows if row["best_s"] is not None]
        data = {
            "seed": SEED, "tasks": rows, "with_a_plan": len(solved), "optimal": sum(r["optimal"] for r in rows),
            "asked": "optimal on every one, at least 100",
        }  # fmt: skip
        RESULT.write_text(json.dumps(data, indent=1) + "\n", encoding="utf-8")
    print(file=sys.stderr)


if __name__ == "__main__":
    main()
