"""Invented cameras: spectral sensitivities, a colour matrix fitted as makers do, white balance, tone, noise."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter

from benchmarks.tint_renderer.tables import LAMBDA_NM, Floats, light, observer

Image = NDArray[Any]
XYZ_TO_SRGB = np.array([[3.2406, -1.5372, -0.4986], [-0.9689, 1.8758, 0.0415], [0.0557, -0.2040, 1.0570]])
TONES = ("plain", "shoulder", "contrast", "shadows")


@dataclass(frozen=True, eq=False, slots=True)
class Camera:
    """One phone: sensitivities (3 rows), the matrix from white-balanced raw to linear sRGB, the tone curve's name and strength."""

    name: str
    sensitivity: Floats
    matrix: Floats
    tone: str
    strength: float


def invented(rng: np.random.Generator, *, judging: bool) -> Camera:
    """A camera of the training or of the judging family: peaks, widths and side lobes differ between them."""
    if judging:
        peaks = rng.uniform([595, 528, 448], [618, 545, 472])
        widths = rng.uniform([30, 34, 24], [44, 48, 36])
        lobes = rng.uniform(0.03, 0.16, 3)
        tones = ("shoulder", "shadows", "contrast")
    else:
        peaks = rng.uniform([588, 525, 445], [606, 540, 462])
        widths = rng.uniform([26, 30, 22], [38, 44, 32])
        lobes = rng.uniform(0.0, 0.10, 3)
        tones = ("plain", "shoulder", "contrast")
    curves = np.exp(-0.5 * ((LAMBDA_NM - peaks[:, None]) / widths[:, None]) ** 2)
    curves[0] += lobes[0] * np.exp(-0.5 * ((LAMBDA_NM - 540) / 30) ** 2) + 0.4 * lobes[0] * (LAMBDA_NM < 440)
    curves[1] += lobes[1] * np.exp(-0.5 * ((LAMBDA_NM - 610) / 25) ** 2)
    curves[2] += lobes[2] * np.exp(-0.5 * ((LAMBDA_NM - 520) / 25) ** 2)
    curves *= 1 / (1 + np.exp((LAMBDA_NM - rng.uniform(660, 695)) / 8)) * (LAMBDA_NM > 395)
    sharpen = rng.uniform(1.0, 1.18)
    return Camera(
        "judging" if judging else "training",
        curves,
        _fitted(rng, curves, sharpen),
        str(rng.choice(tones)),
        rng.uniform(0.2, 1),
    )


def _fitted(rng: np.random.Generator, curves: Floats, saturation: float) -> Floats:
    """Least squares over smooth reflectances in daylight, white kept white; then the maker's taste for colour."""
    centres, widths = rng.uniform(380, 780, (120, 1)), rng.uniform(20, 150, (120, 1))
    patches = 0.05 + rng.uniform(0.1, 0.9, (120, 1)) * np.exp(-0.5 * ((LAMBDA_NM - centres) / widths) ** 2)
    lit = light("D65")
    raw = (patches * lit) @ curves.T / (curves @ lit)
    weights = observer() * lit
    xyz = (patches @ weights.T) / weights[1].sum()
    found = np.linalg.lstsq(raw, xyz @ XYZ_TO_SRGB.T, rcond=None)[0].T
    found /= found.sum(axis=1, keepdims=True)
    grey = np.tile([0.2126, 0.7152, 0.0722], (3, 1))
    return np.asarray((saturation * np.eye(3) + (1 - saturation) * grey) @ found)


def toned(linear: Image, camera: Camera) -> Image:
    """Linear sRGB to what is stored, 0 to 1."""
    x: Image = np.clip(linear, 0, 1).astype(np.float32)
    if camera.tone == "shoulder":  # highlights rolled off
        a = 0.6 * camera.strength
        x = x * (1 + a) / (1 + a * x) * 0.985
    elif camera.tone == "shadows":  # shadows lifted
        x = x ** (1 - 0.18 * camera.strength)
    y = np.where(x <= 0.0031308, 12.92 * x, 1.055 * np.maximum(x, 1e-6) ** (1 / 2.4) - 0.055)
    if camera.tone in ("contrast", "shadows"):
        y = y + 0.35 * camera.strength * (y * y * (3 - 2 * y) - y)
    return np.asarray(y, np.float32)


def noisy(rng: np.random.Generator, linear: Image, *, full_well: float, read: float) -> Image:
    """Shot and read noise, then the phone's smoothing and sharpening."""
    height, width, _ = linear.shape
    seen = linear + rng.standard_normal((height, width, 3), np.float32) * np.sqrt(
        np.maximum(linear, 0) / full_well + read * read
    ).astype(np.float32)
    calm = gaussian_filter(seen, (0.7, 0.7, 0), mode="nearest")
    return np.asarray(calm + 0.5 * (calm - gaussian_filter(calm, (1.2, 1.2, 0), mode="nearest")), np.float32)
