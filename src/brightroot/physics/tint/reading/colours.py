"""From colours to odds of thickness: which ways explain the photograph, and what each colour then says by itself."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from brightroot.physics.tint.reading.table import Array, Table

SPREADS_1 = (0.025, 0.03, 0.25)  # of each feature where there is hardly any film
SHARES_1 = (0.12, 0.12, 0.12)  # and of what the film changes
LEAST_1, MOST_1 = 0.7, 2.2
CELL_1 = (0.03, 0.03, 0.08)
COARSE_1 = (0.09, 0.09, 0.25)
ASKED_COLOURS = 200
STARTS, KEPT = 24, 5
ROUNDS = 14
SHARED = 5.0  # as many independent colours a photograph is worth when ways are weighed
THIN_NM = 60.0  # thick films are rarer: the prior falls by e in so many nanometres
STRAY = 1e-6
BEND_HEED_1, HEED_1, SMOOTH_NM = 0.2, 0.8, 3.0  # how far the picture itself tells which levels are common
FAR = 30.0
START_1 = 1.3


@dataclass(frozen=True, eq=False, slots=True)
class Ways:
    """The ways that explain a photograph best, with their weights and what is left over."""

    courses: Array  # way × level × 3
    weights: Array
    wider_1: Array  # of each way: spreads against the least
    levels_1: Array  # share of the picture at each level, as far as the picture tells
    misfit_1: float  # typical distance of a colour from the nearest of the best way, in first spreads


def prior(table: Table) -> Array:
    """Of thickness, before the picture: falling slowly."""
    weights = table.level_weights * np.exp(-table.levels_nm / THIN_NM)
    return np.asarray(weights / weights.sum())


def weigh_ways(table: Table, colours: Array, counts: Array) -> Ways:
    """The best ways by how well they explain the colours (n × 3, each `counts` times)."""
    colours, share = _gathered(colours, counts)
    before = prior(table)
    every = table.courses(table.places)[:, ::2].astype(np.float32)
    spread = _spreads(table) * START_1
    fits = _fits(colours, every.reshape(-1, 3), np.tile(spread[::2], (len(every), 1))).reshape(
        len(colours), len(every), -1
    )
    scores = SHARED * (share[:, None] * np.log(fits @ (2 * before[::2]).astype(np.float32) + STRAY)).sum(0)
    bent = [_bent(table, table.places[n], colours, share, before) for n in np.argsort(scores)[::-1][:STARTS]]
    bent.sort(key=lambda one: -one[0])
    best = bent[:KEPT]
    weights = np.exp(np.array([one[0] for one in best]) - best[0][0])
    near = np.sqrt(((((colours[:, None] - best[0][1][None]) / _spreads(table)) ** 2).sum(2)).min(1))
    return Ways(
        np.stack([one[1] for one in best]), weights / weights.sum(), np.array([one[2] for one in best]),
        best[0][3], float((near * share).sum()),
    )  # fmt: skip


def _smoothing(table: Table) -> Array:
    """Shares of levels spread over their neighbours."""
    near = np.exp(-0.5 * ((table.levels_nm[:, None] - table.levels_nm[None]) / SMOOTH_NM) ** 2) * table.level_weights
    return np.asarray(near / near.sum(axis=1, keepdims=True))


def _gathered(colours: Array, counts: Array) -> tuple[Array, Array]:
    """Neighbouring colours as one, so that rare colours are heard beside the common ones; shares by the root of area."""
    bins = np.clip(np.rint(colours / np.asarray(COARSE_1)), -100, 100).astype(np.int64) + 100
    _, group = np.unique((bins[:, 0] * 201 + bins[:, 1]) * 201 + bins[:, 2], return_inverse=True)
    weight = np.bincount(group, counts)
    middle = np.stack([np.bincount(group, counts * colours[:, c]) / weight for c in range(3)], axis=1)
    heavy = np.argsort(weight)[::-1][:ASKED_COLOURS]
    share = np.sqrt(weight[heavy])
    return middle[heavy].astype(np.float32), share / share.sum()


def _spreads(table: Table) -> Array:
    """Spread of each feature at each level: some noise, and a share of what film usually changes there.

    The same for all ways: were it a way's own, pale ways would seem to fit better than they do.
    """
    return np.asarray(np.hypot(np.asarray(SPREADS_1), np.asarray(SHARES_1) * table.mean), np.float32)


def _fits(colours: Array, told: Array, spread: Array) -> Array:
    """Likelihood of each colour at each place of a course (places × 3), about one where it lies on thin film exactly."""
    sure = 1 / spread**2
    square = colours**2 @ sure.T - 2 * colours @ (told * sure).T + (told**2 * sure).sum(1)
    size = np.prod(np.asarray(SPREADS_1)) / np.prod(spread, axis=1)
    return np.asarray(np.exp(-0.5 * np.clip(square, 0, FAR)) * size, np.float32)


def _bent(table: Table, place: Array, colours: Array, share: Array, first: Array) -> tuple[float, Array, float, Array]:
    """Score, course and spreads of a way bent towards the colours: odds of levels and best place by turns."""
    wider, before, smooth, least = START_1, first, _smoothing(table), _spreads(table)
    axes = table.directions.reshape(len(table.directions), -1).T  # (level × 3) × direction
    course = table.courses(place[None])[0]
    for _ in range(ROUNDS):
        odds = _fits(colours, course, least * wider) * before
        odds = odds / (odds.sum(1) + STRAY)[:, None] * share[:, None] * SHARED
        level = odds.sum(0)
        before = (1 - BEND_HEED_1) * first + BEND_HEED_1 * (level / level.sum()) @ smooth
        spread = least * wider
        off = (odds.T @ colours - level[:, None] * table.mean) / spread**2
        left = (axes * (level[:, None] / spread**2).reshape(-1, 1)).T @ axes + np.eye(len(place))
        place = np.linalg.solve(left, axes.T @ off.ravel())
        course = table.courses(place[None])[0]
        square = sum(
            (odds * ((colours[:, c : c + 1] - course[None, :, c]) / least[None, :, c]) ** 2).sum() for c in range(3)
        )
        wider = float(np.clip(np.sqrt(square / max(3 * level.sum(), 1e-9)), LEAST_1, MOST_1))
    fit = (_fits(colours, course, least * wider) * before).sum(1) + STRAY
    heeded = (1 - HEED_1) * first + HEED_1 * (level / level.sum()) @ smooth
    return float(SHARED * (share * np.log(fit)).sum() - 0.5 * place @ place), course, wider, heeded


def cells_of(features: Array) -> tuple[Array, NDArray[np.int64], Array]:
    """Colours that are alike taken together: their middles, the cell of each, and how many lie in it."""
    bins = np.clip(np.rint(features / np.asarray(CELL_1, np.float32)), -500, 500).astype(np.int64) + 500
    keys, cell, counts = np.unique(
        (bins[:, 0] * 1001 + bins[:, 1]) * 1001 + bins[:, 2], return_inverse=True, return_counts=True
    )
    parts = np.stack([keys // 1001**2, keys // 1001 % 1001, keys % 1001], axis=1) - 500
    return (parts * np.asarray(CELL_1)).astype(np.float32), cell, counts.astype(np.float64)


def thickness_odds(ways: Ways, table: Table, colours: Array) -> Array:
    """How well each level explains each colour (n × level), over all ways kept."""
    total = np.full((len(colours), len(table.levels_nm)), STRAY, np.float32)
    for course, weight, wider in zip(ways.courses, ways.weights, ways.wider_1, strict=True):
        if weight > 0.01:
            total += np.float32(weight) * _fits(colours, course, _spreads(table) * float(wider))
    return total
