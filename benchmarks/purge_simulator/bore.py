"""The pipe as a grid: the upright plane through its axis, each cell as wide as the bore is at its height.

A branch stands on the pipe as a column of cells; a change of bore is a step in it. Cells outside the bore are not there.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
GRAVITY_M_S2 = 9.81


@dataclass(frozen=True)
class Branch:
    """A dead leg: a capped stub on the top (up) or the bottom of the pipe."""

    at_1: float
    bore_m: float
    length_m: float
    up: bool


@dataclass(frozen=True)
class Bore:
    """Cell volumes and face areas of the grid; zero where there is no gas."""

    dx_m: float
    dz_m: float
    volume_m3: Floats  # (nx, nz)
    width_m: Floats  # (nx, nz)
    along_m2: Floats  # (nx + 1, nz), faces across the axis
    across_m2: Floats  # (nx, nz + 1), faces between rows
    wall_m2: Floats  # (nx, nz), wall of each cell
    rows: NDArray[np.int64]  # (nx, 2), first row and one past the last row of the pipe itself in each column

    @property
    def whole_m3(self) -> float:
        """Everything that must be purged, dead leg and all."""
        return float(self.volume_m3.sum())


def bore(
    *,
    diameter_m: float,
    length_m: float,
    columns: int,
    rows: int,
    second_diameter_m: float | None = None,
    branch: Branch | None = None,
) -> Bore:
    """The grid of a pipe of that bore; of two halves where there is a second bore, in line at their bottom."""
    dx, dz = length_m / columns, diameter_m / rows
    below = above = 0
    if branch is not None:
        stub = max(1, round(branch.length_m / dz))
        below, above = (0, stub) if branch.up else (stub, 0)
    high = below + rows + above
    width = np.zeros((columns, high))
    floor = np.zeros((columns, high + 1))  # width of the bore at each face between rows
    span = np.zeros((columns, 2), dtype=np.int64)
    for i in range(columns):
        second = second_diameter_m is not None and i >= columns // 2
        own = max(2, round((second_diameter_m or 0.0) / dz)) if second else rows
        width[i, below : below + own], floor[i, below : below + own + 1] = _chords(own, dz)
        span[i] = below, below + own
    if branch is not None:
        _add_stub(width, floor, span, branch, dx=dx, length_m=length_m)
    wide = np.minimum(width[:-1], width[1:])
    along = np.zeros((columns + 1, high))
    along[1:-1] = wide * dz
    across = floor * dx
    volume = width * dx * dz
    wall = np.where(width > 0, 2 * dx * dz, 0.0) + np.abs(np.diff(across, axis=1))
    return Bore(dx, dz, volume, width, along, across, wall, span)


def _chords(rows: int, dz: float) -> tuple[Floats, Floats]:
    """Mean width of a round bore over each row, and its width at each edge of a row (none at top and bottom)."""
    radius = rows * dz / 2
    edge = np.linspace(-radius, radius, rows + 1)
    under = edge * np.sqrt(np.maximum(radius**2 - edge**2, 0.0)) + radius**2 * np.arcsin(np.clip(edge / radius, -1, 1))
    return np.diff(under) / dz, 2 * np.sqrt(np.maximum(radius**2 - edge**2, 0.0))


def _add_stub(
    width: Floats, floor: Floats, span: NDArray[np.int64], branch: Branch, *, dx: float, length_m: float
) -> None:
    count = max(1, round(branch.bore_m / dx))
    first = min(len(width) - count, max(0, round(branch.at_1 * length_m / dx - count / 2)))
    wide = math.pi / 4 * branch.bore_m**2 / (count * dx)
    for i in range(first, first + count):
        rows = range(span[i, 1], width.shape[1]) if branch.up else range(span[i, 0])
        for k in rows:
            width[i, k] = wide
            floor[i, k if branch.up else k + 1] = wide
