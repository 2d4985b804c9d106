"""A 12-megapixel photograph on one core: seconds that the reader states itself, and the most memory its process ever held.

`python -m benchmarks.tint_speed` writes `results/tint_speed.json`; photographs are made for it, one of each of three groups.
"""

from __future__ import annotations

import json
import os
import platform
import subprocess
import sys
import tempfile
from pathlib import Path
from typing import Any

from benchmarks.tint_renderer.keep import kept

SEED, WIDTH = 20_001, 4000
GROUPS = ("gradient", "spots", "scale")
RESULTS = Path(__file__).parent / "results"
THREADS = dict.fromkeys(("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "NUMBA_NUM_THREADS"), "1")
WATCHED = """
import resource, sys
from brightroot.cli.main import run
sys.argv = ["brightroot", *sys.argv[1:]]
try:
    run()
except SystemExit:
    pass
used = resource.getrusage(resource.RUSAGE_SELF)
print(used.ru_utime + used.ru_stime, used.ru_maxrss // 1024, file=sys.stderr)
"""


def measured(index: int, group: str, folder: Path) -> dict[str, Any]:
    """One photograph in a fresh process, as the command would be used."""
    row = kept(folder, SEED, index, group=group, width_px=WIDTH)
    words = ["look", str(folder / row["photo"]), "--json", str(folder / "o.json"), "--map", str(folder / "o.npz")]
    for name in ("base", "card", "weld"):
        if row[name]:
            words += [f"--{name}", ",".join(str(v) for v in row[name])]
    if "second" in row:
        words += ["--second", str(folder / row["second"])]
    done = subprocess.run(
        ["taskset", "-c", "0", sys.executable, "-c", WATCHED, *words],
        env=os.environ | THREADS, capture_output=True, text=True, check=False,
    )  # fmt: skip
    cpu_s, peak_MB = done.stderr.split()[-2:]
    answer = json.loads((folder / "o.json").read_text(encoding="utf-8"))
    return {
        "group": group, "megapixels": row["megapixels"], "two": "second" in row, "answer": answer["answer"],
        "elapsed_s": answer["elapsed_s"], "cpu_s_with_start_and_map": round(float(cpu_s), 2), "peak_MB": int(peak_MB),
    }  # fmt: skip


def main() -> None:
    """All of them."""
    with tempfile.TemporaryDirectory() as folder:
        rows = [measured(index, group, Path(folder)) for index, group in enumerate(GROUPS, start=9000)]
    head = subprocess.run(
        ["git", "rev-parse", "--short", "HEAD"], capture_output=True, text=True, check=False
    ).stdout.strip()
    machine = f"{platform.machine()}, {os.cpu_count()} cores, load {os.getloadavg()[0]:.1f} at the end"
    found = {"commit": head or "unknown", "machine": machine, "photographs": rows}
    (RESULTS / "tint_speed.json").write_text(json.dumps(found, indent=1) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
