"""A home-made anodised strip before an unknown camera: bands of known film on a flat strip, bare metal at its end, a grey card."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.ndimage import gaussian_filter

from benchmarks.tint_renderer.camera import noisy, toned
from benchmarks.tint_renderer.draw import Shot, shot
from benchmarks.tint_renderer.render import Bytes, look_up, tables
from benchmarks.tint_renderer.shape import Image

Box = tuple[int, int, int, int]


@dataclass(frozen=True, eq=False, slots=True)
class Strip:
    """The picture, and where bare metal, card and bands are; films in equivalent nm."""

    picture: Bytes
    bare: Box
    card: Box
    bands: tuple[Box, ...]
    film_nm: tuple[float, ...]


def strip(seed: int, films_nm: tuple[float, ...], *, taken: int = 0, width_px: int = 1400) -> Strip:
    """The strip of that seed's metal, oxide, camera and light. `taken` counts the pictures of it: noise and lamp differ."""
    whole = shot(seed, 0, group="uniform")
    rng = np.random.default_rng([seed, 4, taken])
    height = width_px * 2 // 5
    step = width_px // (len(films_nm) + 2)
    y, x = np.mgrid[0:height, 0:width_px].astype(np.float32)
    film, on = np.full((height, width_px), 1.0, np.float32), (y > height * 0.45) & (y < height * 0.92)
    top, tall = int(height * 0.52), int(height * 0.32)
    boxes = []
    for k, nm in enumerate(films_nm):
        left = step * (k + 1) + step // 2
        film[:, left : left + step] = nm
        boxes.append((left + step // 5, top, step * 3 // 5, tall))
    film = gaussian_filter(film, 2.0) * (
        1 + 0.01 * gaussian_filter(rng.standard_normal(film.shape, np.float32), 12) * 30
    )
    card = (int(width_px * 0.4), int(height * 0.1), int(width_px * 0.2), int(height * 0.25))
    picture = _taken(rng, whole, film, on, card, x / width_px, y / height)
    bare = (step // 4, top, step, tall)
    inner = (card[0] + 12, card[1] + 12, card[2] - 24, card[3] - 24)
    return Strip(picture, bare, inner, tuple(boxes), films_nm)


def _taken(rng: np.random.Generator, whole: Shot, film: Image, on: Image, card: Box, x: Image, y: Image) -> Bytes:
    table = tables(whole)[0]
    marks = gaussian_filter(rng.standard_normal(film.shape, np.float32), (0.6, 30)) * 6
    facing = np.full(film.shape, np.cos(rng.uniform(0, 0.3)), np.float32)
    slope = rng.uniform(-0.25, 0.25, 2)
    mirror = (1 + slope[0] * (x - 0.5) + slope[1] * (y - 0.5)) * (1 + 0.04 * marks)
    plain = table[-1, 0]
    scene = np.where(on[..., None], look_up(table, film, facing) * mirror[..., None], 0.08 * plain)
    cx, cy, cw, ch = card
    scene[cy : cy + ch, cx : cx + cw] = whole.card_reflects * plain
    linear = gaussian_filter(scene, (0.8, 0.8, 0)) * np.float32(0.8 / np.quantile(scene[on].max(axis=-1), 0.985))
    out = toned(noisy(rng, linear, full_well=whole.noise, read=0.002), whole.camera)
    return np.asarray(np.clip(out * 255 + 0.5, 0, 255), np.uint8)
