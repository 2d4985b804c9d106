"""Where film lies: equivalent thickness (nm) over the pipe for each pattern, and where grey or white scale covers it."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from benchmarks.tint_renderer.shape import Image, Surface, blotches

PATTERNS = ("silver", "uniform", "gradient", "edge band", "parallel lines", "spots", "scale")


@dataclass(frozen=True, slots=True)
class Stain:
    """What covers the weld. Lengths in mm from the weld's middle, films in equivalent nm."""

    pattern: str
    film_nm: float
    bead_nm: float
    half_mm: float  # of the tinted zone
    fade_mm: float
    band_mm: float = 0.0  # of a band or line
    sides: tuple[float, ...] = (-1.0, 1.0)
    lean_1: float = 0.0  # thicker towards one side of the pipe
    base_nm: float = 1.0
    rough_1: float = 0.03
    spots: int = 0
    spot_share: float = 0.002
    scale_share: float = 0.0
    scale_rgb: tuple[float, float, float] = (0.5, 0.5, 0.5)


@dataclass(frozen=True, eq=False, slots=True)
class Cover:
    """Film in equivalent nm, scale's cover 0 to 1, the zone, spots numbered from 1 (0 is none)."""

    film_nm: Image
    scale: Image
    zone: Image
    spot: Image


def drawn(rng: np.random.Generator, pattern: str, bead_mm: float, room_mm: float) -> Stain:
    """One cover of that pattern; `room_mm` is how far from the weld the picture has clean metal."""
    half = rng.uniform(0.45, 0.8) * min(room_mm * 0.6, bead_mm * 2.2) + bead_mm / 2
    half = min(half, room_mm * 0.62)
    plain = Stain(
        pattern, 0.0, 0.0, half, min(rng.uniform(1.0, 5.0), room_mm * 0.8 - half), base_nm=rng.uniform(0.2, 3.0),
        rough_1=rng.uniform(0.01, 0.06), lean_1=rng.uniform(-0.35, 0.35),
    )  # fmt: skip
    if pattern == "silver":
        top = rng.uniform(2.0, 7.0)
        return replace(plain, film_nm=top, bead_nm=top * rng.uniform(0.6, 1.0), lean_1=0.0, rough_1=0.02)
    if pattern == "uniform":
        top = rng.uniform(0.0, 160.0)
        return replace(plain, film_nm=top, bead_nm=top, lean_1=0.0, rough_1=rng.uniform(0.005, 0.03))
    if pattern == "gradient":
        return replace(plain, film_nm=rng.uniform(12, 155), bead_nm=rng.uniform(2, 155))
    if pattern == "edge band":
        band = replace(plain, sides=_sides(rng), band_mm=rng.uniform(0.9, 2.5))
        return replace(band, film_nm=rng.uniform(34, 90), bead_nm=rng.uniform(2, 24))
    if pattern == "parallel lines":
        line = replace(plain, sides=_sides(rng), band_mm=rng.uniform(0.35, 0.8))
        return replace(line, film_nm=rng.uniform(36, 80), bead_nm=rng.uniform(2, 14))
    if pattern == "spots":
        spotted = replace(plain, spots=int(rng.integers(1, 5)), lean_1=0.0)
        return replace(spotted, film_nm=rng.uniform(42, 150), bead_nm=rng.uniform(2, 24))
    tone = rng.uniform(0.55, 0.8) if rng.uniform() < 0.4 else rng.uniform(0.2, 0.42)
    red, green, blue = (float(tone * part) for part in rng.uniform(0.93, 1.07, 3))
    scaled = replace(plain, scale_share=rng.uniform(0.06, 0.4), scale_rgb=(red, green, blue))
    return replace(scaled, film_nm=rng.uniform(60, 155), bead_nm=rng.uniform(90, 155))


def _sides(rng: np.random.Generator) -> tuple[float, ...]:
    return ((-1.0, 1.0), (-1.0, 1.0), (-1.0,), (1.0,))[int(rng.integers(4))]


