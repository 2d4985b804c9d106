"""The live purge filter judged by 510 simulated purges that it never saw, beside two-point and exponential-plus-floor forecasts.

`python -m benchmarks.purge_filter [KEEP]` makes the whole run and writes `results/purge_filter.json`; purges already simulated
are kept in the folder KEEP and read from there. The evidence is simulated: no pipe was purged.
"""

from __future__ import annotations

import json
import pickle
import random
import subprocess
import sys
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from benchmarks.purge_scores import scored
from benchmarks.purge_simulator.case import Purge, numbered, purge
from benchmarks.purge_simulator.draw import COUNTS as GROUPS
from benchmarks.purge_table import table

SEED, JUDGED = 20261125, 510
RESULTS = Path(__file__).parent / "results"


def judging() -> list[tuple[str, int, int]]:
    """Group, seed and index of every purge that judges."""
    return numbered(SEED, dict(GROUPS))[:JUDGED]


def sample() -> list[int]:
    """The seeded 2 % that every test run repeats."""
    count = len(judging())
    return sorted(random.Random(SEED).sample(range(count), max(1, count * 2 // 100)))


def simulated(index: int, keep: Path | None = None) -> Purge:
    """One purge of the judging set, from the folder if it is there."""
    path = None if keep is None else keep / f"{index:03d}.pickle"
    if path is not None and path.exists():
        found: Purge = pickle.loads(path.read_bytes())
        return found
    made = purge(*judging()[index])
    if path is not None:
        path.write_bytes(pickle.dumps(made))
    return made


def brief(row: Mapping[str, Any]) -> dict[str, Any]:
    """What is kept of a purge: its group and, at each count, the forecast for 20 ppm and what was so."""
    counts = {
        count: [at["at_s"], at["targets"]["20"]["true_s"], *at["targets"]["20"]["filter"]]
        for count, at in row["counts"].items()
    }
    return {"index": row["index"], "group": row["group"], "counts": counts}


def simulate(keep: str) -> None:
    """Only the simulations, into that folder."""
    Path(keep).mkdir(parents=True, exist_ok=True)
    for index in range(JUDGED):
        simulated(index, Path(keep))


def commit() -> str:
    """The commit that is judged."""
    found = subprocess.run(["git", "rev-parse", "--short", "HEAD"], capture_output=True, text=True, check=False)
    return found.stdout.strip() or "unknown"


def main(keep: str | None = None, first: str = "0", last: str = "100000") -> None:
    """The whole run, or the purges from `first` to before `last`, then shown and not written."""
    folder = None if keep is None else Path(keep)
    if folder is not None:
        folder.mkdir(parents=True, exist_ok=True)
    judged, count = commit(), len(judging())
    rows = []
    for index in range(int(first), min(count, int(last))):
        rows.append(scored(simulated(index, folder)))
        if folder is not None:
            with (folder / f"rows-{judged}.jsonl").open("a", encoding="utf-8") as lines:
                lines.write(json.dumps(rows[-1]) + "\n")
        print(f"\rpurges {index + 1}/{count}", end="", file=sys.stderr, flush=True)
    print(file=sys.stderr)
    if len(rows) < count:
        print(json.dumps(table(rows), indent=1))
        return
    write(rows, judged)


def write(rows: Sequence[Mapping[str, Any]], judged: str) -> None:
    """The table and a brief row of every purge."""
    data = {"commit": judged, "seed": SEED, "simulated": True, **table(rows)}
    text = json.dumps(data, indent=1, sort_keys=True).removesuffix("\n}")
    lines = ",\n  ".join(json.dumps(brief(row)) for row in rows)
    (RESULTS / "purge_filter.json").write_text(f'{text},\n "rows": [\n  {lines}\n ]\n}}\n', encoding="utf-8")


if __name__ == "__main__":
    main(*sys.argv[1:])
