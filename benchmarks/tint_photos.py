"""The photo reader judged by 366 made photographs that it never saw.

`python -m benchmarks.tint_photos [KEEP]` renders, reads, scores, and writes `results/tint_photos.json`; photographs already
made are kept in the folder KEEP. No real weld was photographed.
"""

from __future__ import annotations

import json
import random
import subprocess
import sys
import tempfile
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import numpy as np

from benchmarks.tint_renderer.draw import COUNTS, shot
from benchmarks.tint_renderer.keep import kept
from benchmarks.tint_scores import scored
from benchmarks.tint_table import table

SEED, COUNT = 20_001, sum(COUNTS.values())
RESULTS = Path(__file__).parent / "results"
PROGRAM = "from brightroot.cli.main import run; run()"
ASKED = ("base", "card", "weld", "surface", "second")


def sample() -> list[int]:
    """The seeded 2 % that every test run repeats: small pictures, for the time they take."""
    small = [index for index in range(COUNT) if shot(SEED, index).pose.width_px <= 960]
    return sorted(random.Random(SEED).sample(small, COUNT * 2 // 100))


def made(index: int, folder: Path) -> dict[str, Any]:
    """The list's row of one photograph, rendered unless the folder has it."""
    row_path = folder / f"{SEED}-{index:04d}.json"
    if not row_path.exists():
        row_path.write_text(json.dumps(kept(folder, SEED, index)), encoding="utf-8")
    found: dict[str, Any] = json.loads(row_path.read_text(encoding="utf-8"))
    return found


def read(rows: Sequence[dict[str, Any]], folder: Path) -> list[dict[str, Any]]:
    """Scores of these photographs: read in one process of the program, from files to files, as a person would have it."""
    asked = folder / "asked.jsonl"
    lines = []
    for row in rows:
        line = {"photo": str(folder / row["photo"]), "metal": "titanium"}
        line |= {key: row[key] for key in ASKED if row.get(key)}
        for key in ("base", "card", "weld"):
            if key in line:
                line[key] = ",".join(str(v) for v in line[key])
        if "second" in line:
            line["second"] = str(folder / line["second"])
        stem = Path(row["photo"]).stem
        line |= {"json": str(folder / f"{stem}.answer.json"), "map": str(folder / f"{stem}.map.npz")}
        for key in ("json", "map"):
            Path(line[key]).unlink(missing_ok=True)
        lines.append(line)
    asked.write_text("".join(json.dumps(line) + "\n" for line in lines), encoding="utf-8")
    command = [sys.executable, "-c", PROGRAM, "look", "--list", str(asked)]
    subprocess.run(command, stdout=subprocess.DEVNULL, check=False)
    return [_score(row, line, folder) for row, line in zip(rows, lines)]


def _score(row: dict[str, Any], line: dict[str, Any], folder: Path) -> dict[str, Any]:
    answer_path, map_path = Path(line["json"]), Path(line["map"])
    answer = json.loads(answer_path.read_text(encoding="utf-8")) if answer_path.exists() else {}
    with np.load(folder / row["truth"]) as truth:
        told = dict(np.load(map_path)) if map_path.exists() else None
        return scored(row, answer, {name: truth[name] for name in truth.files}, told)


def main(keep: str = "") -> None:
    """The whole run."""
    with tempfile.TemporaryDirectory() as spare:
        folder = Path(keep or spare)
        rows: list[dict[str, Any]] = []
        commit = _commit()  # of the reader as the run begins
        for first in range(0, COUNT, 26):
            part = [made(index, folder) for index in range(first, min(COUNT, first + 26))]
            rows += read(part, folder)
            print(f"\rphotographs {len(rows)}/{COUNT}", end="", file=sys.stderr, flush=True)
            _write(rows, commit)
        print(file=sys.stderr)


def _commit() -> str:
    found = subprocess.run(["git", "rev-parse", "--short", "HEAD"], capture_output=True, text=True, check=False)
    return found.stdout.strip() or "unknown"


def _write(rows: list[dict[str, Any]], commit: str) -> None:
    head = {"commit": commit, "seed": SEED, "whole": len(rows) == COUNT, "table": table(rows)}
    lines = ",\n".join("  " + json.dumps(row) for row in rows)
    text = json.dumps(head, indent=1)[:-2] + ',\n "photographs": [\n' + lines + "\n ]\n}\n"
    (RESULTS / "tint_photos.json").write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main(*sys.argv[1:2])
