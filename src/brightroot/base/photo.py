"""A photograph as the reading takes it: upright, linear light, perhaps made smaller by a whole factor, and said so."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from brightroot.base.errors import Refused

Light = NDArray[np.float32]


@dataclass(frozen=True, eq=False, slots=True)
class Photo:
    """Linear sRGB from 0 to 1, rows × columns × 3. `factor` camera pixels stand behind one here, each way."""

    light_1: Light
    width_px: int  # of the upright photograph as it was taken
    height_px: int
    factor: int
    kind: str  # JPEG | PNG | HEIF
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle in pixels of the upright photograph: left, top, width, height."""

    left_px: float
    top_px: float
    width_px: float
    height_px: float

    def shares_with(self, other: Box) -> float:
        """How much of this rectangle lies on the other.

        >>> Box(0, 0, 10, 10).shares_with(Box(5, 0, 10, 10))
        0.5
        """
        wide = min(self.left_px + self.width_px, other.left_px + other.width_px) - max(self.left_px, other.left_px)
        high = min(self.top_px + self.height_px, other.top_px + other.height_px) - max(self.top_px, other.top_px)
        return max(0.0, wide) * max(0.0, high) / (self.width_px * self.height_px)

    def text(self) -> str:
        """As it is typed."""
        return ",".join(f"{part:g}" for part in (self.left_px, self.top_px, self.width_px, self.height_px))


def box_of(field: str, told: str) -> Box | None:
    """A rectangle as typed, `X,Y,W,H`; None for an empty text. Raises Refused for anything else.

    >>> box_of("base", "10, 20, 30, 40")
    Box(left_px=10.0, top_px=20.0, width_px=30.0, height_px=40.0)
    """
    if not told.strip():
        return None
    try:
        parts = [float(part) for part in told.replace(";", ",").split(",")]
    except ValueError:
        parts = []
    if len(parts) != 4 or not all(np.isfinite(parts)) or min(parts[2:]) <= 0 or min(parts[:2]) < 0:
        raise Refused(field=field, wanted="X,Y,W,H in pixels, like 120,80,60,60", got=told, reason="refused.box")
    return Box(*parts)
