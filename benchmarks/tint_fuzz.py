"""2,000 files that are no plain photograph, given to the photo reader: each is answered or refused by name, none brings it down.

`python -m benchmarks.tint_fuzz` writes `results/tint_fuzz.json`. The files are read in a child process, so that a crash of a
decoder is counted and the rest goes on.
"""

from __future__ import annotations

import json
import resource
import subprocess
import sys
import time
from collections import Counter
from pathlib import Path
from typing import Any

from benchmarks.tint_mutants import KINDS, mutant

SEED, COUNT = 31_001, 2_000
RESULTS = Path(__file__).parent / "results"
ADDRESS_SPACE = 3 << 30  # bytes the child may have at all


def outcome(index: int) -> dict[str, Any]:
    """What became of one file. Anything but an answer or a refusal by name is a fault."""
    from brightroot.base.errors import Refused

    kind, content, taps = mutant(SEED, index)
    start = time.perf_counter()
    try:
        ended, said = _asked(content, taps)
    except Refused as refused:
        ended, said = "refused", f"{refused.field}: {refused.reason or refused.wanted}"
    except MemoryError:
        ended, said = "fault", "MemoryError"
    except Exception as fault:
        ended, said = "fault", f"{type(fault).__name__}: {fault}"[:120]
    took = time.perf_counter() - start
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024
    return {"index": index, "kind": kind, "ended": ended, "said": said, "took_s": round(took, 3), "peak_MB": peak}


def _asked(content: bytes, taps: dict[str, str]) -> tuple[str, str]:
    from brightroot.app.look import look_at
    from brightroot.store.photos import read_photo
    from brightroot.store.tint_ways import tint_ways

    told = look_at(read_photo(content), taps, tint_ways()).plain()
    if told["answer"] == "read":
        return "answered", "read"
    return (
        ("refused", "look: " + ", ".join(told["reasons"])) if told["reasons"] else ("fault", "refused without a reason")
    )


def child(first: int) -> None:
    """Lines of outcomes from that file on."""
    resource.setrlimit(resource.RLIMIT_AS, (ADDRESS_SPACE, ADDRESS_SPACE))
    for index in range(first, COUNT):
        print(json.dumps(outcome(index)), flush=True)


def summary(rows: list[dict[str, Any]]) -> dict[str, Any]:
    """Counts by kind of file, and what is worst."""
    return {
        "files": len(rows),
        "ended": dict(Counter(r["ended"] for r in rows)),
        "by_kind": {k.__name__: dict(Counter(r["ended"] for r in rows if r["kind"] == k.__name__)) for k in KINDS},
        "refusals": dict(Counter(r["said"] for r in rows if r["ended"] == "refused").most_common()),
        "faults": [r for r in rows if r["ended"] not in ("answered", "refused")],
        "slowest_s": max(r["took_s"] for r in rows),
        "slowest": max(rows, key=lambda r: r["took_s"])["kind"],
        "peak_MB": max(r["peak_MB"] for r in rows),
    }  # fmt: skip


def main() -> None:
    """The whole run; what is done so far is written every hundred files."""
    rows: list[dict[str, Any]] = []
    while len(rows) < COUNT:
        words = [sys.executable, "-m", "benchmarks.tint_fuzz", str(len(rows))]
        with subprocess.Popen(words, stdout=subprocess.PIPE, text=True) as running:
            for line in running.stdout or ():
                rows.append(json.loads(line))
                if len(rows) % 100 == 0:
                    _write(rows)
        if len(rows) < COUNT:
            kind, said = mutant(SEED, len(rows))[0], str(running.returncode)
            rows.append({"index": len(rows), "kind": kind, "ended": "crash", "said": said, "took_s": 0.0, "peak_MB": 0})
    _write(rows)


def _write(rows: list[dict[str, Any]]) -> None:
    head = subprocess.run(["git", "rev-parse", "--short", "HEAD"], capture_output=True, text=True, check=False)
    found = {"commit": head.stdout.strip() or "unknown", "seed": SEED, **summary(rows)}
    (RESULTS / "tint_fuzz.json").write_text(json.dumps(found, indent=1) + "\n", encoding="utf-8")


if __name__ == "__main__":
    child(int(sys.argv[1])) if len(sys.argv) > 1 else main()
