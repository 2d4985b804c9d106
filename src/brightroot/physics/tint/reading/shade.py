"""How bright clean metal is at each place round the pipe: the same row (or column) on either side of the weld tells.

A pipe is bright where it mirrors the lamp and dark at its flanks. Film makes metal darker too. So brightness says
something about film only against metal that lies at the same place round the pipe.
"""

from __future__ import annotations

import numpy as np

from brightroot.physics.tint.reading.frame import DARKEST_1, Frame
from brightroot.physics.tint.reading.reference import Mask
from brightroot.physics.tint.reading.table import Array

LIKE_METAL_1 = 0.12  # how far a log channel ratio may lie from clean metal's
LEAST_FRAC = 0.3


def shaded(features: Array, window: tuple[slice, slice], usable: Mask, frame: Frame) -> Array:
    """Log brightness of clean metal over the window; nothing (zeros) where the strips beside it tell nothing.

    `features` are of the whole picture against the reference, `usable` what is neither card nor weld.
    """
    metal = (
        usable & frame.pipe & (np.abs(features[..., :2]).max(axis=2) < LIKE_METAL_1) & (features[..., 2] > DARKEST_1)
    )
    bright = features[..., 2]
    if frame.weld_upright:
        return _across(bright, metal, window)
    return _across(bright.T, metal.T, (window[1], window[0])).T


def _across(bright: Array, metal: Mask, window: tuple[slice, slice]) -> Array:
    rows, columns = window
    near = max(6, (columns.stop - columns.start) // 2)
    left = slice(max(0, columns.start - near), columns.start)
    right = slice(columns.stop, columns.stop + near)
    found = [_profile(bright[rows, side], metal[rows, side]) for side in (left, right)]
    there = [one for one in found if one is not None]
    if not there:  # no strip beside it: the zone's own metal, as far as its hue is that of clean metal
        own = _profile(bright[rows, columns], metal[rows, columns])
        level = np.zeros(rows.stop - rows.start, np.float32) if own is None else own
        return np.repeat(level[:, None], columns.stop - columns.start, axis=1)
    one, two = (there[0] if profile is None else profile for profile in found)
    share = np.linspace(0, 1, columns.stop - columns.start, dtype=np.float32)
    return np.asarray(one[:, None] * (1 - share) + two[:, None] * share, np.float32)


def _profile(bright: Array, metal: Mask) -> Array | None:
    """Median of each row's clean metal, smoothed, and carried over rows without any."""
    if bright.shape[1] < 3:
        return None
    there = metal.sum(axis=1) >= max(3, 0.12 * bright.shape[1])
    if there.mean() < LEAST_FRAC:
        return None
    middle = np.nanmedian(np.where(metal, bright, np.nan)[there], axis=1)
    at = np.arange(len(bright))
    filled = np.interp(at, at[there], middle)
    wide = max(1, len(bright) // 60)
    kernel = np.ones(2 * wide + 1) / (2 * wide + 1)
    return np.asarray(np.convolve(np.pad(filled, wide, mode="edge"), kernel, mode="valid"), np.float32)
