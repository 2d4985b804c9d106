"""`python -m benchmarks.purge_simulator FOLDER [FIRST] [LAST]`: writes a set of cases to practise on, never those that judge."""

from __future__ import annotations

import json
import sys
from pathlib import Path

from benchmarks.purge_simulator.case import numbered, purge

PRACTICE_SEED = 4711
PRACTICE = {
    "clean": 20, "leak floor": 15, "supply floor": 8, "stop and resume": 22, "wrong end": 22, "dead leg": 18,
    "over range": 18, "leak opens": 18, "slow monitor": 12, "frozen": 6, "handled": 12,
}  # fmt: skip


def main(folder: str, first: str = "0", last: str = "1000") -> None:
    """One file a purge; a file that is there already is left alone."""
    place = Path(folder)
    place.mkdir(parents=True, exist_ok=True)
    for group, seed, index in numbered(PRACTICE_SEED, PRACTICE)[int(first) : int(last)]:
        path = place / f"{index:03d}_{group.replace(' ', '_')}.json"
        if not path.exists():
            path.write_text(json.dumps(purge(group, seed, index).case) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main(*sys.argv[1:])
