"""One grid round the pipe after another: how long each will do, what it holds, and what is laid and linked on it."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Whole = NDArray[np.int64]
AHEAD_M = 0.008  # the grid moves on when the arc has come so far
AHEAD_OPEN_M = 0.0025  # and so often where it lays metal
FULL_1 = 1.0 - 1e-12
FACE_1 = 0.5


def youngest_s(time_s: float, stop_s: Array) -> float:
    """Seconds since the last arc-off; very long where there was none."""
    return float(time_s - stop_s[-1]) if stop_s.size else 1e9


def until_s(time_s: float, end_s: float, *, speed_m_s: float, on: bool, lays: bool, stop_s: Array) -> float:
    """Until when one grid will do: so far for an arc, as long again for what cools."""
    if on and speed_m_s == 0.0:
        return end_s
    step = (AHEAD_OPEN_M if lays else AHEAD_M) / speed_m_s if on else max(2.0, youngest_s(time_s, stop_s))
    left = end_s - time_s - step
    return end_s if left < (0.5 if on else 0.3) * step else time_s + step


def metal_share(base_share: Array, pass_share: Array, filled: NDArray[np.uint8], edges: Whole) -> Array:
    """Share of each cell that is metal, rings × cells."""
    whole = np.repeat(base_share[:, None], edges.size - 1, axis=1)
    if not filled.shape[0]:
        return whole
    laid = np.add.reduceat(filled, edges[:-1], axis=1, dtype=float) / np.diff(edges)
    return np.asarray(whole + pass_share.T @ laid)


def laid(filled: NDArray[np.uint8], which: int, from_rad: float, to_rad: float, base_rad: float) -> NDArray[np.uint8]:
    """With the base cells filled whose middles the arc passes."""
    low, high = sorted((from_rad / base_rad, to_rad / base_rad))
    cells = np.arange(math.ceil(low - 0.5), math.floor(high - 0.5) + 1) % filled.shape[1]
    after = filled.copy()
    after[which, cells] = 1
    return after


def melted_in(state: Array, before: Array, after: Array, cold_J_m3: float) -> Array:
    """Enthalpies after filler came in cold."""
    gained = after - before
    mixed = (state[:, 1:-1] * before + cold_J_m3 * gained) / np.maximum(after, 1e-30)
    fresh = state.copy()
    fresh[:, 1:-1] = np.where(gained > 0.0, mixed, state[:, 1:-1])
    return fresh


def metric(edges_rad: Array) -> tuple[Array, Array, Array]:
    """Widths, and what conducts to the next cell and from the one before, over width; with ghosts."""
    width = np.diff(edges_rad)
    after, before = np.zeros(width.size + 2), np.zeros(width.size + 2)
    after[1:-1] = 2.0 / (width * (width + np.append(width[1:], width[0])))
    before[1:-1] = np.append(after[-2], after[1:-2]) * np.append(width[-1], width[:-1]) / width
    return width, after, before


def links_of(
    metal: Array, beside: Whole, conducts: Array, along: Array, after: Array, before: Array
) -> tuple[Array, Array, Array, Array, NDArray[np.bool_], Array, Array, Array]:
    """What conducts to each cell, and which rings are whole with whole neighbours.

    Where metal is partial a link is as strong as the emptier of its two cells, over what metal the gaining cell holds: a
    nearly empty cell then never asks for a shorter step than a full one.
    """
    full = np.asarray((metal >= FULL_1).all(axis=1))
    whole = np.asarray(full & full[beside].all(axis=1))
    if whole.all():
        return conducts, along, after, before, whole, np.empty((0, 0, 0)), np.empty((0, 0)), np.empty((0, 0))
    own = np.maximum(metal, 1e-30)

    def limited(other: Array) -> Array:
        return np.where(metal > 0.0, np.minimum(1.0, other / own), 0.0)

    share = np.zeros((beside.shape[1], metal.shape[0], after.size))
    for way in range(beside.shape[1]):
        share[way, :, 1:-1] = conducts[:, way, None] * limited(metal[beside[:, way]])
    on, back = np.zeros(share.shape[1:]), np.zeros(share.shape[1:])
    on[:, 1:-1] = along[:, None] * after[1:-1] * limited(np.roll(metal, -1, axis=1))
    back[:, 1:-1] = along[:, None] * before[1:-1] * limited(np.roll(metal, 1, axis=1))
    return conducts, along, after, before, whole, share, on, back


def stiffest(conducts: Array, along: Array, after: Array, before: Array) -> float:
    """Largest sum of what conducts to a cell: what limits an explicit step."""
    return float((conducts.sum(axis=1) + along * (after + before).max()).max())


def top_and_bottom(metal: Array, first: Whole, last: Whole) -> tuple[Whole, Whole, Whole, Whole]:
    """Outermost and innermost ring that is mostly metal, columns × cells, and the ring below and above it; −1 where there is none.

    A ring that is mostly open is no face: it leans on the next one, and alone it could not take an arc's heat.
    """
    has = metal >= FACE_1
    shape = (first.size, metal.shape[1])
    top, bottom = np.empty(shape, dtype=np.int64), np.empty(shape, dtype=np.int64)
    top[:], bottom[:] = last[:, None], first[:, None]
    if not has.all():
        for column, (low, high) in enumerate(zip(first, last, strict=True)):
            stack = has[low : high + 1]
            none = ~stack.any(axis=0)
            top[column] = np.where(none, -1, high - stack[::-1].argmax(axis=0))
            bottom[column] = np.where(none, -1, low + stack.argmax(axis=0))
    thick = top > bottom
    return top, np.where(thick, top - 1, top), bottom, np.where(thick, bottom + 1, bottom)
