"""How long the purge filter takes: one reading taken in and everything forecast anew; 200 readings played again.

`python -m benchmarks.purge_speed` writes `results/purge_speed.json`. Processor time of one core, the first call (which
compiles) left out. A look is a whole record asked after every reading, over its readings.
"""

from __future__ import annotations

import json
import time
from typing import Any

import numpy as np

from benchmarks.purge_filter import RESULTS, SEED, commit
from benchmarks.purge_simulator.case import Purge, purge
from brightroot.app.calc import answer

PURGES = (("clean", 1), ("wrong end", 2), ("stop and resume", 3), ("dead leg", 4), ("over range", 5), ("leak opens", 6))
REPLAYED = 200


def spent_s(case: dict[str, Any]) -> float:
    """Processor time of one answer."""
    began = time.process_time()
    answer("purge", case)
    return time.process_time() - began


def timed(one: Purge) -> tuple[float, float]:
    """Seconds a look (a reading taken in and all targets forecast), and for 200 readings played again with one forecast."""
    inputs = one.case["inputs"]
    times = [row["t_s"] for row in inputs["readings"]]
    whole = spent_s({"inputs": inputs, "at_s": times})
    rows = [{**row, "t_s": times[-1] * (n + 1) / REPLAYED} for n, row in enumerate((inputs["readings"] * 4)[:REPLAYED])]
    again = spent_s({"inputs": {**inputs, "readings": rows}, "at_s": [times[-1]]})
    return whole / len(times), again


def measured() -> dict[str, Any]:
    """Both, over the purges."""
    made = [purge(group, SEED + 1, index) for group, index in PURGES]
    timed(made[0])
    looks, again = zip(*(timed(one) for one in made for _ in range(3)), strict=True)
    return {
        "commit": commit(),
        "look_median_s": round(float(np.median(looks)), 5),
        "look_p95_s": round(float(np.quantile(looks, 0.95)), 5),
        "replay_200_median_s": round(float(np.median(again)), 3),
        "replay_200_p95_s": round(float(np.quantile(again, 0.95)), 3),
    }


def main() -> None:
    """Measures and writes."""
    (RESULTS / "purge_speed.json").write_text(json.dumps(measured(), indent=1) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
