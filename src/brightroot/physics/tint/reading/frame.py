"""How the pipe lies in the picture: which way the weld runs, what is pipe and what is background, where tint begins."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from brightroot.physics.tint.reading.reference import Mask
from brightroot.physics.tint.reading.table import Array

STRIP_FRAC = 0.07
LIKE_METAL_1 = 0.16
TINTED_1 = 0.13
TINTED_FRAC = 0.04
DARKEST_1 = -1.5


@dataclass(frozen=True, eq=False, slots=True)
class Frame:
    """`weld_upright`: the weld runs up and down in the picture, so that clean metal lies to its left and right."""

    weld_upright: bool
    pipe: Mask


def frame_of(features: Array, usable: Mask) -> Frame:
    """From features of the whole picture against clean metal, and what is neither card nor weld."""
    metal = usable & (np.abs(features[..., :2]).max(axis=2) < LIKE_METAL_1) & (features[..., 2] > DARKEST_1)
    rows, columns = metal.shape
    wide, high = max(3, int(columns * STRIP_FRAC)), max(3, int(rows * STRIP_FRAC))
    sides = np.concatenate([metal[:, :wide], metal[:, -wide:]], axis=1)
    ends = np.concatenate([metal[:high], metal[-high:]], axis=0)
    known_sides = np.concatenate([usable[:, :wide], usable[:, -wide:]], axis=1)
    known_ends = np.concatenate([usable[:high], usable[-high:]], axis=0)
    upright = _share(sides, known_sides) >= _share(ends, known_ends)
    pipe = _between(metal, usable, wide) if upright else _between(metal.T, usable.T, high).T
    return Frame(upright, pipe)


def _share(found: Mask, known: Mask) -> float:
    """Of what can be judged at all; a strip that the weld covers tells nothing for itself."""
    return float(found.sum() / max(1, known.sum())) if known.mean() > 0.3 else 0.0


def _between(metal: Mask, usable: Mask, wide: int) -> Mask:
    """Between the pipe's upper and lower edge, each a straight line through where it leaves the picture's sides."""
    rows, columns = metal.shape
    upper, lower = [], []
    for side in (slice(0, wide), slice(columns - wide, columns)):
        known = usable[:, side].mean(axis=1) > 0.5
        there = np.flatnonzero((metal[:, side].mean(axis=1) > 0.5) & known)
        if len(there) < 0.25 * rows:
            return np.ones(metal.shape, bool)
        upper.append(float(there[0]) if there[0] > 0.015 * rows and known[: there[0]].any() else -1e9)
        lower.append(float(there[-1]) if there[-1] < 0.985 * rows and known[there[-1] :].any() else 1e9)
    at = np.arange(rows)[:, None]
    share = np.linspace(0, 1, columns)[None]
    top = _line(upper, share, -1.0)
    bottom = _line(lower, share, float(rows))
    return np.asarray((at >= top + 2) & (at <= bottom - 2))


def _line(ends: list[float], share: Array, without: float) -> Array:
    """Through both ends; where only one side shows an edge, that edge carried to the corner of the other."""
    one, two = (without if abs(end) > 1e8 else end for end in ends)
    return np.asarray(one * (1 - share) + two * share)


def tinted_span(features: Array, frame: Frame, usable: Mask) -> slice | None:
    """Where tint is found across the weld: columns for an upright weld, rows for another; None where there is none."""
    from scipy.ndimage import uniform_filter

    hue = np.stack([uniform_filter(features[..., n], 5) for n in range(2)], axis=-1)
    tinted = (np.abs(hue).max(axis=2) > TINTED_1) & usable & frame.pipe
    axis = 0 if frame.weld_upright else 1
    share = tinted.sum(axis=axis) / np.maximum((usable & frame.pipe).sum(axis=axis), 1)
    there = np.flatnonzero(share > TINTED_FRAC)
    if len(there) < 0.02 * len(share):
        return None
    edge = max(1, int(0.01 * len(share)))
    return slice(max(0, int(there[0]) - edge), min(len(share), int(there[-1]) + 1 + edge))
