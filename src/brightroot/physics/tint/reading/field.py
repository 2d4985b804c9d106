"""Film over the whole picture: odds of each thickness at each pixel, and what they come to."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from brightroot.physics.tint.reading.colours import Ways, cells_of, prior, thickness_odds
from brightroot.physics.tint.reading.order import steps, unwrapped
from brightroot.physics.tint.reading.table import Array, Table

CREDIBLE_1 = 0.90
TILES = 9000  # as many tiles as the order of the fringes is settled on
OWN_POWER_1 = 0.6  # a pixel's own word against its neighbours': glints and ripples are no film
WIDER_1, WIDER_NM, WIDER_FRAC = 0.9, 0.3, 0.03
OWN_1 = 0.03  # how readily a pixel departs from its tile
WIDEN_NM = 5.0
CLEAN_NM, CLEAN_FLOOR_1 = 8.0, 0.01
CLASS_EDGES_NM = (8.0, 31.0)
FINE_NAMES = (
    "silver", "light straw", "straw", "purple", "dark blue", "light blue", "pale second order", "second yellow", "magenta",
    "higher",
)  # fmt: skip
FINE_EDGES_NM = (8.0, 16.0, 31.0, 40.0, 56.0, 78.0, 92.0, 125.0, 155.0)


@dataclass(frozen=True, eq=False, slots=True)
class Field:
    """Per pixel: film in equivalent nanometres with its credible range, and the odds of silver, straw and beyond."""

    nm: Array
    low_nm: Array
    high_nm: Array
    class_odds: Array  # rows × columns × 3
    fit_1: Array  # how well the best thickness explains the colour, 0 to 1


def film_field(features: Array, ways: Ways, table: Table, *, clean_sides: tuple[int, ...] = ()) -> Field:
    """The field of a picture of features (rows × columns × 3). Beside `clean_sides` (axes) lies clean metal."""
    rows, columns = features.shape[:2]
    before = ways.levels_1
    move = steps(table.levels_nm, prior(table))
    side = max(2, int(np.ceil(np.sqrt(rows * columns / TILES))))
    tiles = _tiles(features, side)
    odds = _odds(tiles, ways, table).reshape(*tiles.shape[:2], -1) * before.astype(np.float32)
    odds /= odds.sum(2, keepdims=True)
    for axis in clean_sides:
        _from_clean(odds, axis, table)
    settled = unwrapped(odds, move)
    near = settled @ steps(table.levels_nm, prior(table), step_nm=WIDEN_NM)
    near = (1 - OWN_1) * near + OWN_1 * before.astype(np.float32)
    middles, cell, _ = cells_of(features.reshape(-1, 3))
    own = thickness_odds(ways, table, middles)
    tile = np.minimum(np.arange(rows) // side, tiles.shape[0] - 1)[:, None] * tiles.shape[1] + np.minimum(
        np.arange(columns) // side, tiles.shape[1] - 1
    )
    return _summed(own, cell, near.reshape(-1, near.shape[2]), tile.ravel(), (rows, columns), table)


def _from_clean(odds: Array, axis: int, table: Table) -> None:
    """The outermost tiles adjoin clean metal: thin film there is far likelier than the pale of the second order."""
    thin = (np.exp(-table.levels_nm / CLEAN_NM) + CLEAN_FLOOR_1).astype(np.float32)
    for end in (0, -1):
        edge = odds[:, end] if axis == 1 else odds[end]
        edge *= thin
        edge /= edge.sum(axis=1, keepdims=True)


def _tiles(features: Array, side: int) -> Array:
    """Means of square tiles; the rest at the far edges goes with the last whole tile's neighbours."""
    rows, columns = max(1, features.shape[0] // side), max(1, features.shape[1] // side)
    whole = features[: rows * side, : columns * side]
    return np.asarray(whole.reshape(rows, side, columns, side, 3).mean(axis=(1, 3), dtype=np.float32))


def _odds(features: Array, ways: Ways, table: Table) -> Array:
    middles, cell, _ = cells_of(features.reshape(-1, 3))
    return np.asarray(thickness_odds(ways, table, middles)[cell])


def _summed(
    own: Array, cell: NDArray[np.int64], near: Array, tile: NDArray[np.int64], shape: tuple[int, int], table: Table
) -> Field:
    """Chunk by chunk, so that a large picture takes no more memory than a small one."""
    count, heard = len(cell), own ** np.float32(OWN_POWER_1)
    out = np.empty((count, 3), np.float32)
    classes = np.empty((count, 3), np.float32)
    levels = table.levels_nm.astype(np.float32)
    edges = np.searchsorted(levels, CLASS_EDGES_NM)
    ends = np.append((levels[1:] + levels[:-1]) / 2, levels[-1] + 1.5).astype(np.float32)
    for start in range(0, count, 20_000):
        part = slice(start, start + 20_000)
        odds = heard[cell[part]] * near[tile[part]]
        run = np.cumsum(odds, axis=1)
        total = run[:, -1:]
        half = run / total
        for n, share in enumerate((0.5, (1 - CREDIBLE_1) / 2, (1 + CREDIBLE_1) / 2)):
            out[part, n] = _quantile(half, np.float32(share), ends)
        silver, straw = half[:, edges[0] - 1], half[:, edges[1] - 1]
        classes[part] = np.stack([silver, straw - silver, 1 - straw], axis=1)
    _widened(out)
    best = own.max(axis=1)[cell]
    rows, columns = shape
    nm, low, high = (out[:, n].reshape(shape) for n in range(3))
    return Field(nm, low, high, classes.reshape(rows, columns, 3), best.reshape(shape))


def _widened(out: Array) -> None:
    """What no picture shows of itself: the constants of this very metal, the native film under the reference."""
    nm = out[:, 0]
    beyond = WIDER_NM + WIDER_FRAC * nm
    out[:, 1] = np.maximum(0, nm - WIDER_1 * (nm - out[:, 1]) - beyond)
    out[:, 2] = nm + WIDER_1 * (out[:, 2] - nm) + beyond


def _quantile(run: Array, share: np.float32, ends: Array) -> Array:
    """The thickness below which that share of the odds lies, straight between the levels' edges."""
    at = np.minimum((run < share).sum(axis=1), run.shape[1] - 1)
    here = np.take_along_axis(run, at[:, None], 1)[:, 0]
    before = np.where(at > 0, np.take_along_axis(run, np.maximum(at - 1, 0)[:, None], 1)[:, 0], 0)
    start = np.where(at > 0, ends[np.maximum(at - 1, 0)], np.float32(0))
    part = np.clip((share - before) / np.maximum(here - before, 1e-9), 0, 1)
    return np.asarray(start + part * (ends[at] - start), np.float32)
