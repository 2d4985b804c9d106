"""Two small sheets for the page: what made photographs look like, and the heaviest failures beside truth and map."""

from __future__ import annotations

import json
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageOps

from benchmarks.tint_photos import SEED
from benchmarks.tint_renderer.draw import COUNTS, group_of

PICTURES = Path(__file__).parents[1] / "docs/pictures"
CLASS_RGB = np.array([[222, 222, 218], [214, 164, 60], [52, 70, 190], [20, 20, 20], [240, 120, 240]], np.uint8)
CELL = (150, 100)


def sheets(folder: Path, failed: Sequence[int]) -> None:
    """Write both."""
    shown = [next(i for i in range(400) if group_of(i) == group) for group in COUNTS]
    whole = Image.new("RGB", (CELL[0] * 5, CELL[1] * 3), "white")
    for k, index in enumerate(shown[:15]):
        whole.paste(_photo(folder, index), (k % 5 * CELL[0], k // 5 * CELL[1]))
    _kept(whole, "tint-examples.png")
    rows = [index for index in failed if (folder / f"{_stem(index)}.map.npz").exists()][:6]
    if rows:
        whole = Image.new("RGB", (CELL[0] * 3 + 4, (CELL[1] + 2) * len(rows)), "white")
        for k, index in enumerate(rows):
            row = _row(folder, index)
            y = k * (CELL[1] + 2)
            whole.paste(_photo(folder, index), (0, y))
            with np.load(folder / row["truth"]) as truth, np.load(folder / f"{_stem(index)}.map.npz") as told:
                whole.paste(_classes(truth["class4"], truth["weldzone"]), (CELL[0] + 2, y))
                whole.paste(_classes(told["class4"], told["weldzone"]), (CELL[0] * 2 + 4, y))
        _kept(whole, "tint-failures.png")


def _kept(whole: Image.Image, name: str) -> None:
    palette = whole.quantize(200)
    whole.quantize(palette=palette, dither=Image.Dither.FLOYDSTEINBERG).save(PICTURES / name, optimize=True)


def _stem(index: int) -> str:
    return f"{SEED}-{index:04d}"


def _row(folder: Path, index: int) -> dict[str, Any]:
    found: dict[str, Any] = json.loads((folder / f"{_stem(index)}.json").read_text(encoding="utf-8"))
    return found


def _photo(folder: Path, index: int) -> Image.Image:
    with Image.open(folder / _row(folder, index)["photo"]) as image:
        return ImageOps.fit(ImageOps.exif_transpose(image).convert("RGB"), CELL)


def _classes(class4: NDArray[Any], zone: NDArray[Any]) -> Image.Image:
    pixels = CLASS_RGB[np.minimum(class4, 4)]
    pixels = np.where(zone[..., None], pixels, 128 + pixels // 2)
    return ImageOps.fit(Image.fromarray(pixels.astype(np.uint8)), CELL, Image.Resampling.NEAREST)
