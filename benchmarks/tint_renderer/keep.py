"""A photograph as files: the picture as a phone keeps it, its truth as `.npz`, one line of the list."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import numpy as np
from PIL import Image as Pictures

from benchmarks.tint_renderer.draw import shot
from benchmarks.tint_renderer.render import Bytes, Photograph, photograph

_TURN = {1: 0, 6: 1, 3: 2, 8: 3}  # quarter turns against the clock that undo the tag


def kept(folder: Path, seed: int, index: int, *, group: str = "", width_px: int = 0) -> dict[str, Any]:
    """Render, write, list; gives the list's row."""
    folder.mkdir(parents=True, exist_ok=True)
    drawn = shot(seed, index, group=group, width_px=width_px)
    made = photograph(drawn)
    stem = f"{seed}-{index:04d}"
    names = [_saved(folder, f"{stem}{'ab'[k] if k else ''}", p, made.facts) for k, p in enumerate(made.pictures)]
    truth(folder / f"{stem}.npz", made)
    row = {"photo": names[0], "truth": f"{stem}.npz", "index": index, **made.facts}
    if len(names) > 1:
        row["second"] = names[1]
    with (folder / "list.jsonl").open("a", encoding="utf-8") as lines:
        lines.write(json.dumps(row) + "\n")
    return row


def truth(path: Path, made: Photograph) -> None:
    """What was so, in the upright picture's pixels: float16 film, class, zone, spots by number, scale."""
    np.savez_compressed(
        path, equiv_thickness_nm=made.film_nm.astype(np.float16), class4=made.class4, weldzone=made.zone, spot=made.spot,
        scale=made.scale > 0.5,
    )  # fmt: skip


def _saved(folder: Path, stem: str, picture: Bytes, facts: dict[str, Any]) -> str:
    tag = facts["orientation"]
    image = Pictures.fromarray(np.ascontiguousarray(np.rot90(picture, _TURN[tag])))
    if facts["quality"] == 100:
        image = Pictures.fromarray(picture)
        image.save(folder / f"{stem}.png")
        return f"{stem}.png"
    exif = Pictures.Exif()
    exif[0x0112] = tag
    image.save(folder / f"{stem}.jpg", quality=facts["quality"], exif=exif)
    return f"{stem}.jpg"
