"""Grey and white scale. Its colour alone is no proof: a second photograph with the light moved shows what is matt.

Metal brightens and darkens as the lamp moves, each place by where it faces; scale scatters, and keeps its brightness.
So scale is what is as colourless as a grey card and does not follow the metal at the same place round the pipe.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from brightroot.physics.tint.reading.reference import Mask
from brightroot.physics.tint.reading.table import Array

NEUTRAL_1 = 0.15  # how far a log channel ratio may lie from a grey card's
APART_1 = 0.13  # change of log brightness against the metal's
ROUGH_1 = 0.10  # greatest spread of that change within a few pixels: ripples glint, scale does not
LEAST_FRAC = 0.004
SMOOTH_PX, NEAR_PX = 7, 9
RING_PX, RING_NEUTRAL = 8, 0.6  # bright metal all round a patch: then it is metal too, for all that can be told


def scale_mask(first: Array, second: Array, zone: Mask, grey_hue: Array) -> Mask:
    """Where scale is seen. Both are features of the window against clean metal under their own light, shade taken off.

    `grey_hue`: where a grey card would lie, logs of red and blue against green.
    """
    from scipy.ndimage import binary_closing, binary_dilation, binary_opening, label, uniform_filter

    hue = np.stack([uniform_filter(first[..., n], 5) for n in range(2)], axis=-1)
    neutral: Mask = np.asarray((np.abs(hue - grey_hue) < NEUTRAL_1).all(axis=2))
    change = second[..., 2] - first[..., 2]
    even = uniform_filter(change, SMOOTH_PX)
    rough = np.sqrt(np.maximum(uniform_filter(even**2, NEAR_PX) - uniform_filter(even, NEAR_PX) ** 2, 0))
    seen = np.asarray(zone & neutral & (np.abs(even) > APART_1) & (rough < ROUGH_1))
    seen = binary_closing(binary_opening(seen, iterations=2), iterations=3) & zone & neutral
    marked: NDArray[np.int32] = label(seen)[0]
    sizes = np.bincount(marked.ravel())
    kept = []
    for number in range(1, len(sizes)):
        if int(sizes[number]) < LEAST_FRAC * zone.sum():
            continue
        patch = marked == number
        ring = binary_dilation(patch, iterations=RING_PX) & ~binary_dilation(patch, iterations=2) & zone
        if ring.any() and neutral[ring].mean() < RING_NEUTRAL:
            kept.append(number)
    return np.asarray(np.isin(marked, kept))
