"""Grey and white scale. Its colour alone is no proof: a second photograph with the light moved shows what is matt."""

from __future__ import annotations

import numpy as np

from brightroot.base.photo import Photo
from brightroot.physics.tint.reading.reference import Mask


def scale_mask(photo: Photo, second: Photo | None, zone: Mask) -> Mask:
    """Where scale is seen; nowhere without a second photograph."""
    return np.zeros(zone.shape, bool)
