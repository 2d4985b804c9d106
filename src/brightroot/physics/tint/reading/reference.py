"""What the photograph is measured by: clean base metal, a matt grey card, or both; and whether they can serve."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from brightroot.base.photo import Box, Light, Photo
from brightroot.physics.tint.reading.table import Array, features_of

Mask = NDArray[np.bool_]
CLIPPED_1 = 0.955  # linear; the last few steps of an eight-bit picture
LEAST_PIXELS = 6


@dataclass(frozen=True, eq=False, slots=True)
class Reference:
    """A patch: its middle colour in linear light, the spread of its log channels, how it changes across itself."""

    light_1: Light
    spread_1: Array
    slope_1: float  # greatest change of a log channel ratio from one end of the patch to the other
    clipped_frac: float

    @property
    def hue(self) -> Array:
        """Logs of red against green and blue against green, as the camera has them."""
        logs = np.log(np.maximum(self.light_1, 1e-4))
        return np.asarray([logs[0] - logs[1], logs[2] - logs[1]])

    @property
    def brightness_1(self) -> float:
        """Linear, a perfect white in full light 1."""
        return float(self.light_1 @ (0.2126, 0.7152, 0.0722))


def cut(photo: Photo, box: Box) -> tuple[slice, slice]:
    """Rows and columns of a rectangle, in the photograph as it is read."""
    f = photo.factor
    rows, columns = photo.light_1.shape[:2]
    top, left = int(box.top_px / f), int(box.left_px / f)
    low, right = int(np.ceil((box.top_px + box.height_px) / f)), int(np.ceil((box.left_px + box.width_px) / f))
    top, left = min(max(0, top), rows - 1), min(max(0, left), columns - 1)
    return slice(top, max(top + 1, min(rows, low))), slice(left, max(left + 1, min(columns, right)))


def on_picture(photo: Photo, box: Box) -> bool:
    """Whether all of it lies on the photograph, a pixel's rounding apart."""
    return box.left_px + box.width_px <= photo.width_px + 1 and box.top_px + box.height_px <= photo.height_px + 1


def patch(photo: Photo, box: Box) -> Light:
    """The patch's pixels, linear (rows × columns × 3)."""
    return photo.light_1[cut(photo, box)]


def measured(light: Light) -> Reference:
    """Medians and spreads of a patch."""
    flat = light.reshape(-1, 3)
    middle = np.maximum(np.median(flat, axis=0), 1e-4).astype(np.float32)
    told = features_of(flat / middle)
    low, high = np.percentile(told, [16, 84], axis=0)
    return Reference(middle, (high - low) / 2, _slope(light / middle), float((flat.max(axis=1) >= CLIPPED_1).mean()))


def _slope(ratio: Array) -> float:
    """Change of the channel ratios across the patch, by a plane through them."""
    rows, columns = ratio.shape[:2]
    if rows * columns < 2 * LEAST_PIXELS or min(rows, columns) < 2:
        return 0.0
    told = features_of(ratio)[..., :2].reshape(-1, 2)
    y, x = np.meshgrid(np.linspace(-0.5, 0.5, rows), np.linspace(-0.5, 0.5, columns), indexing="ij")
    plane = np.stack([np.ones(rows * columns), y.ravel(), x.ravel()], axis=1)
    found = np.linalg.lstsq(plane, told, rcond=None)[0]
    return float(np.abs(found[1:]).max())
