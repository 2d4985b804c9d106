"""`python -m benchmarks.tint_renderer --out DIR --count N --seed S …`: pictures with truth."""

from __future__ import annotations

import argparse
from pathlib import Path

from benchmarks.tint_renderer.keep import kept


def main() -> None:
    """Write the set; `list.jsonl` grows by a line a picture."""
    words = argparse.ArgumentParser(prog="tint_renderer", description=__doc__)
    words.add_argument("--out", type=Path, required=True)
    words.add_argument("--count", type=int, default=20)
    words.add_argument("--seed", type=int, default=1)
    words.add_argument("--first", type=int, default=0)
    words.add_argument("--width", type=int, default=0)
    words.add_argument("--group", default="")
    asked = words.parse_args()
    for index in range(asked.first, asked.first + asked.count):
        row = kept(asked.out, asked.seed, index, group=asked.group, width_px=asked.width)
        print(row["photo"], row["group"], row["worst_class4"], flush=True)


if __name__ == "__main__":
    main()
