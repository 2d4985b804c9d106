"""An anodised strip through twelve unknown cameras, read without any profile of the camera: how far off each band is.

`python -m benchmarks.tint_strip` writes `results/tint_strip.json`. A profile is worth having if it brings this below 3 nm.
"""

from __future__ import annotations

import io
import json
import subprocess
from pathlib import Path
from typing import Any

import numpy as np
from PIL import Image

from benchmarks.tint_renderer.strip import Box, strip

SEEDS = range(40_001, 40_013)
FILMS_NM = tuple(float(nm) for nm in range(4, 132, 8))
RESULTS = Path(__file__).parent / "results"


def measured(seed: int) -> dict[str, Any]:
    """Errors of the bands of one strip in nm; the camera, light, metal and oxide are that seed's."""
    from brightroot.app.look import look_at
    from brightroot.store.photos import read_photo
    from brightroot.store.tint_ways import tint_ways

    made = strip(seed, FILMS_NM)
    kept = io.BytesIO()
    Image.fromarray(made.picture).save(kept, "JPEG", quality=92)
    first, last = made.bands[0], made.bands[-1]
    weld = (first[0], first[1], last[0] + last[2] - first[0], first[3])
    taps = {"base": _told(made.bare), "card": _told(made.card), "weld": _told(weld)}
    looked = look_at(read_photo(kept.getvalue()), taps, tint_ways())
    row: dict[str, Any] = {"seed": seed, "answer": looked.plain()["answer"], "reasons": looked.plain()["reasons"]}
    if looked.reading.field is None:
        return row
    factor, nm = looked.photo.factor, looked.reading.field.nm
    errors = []
    for (x, y, w, h), film in zip(made.bands, made.film_nm):
        errors.append(float(np.median(nm[y // factor : (y + h) // factor, x // factor : (x + w) // factor])) - film)
    row["errors_nm"] = [round(e, 2) for e in errors]
    row["mean_nm"] = round(float(np.mean(np.abs(errors))), 2)
    row["mean_below_60_nm"] = round(float(np.mean([abs(e) for e, f in zip(errors, FILMS_NM) if f < 60])), 2)
    return row


def _told(box: Box) -> str:
    return ",".join(str(v) for v in box)


def main() -> None:
    """All of them."""
    rows = [measured(seed) for seed in SEEDS]
    head = subprocess.run(
        ["git", "rev-parse", "--short", "HEAD"], capture_output=True, text=True, check=False
    ).stdout.strip()
    read = [r for r in rows if r["answer"] == "read"]
    found = {
        "commit": head or "unknown", "films_nm": FILMS_NM, "read": len(read), "strips": rows,
        "mean_below_60_nm": round(float(np.mean([r["mean_below_60_nm"] for r in read])), 2) if read else None,
    }  # fmt: skip
    (RESULTS / "tint_strip.json").write_text(json.dumps(found, indent=1) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
