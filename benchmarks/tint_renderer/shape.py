"""What the camera looks at: a round pipe, tilted, with a weld round it. Positions on the metal, normals, texture."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter

Image = NDArray[Any]


@dataclass(frozen=True, slots=True)
class Pose:
    """Picture size, pipe and weld. Lengths on the metal in mm."""

    width_px: int
    height_px: int
    mm_px: float
    radius_mm: float
    middle_1: float  # the axis' height in the picture
    turned_rad: float
    tilted_rad: float
    nearness_1: float
    weld_mm: float  # from the picture's middle
    bead_mm: float
    ripple_mm: float
    crown_mm: float
    wobble_mm: float


@dataclass(frozen=True, eq=False, slots=True)
class Surface:
    """Per pixel: along the pipe from the weld's middle (mm), round it (mm), on the pipe or not, normal, the plain normal's z."""

    along_mm: Image
    round_mm: Image
    on: NDArray[np.bool_]
    normal: Image
    plain_z: Image
    bead: Image  # 1 on the bead, 0 off it
    tooth: Image  # height of fine grain, about -1 to 1


def surface(rng: np.random.Generator, pose: Pose, *, brushed: float, cleaned: bool) -> Surface:
    """The pipe as the camera sees it; `brushed` is the strength of the tool marks on the base metal, `cleaned` has them on all."""
    y, x = np.mgrid[0 : pose.height_px, 0 : pose.width_px].astype(np.float32)
    x = (x - pose.width_px / 2) * pose.mm_px
    y = (y - pose.middle_1 * pose.height_px) * pose.mm_px
    c, s = np.cos(pose.turned_rad), np.sin(pose.turned_rad)
    axial, across = c * x + s * y, -s * x + c * y
    sine = np.clip(across / pose.radius_mm, -0.9995, 0.9995)
    cosine = np.sqrt(1 - sine * sine)
    on = np.abs(across) < 0.997 * pose.radius_mm
    along = axial * (1 + pose.nearness_1 * (1 - cosine)) - pose.radius_mm * (cosine - 1) * np.sin(pose.tilted_rad)
    round_mm = pose.radius_mm * np.arcsin(sine)
    along = along - pose.weld_mm - pose.wobble_mm * _slow(rng, round_mm, 9.0)
    slope_a, slope_r, bead, tooth = _relief(rng, pose, along, round_mm, brushed=brushed, cleaned=cleaned)
    # the pipe's own normal, then tipped by the relief's slopes along and round it
    ny, nz = sine, cosine
    nx_local, nt = -slope_a, -slope_r
    vx, vy, vz = nx_local, ny + nt * cosine, nz - nt * sine
    vx, vy = c * vx - s * vy, s * vx + c * vy
    size = np.sqrt(vx * vx + vy * vy + vz * vz)
    normal = np.stack([vx, vy, vz], axis=-1) / size[..., None]
    return Surface(along, round_mm, on, normal.astype(np.float32), cosine, bead, tooth)


def _relief(
    rng: np.random.Generator, pose: Pose, along: Image, round_mm: Image, *, brushed: float, cleaned: bool
) -> tuple[Image, Image, Image, Image]:
    half = pose.bead_mm / 2 * (1 + 0.06 * _slow(rng, round_mm, 6.0))
    t = along / half
    edge = np.float32(pose.mm_px / pose.bead_mm + 0.03)
    bead = (1 / (1 + np.exp(np.clip((np.abs(t) - 1) / edge, -30, 30)))).astype(np.float32)
    phase = 2 * np.pi * (round_mm + 0.35 * half * t * t + 0.25 * _slow(rng, round_mm, 3.0)) / pose.ripple_mm
    depth = (0.10 if cleaned else 0.26) * (1 - 0.5 * np.clip(np.abs(t), 0, 1) ** 2)
    wave = depth * (np.sin(phase) + 0.35 * np.sin(2 * phase + 0.6))
    slope_r = (wave * bead).astype(np.float32)
    slope_a = (-2 * pose.crown_mm * t / half * bead + 0.7 * t * wave * bead).astype(np.float32)
    toe = np.exp(-(((np.abs(t) - 1) / (2 * edge)) ** 2)) * np.sign(t) * 0.22
    slope_a += toe.astype(np.float32)
    shape = along.shape
    grain = gaussian_filter(rng.standard_normal(shape, np.float32), 0.8 + 0.05 / pose.mm_px) * 2
    marks = gaussian_filter(rng.standard_normal(shape, np.float32), (25, 0.6)) * 6  # tool marks run round the pipe
    if cleaned:
        marks = gaussian_filter(rng.standard_normal(shape, np.float32), (3, 0.5)) * 2
        marks = marks + gaussian_filter(rng.standard_normal(shape, np.float32), (0.6, 14)) * 4
    marked = marks * brushed * (1.0 if cleaned else (1 - bead))
    slope_a += (0.05 * marked + 0.02 * grain * bead).astype(np.float32)
    slope_r += (0.02 * marked + 0.03 * grain * bead).astype(np.float32)
    tooth = (0.5 * marked + 0.4 * grain * bead + 0.15 * grain).astype(np.float32)
    return slope_a, slope_r, bead, tooth


def _slow(rng: np.random.Generator, at_mm: Image, wave_mm: float) -> Image:
    """A smooth wander of about ±1 along a line."""
    line = np.linspace(float(at_mm.min()), float(at_mm.max()), 2048)
    total = np.zeros_like(line)
    for part in (1.0, 0.6, 0.35):
        total += part * np.sin(2 * np.pi * line / (wave_mm / part * rng.uniform(0.8, 1.3)) + rng.uniform(0, 6.3))
    return np.interp(at_mm, line, total / 1.3).astype(np.float32)


def blotches(rng: np.random.Generator, shape: tuple[int, int], size_px: float) -> Image:
    """Smooth noise of unit spread, made coarse and stretched, so that a big picture costs no more."""
    step = max(1, int(size_px / 3))
    small = rng.standard_normal((shape[0] // step + 3, shape[1] // step + 3), np.float32)
    small = gaussian_filter(small, size_px / step)
    rows = np.clip(np.arange(shape[0], dtype=np.float32) / step, 0, small.shape[0] - 1.001)
    columns = np.clip(np.arange(shape[1], dtype=np.float32) / step, 0, small.shape[1] - 1.001)
    i, j = rows.astype(int), columns.astype(int)
    a, b = (rows - i)[:, None], (columns - j)[None]
    i2, j2 = i[:, None], j[None]
    wide = (1 - a) * ((1 - b) * small[i2, j2] + b * small[i2, j2 + 1]) + a * (
        (1 - b) * small[i2 + 1, j2] + b * small[i2 + 1, j2 + 1]
    )
    return np.asarray(wide / (wide.std() + 1e-9), np.float32)
