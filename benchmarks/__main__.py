"""`./test evidence`: make every long sweep again and write its results with commit and seed. Ctrl-C stops between joints."""

from __future__ import annotations

import json
import subprocess
import sys
import tempfile
from pathlib import Path
from typing import Any

from benchmarks import (
    heat_accuracy,
    heat_evidence,
    planner_loop,
    planner_optimal,
    planner_page,
    planner_table,
    purge_alike,
    purge_evidence,
    purge_filter,
    tint_evidence,
    tint_fuzz,
    tint_photos,
    tint_speed,
    tint_strip,
)
from benchmarks.plan_speed import measured
from benchmarks.random_joints import COUNT, SEED, outcome

RESULTS = Path(__file__).parent / "results"


def _commit() -> str:
    found = subprocess.run(["git", "rev-parse", "--short", "HEAD"], capture_output=True, text=True, check=False)
    return found.stdout.strip() or "unknown"


def _write(name: str, data: dict[str, Any]) -> None:
    text = json.dumps({"commit": _commit(), **data}, indent=1, sort_keys=True)
    (RESULTS / f"{name}.json").write_text(text + "\n", encoding="utf-8")


def main() -> None:
    """All sweeps in turn."""
    joints = []
    for index in range(COUNT):
        joints.append(outcome(index))
        print(f"\rrandom joints {index + 1}/{COUNT}", end="", file=sys.stderr, flush=True)
    print(file=sys.stderr)
    _write("random_joints", {"seed": SEED, "joints": joints})
    _write("plan_speed", measured())
    heat_accuracy.main()
    subprocess.run([sys.executable, "-m", "benchmarks.heat_speed"], check=True)  # with one thread from its start
    heat_evidence.main()
    tint_speed.main()
    tint_fuzz.main()
    tint_strip.main()
    with tempfile.TemporaryDirectory() as kept:
        tint_photos.main(kept)
        tint_evidence.main(kept)
    purge_alike.main()
    purge_filter.main()
    subprocess.run([sys.executable, "-m", "benchmarks.purge_speed"], check=True)
    purge_evidence.main()
    planner_optimal.main()
    planner_table.main()
    subprocess.run([sys.executable, "-m", "benchmarks.planner_speed"], check=True)
    planner_loop.main()
    planner_page.main()


if __name__ == "__main__":
    main()
