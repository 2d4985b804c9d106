"""How bright clean metal is at each place round the pipe: the same row (or column) on either side of the weld tells.

A pipe is bright where it mirrors the lamp and dark at its flanks. Film makes metal darker too. So brightness says
something about film only against metal that lies at the same place round the pipe.
"""

from __future__ import annotations

import numpy as np

from brightroot.physics.tint.reading.reference import Mask
from brightroot.physics.tint.reading.table import Single

LIKE_METAL_1 = 0.10  # how far a log channel ratio may lie from clean metal's
LEAST_FRAC = 0.25


def shaded(features: Single, window: tuple[slice, slice], usable: Mask) -> Single:
    """Log brightness of clean metal over the window; nothing (zeros) where the strips beside it tell nothing.

    `features` are of the whole picture against the reference, `usable` what is neither card nor weld.
    """
    rows, columns = window
    height, width = features.shape[:2]
    metal = usable & (np.abs(features[..., :2]).max(axis=2) < LIKE_METAL_1) & (features[..., 2] > -1.6)
    beside = (columns.start, width - columns.stop)
    above = (rows.start, height - rows.stop)
    along_rows = min(beside) / width >= min(above) / height
    if not along_rows:
        turned = shaded(features.transpose(1, 0, 2), (columns, rows), usable.T)
        return turned.T
    bright = features[..., 2]
    left = _profile(bright[rows, : columns.start], metal[rows, : columns.start])
    right = _profile(bright[rows, columns.stop :], metal[rows, columns.stop :])
    if left is None and right is None:
        return np.zeros((rows.stop - rows.start, columns.stop - columns.start), np.float32)
    left = right if left is None else left
    right = left if right is None else right
    assert left is not None and right is not None
    share = np.linspace(0, 1, columns.stop - columns.start, dtype=np.float32)
    return np.asarray(left[:, None] * (1 - share) + right[:, None] * share, np.float32)


def _profile(bright: Single, metal: Mask) -> Single | None:
    """Median of each row's clean metal, smoothed, and carried over rows without any."""
    if bright.shape[1] < 3:
        return None
    near = max(3, bright.shape[1] // 2)
    count = metal.sum(axis=1)
    there = count >= max(3, LEAST_FRAC * near / 2)
    if there.mean() < LEAST_FRAC:
        return None
    middle = np.full(len(bright), np.nan, np.float32)
    masked = np.where(metal, bright, np.nan)
    middle[there] = np.nanmedian(masked[there], axis=1)
    at = np.arange(len(bright))
    filled = np.interp(at, at[there], middle[there])
    wide = max(1, len(bright) // 60)
    kernel = np.ones(2 * wide + 1) / (2 * wide + 1)
    return np.asarray(np.convolve(np.pad(filled, wide, mode="edge"), kernel, mode="valid"), np.float32)