def cover(
    rng: np.random.Generator, stain: Stain, seen: Surface, *, bead_mm: float, mm_px: float, radius_mm: float
) -> Cover:
    """The cover on every pixel."""
    shape = seen.along_mm.shape
    wander = blotches(rng, shape, max(6.0, 4.0 / mm_px))
    s = np.abs(seen.along_mm + 0.25 * wander)
    lean = 1 + stain.lean_1 * np.sin(seen.round_mm / radius_mm)
    inside = _step((stain.half_mm + stain.fade_mm - s) / stain.fade_mm)
    across = np.clip(s / stain.half_mm, 0, 1)
    if stain.pattern == "gradient":
        profile = stain.bead_nm + (stain.film_nm - stain.bead_nm) * across**1.3
    elif stain.pattern in ("uniform", "silver", "scale"):
        profile = stain.bead_nm + (stain.film_nm - stain.bead_nm) * across
    else:
        profile = np.full(shape, stain.bead_nm, np.float32)
    film = stain.base_nm + np.maximum(profile * lean - stain.base_nm, 0) * inside
    if stain.pattern in ("edge band", "parallel lines"):
        place = stain.half_mm if stain.pattern == "edge band" else bead_mm / 2 + 0.35 * (stain.half_mm - bead_mm / 2)
        for side in stain.sides:
            d = (side * seen.along_mm + 0.12 * wander - place) / (stain.band_mm / 2)
            film = np.maximum(film, stain.film_nm * lean * np.exp(-((np.abs(d) / 1.15) ** 4)))
    film = film * (1 + stain.rough_1 * blotches(rng, shape, max(2.0, 0.7 / mm_px)))
    zone = (np.abs(seen.along_mm) <= stain.half_mm + stain.fade_mm) & seen.on & (seen.plain_z > 0.35)
    spot = np.zeros(shape, np.float32)
    if stain.spots:
        film, spot = _spotted(rng, stain, seen, film, zone)
    scale = np.zeros(shape, np.float32)
    if stain.scale_share:
        flakes = 0.8 * blotches(rng, shape, max(6.0, 3.0 / mm_px)) + 0.5 * blotches(rng, shape, max(2.0, 0.5 / mm_px))
        flakes = flakes - 1.5 * across
        cut = float(np.quantile(flakes[zone], 1 - stain.scale_share))
        scale = (_step((flakes - cut) / 0.25 + 0.5) * (np.abs(seen.along_mm) < stain.half_mm)).astype(np.float32)
    return Cover(np.maximum(film, 0).astype(np.float32), scale, zone.astype(np.float32), spot)


def _step(t: Image) -> Image:
    t = np.clip(t, 0, 1)
    return np.asarray(t * t * (3 - 2 * t), np.float32)


def _spotted(rng: np.random.Generator, stain: Stain, seen: Surface, film: Image, zone: Image) -> tuple[Image, Image]:
    """Spots, each of the given share of the zone's pixels, kept apart and whole."""
    spot = np.zeros(film.shape, np.float32)
    area = stain.spot_share * float(zone.sum())
    radius = np.sqrt(area / np.pi)
    rows, columns = np.nonzero((zone > 0) & (seen.plain_z > 0.6) & (np.abs(seen.along_mm) < 0.8 * stain.half_mm))
    y, x = np.mgrid[0 : film.shape[0], 0 : film.shape[1]].astype(np.float32)
    taken: list[tuple[float, float]] = []
    for _ in range(200):
        if len(taken) == stain.spots or not len(rows):
            break
        k = int(rng.integers(len(rows)))
        at = (float(rows[k]), float(columns[k]))
        if any(np.hypot(at[0] - a, at[1] - b) < 4 * radius for a, b in taken):
            continue
        taken.append(at)
        angle = np.arctan2(y - at[0], x - at[1])
        lobes = 1 + 0.12 * np.sin(2 * angle + rng.uniform(0, 6)) + 0.07 * np.sin(3 * angle + rng.uniform(0, 6))
        d = np.hypot(y - at[0], x - at[1]) / (radius * lobes)
        film = film + np.maximum(stain.film_nm * rng.uniform(0.95, 1.05) - film, 0) * _step((1.15 - d) / 0.3)
        spot[(d < 1) & (zone > 0)] = len(taken)
    return film, spot
