"""A 12-megapixel photograph on one core: seconds that the reader states itself, and the most memory its process ever held.

`python -m benchmarks.tint_speed` writes `results/tint_speed.json`; photographs are made for it at 1,600 pixels
and enlarged, for the sake of the renderer's memory.
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

from PIL import Image

from benchmarks.tint_renderer.keep import kept

SEED, WIDTH, TIMES = 20_001, 1600, 2.5
GROUPS = ("edge band", "spots", "scale")
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
    size = _enlarged(folder / row["photo"])
    words = ["look", str(folder / row["photo"]), "--json", str(folder / "o.json"), "--map", str(folder / "o.npz")]
    for name in ("base", "card", "weld"):
        if row[name]:
            words += [f"--{name}", ",".join(str(int(v * TIMES)) for v in row[name])]
    if "second" in row:
        _enlarged(folder / row["second"])
        words += ["--second", str(folder / row["second"])]
    done = subprocess.run(
        ["taskset", "-c", "0", sys.executable, "-c", WATCHED, *words],
        env=os.environ | THREADS, capture_output=True, text=True, check=False,
    )  # fmt: skip
    cpu_s, peak_MB = done.stderr.split()[-2:]
    answer = json.loads((folder / "o.json").read_text(encoding="utf-8"))
    return {
        "group": group, "megapixels": round(size[0] * size[1] / 1e6, 1), "two": "second" in row, "answer": answer["answer"],
        "elapsed_s": answer["elapsed_s"], "cpu_s_with_start_and_map": round(float(cpu_s), 2), "peak_MB": int(peak_MB),
    }  # fmt: skip


def _enlarged(path: Path) -> tuple[int, int]:
    with Image.open(path) as image:
        exif = image.getexif()
        large = image.resize((int(image.width * TIMES), int(image.height * TIMES)), Image.Resampling.BICUBIC)
    large.save(path, quality=92, exif=exif)
    return large.size


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
