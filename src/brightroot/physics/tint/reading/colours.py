"""From colours to odds of thickness: which ways explain the photograph, and what each colour then says by itself."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from brightroot.physics.tint.reading.table import Array, Single, Table

CHROMA_1 = 0.055  # spread of a log channel ratio that no way accounts for
BRIGHT_1 = 0.30  # spread of log brightness: the shape of the bead and where the light stood
CELL_1 = (0.03, 0.03, 0.10)
FOUND_WAYS = 12
ASKED_COLOURS = 250
SHARED = 60.0  # as many independent colours a photograph is worth when ways are weighed
THIN_NM = 90.0  # thick films are rarer: the prior falls by e in so many nanometres
STRAY = 1e-4


@dataclass(frozen=True, eq=False, slots=True)
class Ways:
    """The ways that explain a photograph best, with their weights."""

    features: Single  # way × level × 3
    weights: Array
    names: tuple[str, ...]
    misfit_1: float  # typical distance of a colour from the nearest one of the table, in spreads


def spreads(bright: float = BRIGHT_1) -> Array:
    """The spread of each feature."""
    return np.array([CHROMA_1, CHROMA_1, bright])


def prior(table: Table) -> Array:
    """Of thickness, before the picture: falling slowly."""
    weights = table.level_weights * np.exp(-table.levels_nm / THIN_NM)
    return np.asarray(weights / weights.sum())


def weigh_ways(table: Table, colours: Single, counts: Array, *, metal: Single | None = None) -> Ways:
    """The best ways by how well they explain the colours (n × 3, each `counts` times), and the clean metal by the card."""
    ways, levels = table.features.shape[:2]
    scale = spreads().astype(np.float32)
    commonest = np.argsort(counts)[::-1][:ASKED_COLOURS]
    colours, counts = colours[commonest], counts[commonest]
    told = (table.features / scale).reshape(-1, 3)
    seen = (colours / scale).astype(np.float32)
    square = (seen**2).sum(1)[:, None] + (told**2).sum(1)[None] - 2 * seen @ told.T
    fits = np.exp(-0.5 * np.minimum(square, 60.0)).reshape(len(seen), ways, levels) @ prior(table).astype(np.float32)
    share = counts / counts.sum()
    scores = SHARED * (np.log(fits + np.float32(STRAY) * 0.01).astype(np.float64) * share[:, None]).sum(0)
    if metal is not None:
        scores -= 0.5 * (((table.metal - metal) / 0.08) ** 2).sum(1)
    best = np.argsort(scores)[::-1][:FOUND_WAYS]
    weights = np.exp(scores[best] - scores[best[0]])
    nearest = square.reshape(len(seen), ways, levels)[:, best[0]].min(1)
    misfit = float(np.sqrt(np.average(np.maximum(nearest, 0), weights=share)))
    return Ways(table.features[best], weights / weights.sum(), tuple(table.names[n] for n in best), misfit)


def cells_of(features: Single) -> tuple[Single, np.ndarray[tuple[int], np.dtype[np.int64]], Array]:
    """Colours that are alike taken together: their middles, the cell of each, and how many lie in it."""
    bins = np.clip(np.rint(features / np.asarray(CELL_1, np.float32)), -500, 500).astype(np.int64) + 500
    keys, cell, counts = np.unique(
        (bins[:, 0] * 1001 + bins[:, 1]) * 1001 + bins[:, 2], return_inverse=True, return_counts=True
    )
    parts = np.stack([keys // 1001**2, keys // 1001 % 1001, keys % 1001], axis=1) - 500
    return (parts * np.asarray(CELL_1)).astype(np.float32), cell, counts.astype(np.float64)


def thickness_odds(ways: Ways, table: Table, colours: Single) -> Single:
    """How well each level explains each colour (n × level), over all ways kept."""
    scale = spreads().astype(np.float32)
    seen = (colours / scale).astype(np.float32)
    total = np.full((len(seen), len(table.levels_nm)), STRAY, np.float32)
    for features, weight in zip(ways.features, ways.weights, strict=True):
        told = features / scale
        square = (seen**2).sum(1)[:, None] + (told**2).sum(1)[None] - 2 * seen @ told.T
        total += np.float32(weight) * np.exp(-0.5 * np.clip(square, 0, 60))
    return total
