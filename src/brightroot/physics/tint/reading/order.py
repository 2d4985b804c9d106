"""Which order of the fringes: sums over all paths across the zone, forward and back, along rows and along columns.

A colour alone fits two or three thicknesses. Film grows and thins steadily from clean metal inwards, so a thickness that
can be reached from its neighbours step by step outweighs one that would need a leap; a leap stays possible (a spot has
a sharp edge), it only has to pay for itself.
"""

from __future__ import annotations

import numpy as np

from brightroot.physics.tint.reading.table import Array

STEP_NM = 7.0  # usual change of film from one tile to the next
LEAP_1 = 0.004
HEED_1 = 0.5  # how much of each neighbour's word is taken: the four of them tell partly the same


def steps(levels_nm: Array, prior: Array, *, step_nm: float = STEP_NM) -> Array:
    """Odds of the next tile's level, given this one's (rows sum to one)."""
    apart = np.abs(levels_nm[:, None] - levels_nm[None]) / step_nm
    near = np.exp(-apart) * prior[None] ** 0.3
    near /= near.sum(1, keepdims=True)
    move: Array = ((1 - LEAP_1) * near + LEAP_1 * prior[None]).astype(np.float32)
    return move


def unwrapped(odds: Array, move: Array) -> Array:
    """Odds of each tile (rows × columns × level) with what all four sides say of it.

    >>> level = np.full((1, 3, 2), 0.5, np.float32); level[0, 0] = (0.99, 0.01); level[0, 2] = (0.99, 0.01)
    >>> unwrapped(level, np.array([[0.9, 0.1], [0.1, 0.9]], np.float32))[0, 1].astype(float).round(1).tolist()
    [0.9, 0.1]
    """
    heard = np.zeros_like(odds)
    for axis in (0, 1):
        line = np.ascontiguousarray(np.moveaxis(odds, axis, 0))
        told = _passed(line, move) + _passed(line[::-1], move)[::-1]
        heard += np.moveaxis(told, 0, axis)
    posterior = np.log(odds) + np.float32(HEED_1) * heard
    posterior = np.exp(posterior - posterior.max(2, keepdims=True))
    return np.asarray(posterior / posterior.sum(2, keepdims=True))


def _passed(line: Array, move: Array) -> Array:
    """Logs of what each place hears from the one before it."""
    heard = np.zeros_like(line)
    word = np.full(line.shape[1:], 1.0 / line.shape[2], np.float32)
    for n in range(1, len(line)):
        word = (word * line[n - 1]) @ move
        word /= word.sum(1, keepdims=True) + np.float32(1e-30)
        heard[n] = np.log(word + np.float32(1e-12)) - np.float32(np.log(1.0 / line.shape[2]))
    return heard
