"""The packed table: how a film of so many nanometres changes the three channels, for each way the photograph may have come about.

A way is a metal and an oxide, a light, a camera with its colour matrix and its tone, and a gloss over it all. Nobody
tells which one it was; the reading weighs them by how well they explain the picture, and bends the best of them a little
further along the directions in which ways differ.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.floating[Any]]

LEVELS_NM: Array = np.concatenate([np.arange(0.0, 66.0, 1.5), np.arange(66.0, 226.0, 3.0)])
FLOOR_1 = 0.08  # darkest channel that still tells something, as a share of clean metal's
WEIGHTS_1 = (0.3, 0.5, 0.2)  # of red, green and blue in brightness


@dataclass(frozen=True, eq=False, slots=True)
class Table:
    """Ways as a mean course, the directions in which they differ, and each way's place along these."""

    levels_nm: Array
    mean: Array  # level × 3: features of a film against clean metal
    directions: Array  # direction × level × 3, scaled so that a way's place is of unit spread
    places: Array  # way × direction

    @property
    def level_weights(self) -> Array:
        """Nanometres that each level stands for."""
        edges = np.concatenate([[0.0], (self.levels_nm[1:] + self.levels_nm[:-1]) / 2, [self.levels_nm[-1]]])
        return np.diff(edges)

    def courses(self, places: Array) -> Array:
        """Features (place × level × 3) at places along the directions."""
        flat = places @ self.directions.reshape(len(self.directions), -1)
        return np.asarray(self.mean + flat.reshape(-1, *self.mean.shape))


def features_of(ratio: Array) -> Array:
    """Red against green, blue against green, and brightness of linear channels (… × 3) against clean metal's, in logs.

    A floor keeps nearly black channels, where there is noise and nothing else, from shouting.

    >>> features_of(np.array([1.0, 1.0, 1.0])).tolist()
    [0.0, 0.0, 0.0]
    """
    logs = np.log((np.maximum(ratio, 0) + FLOOR_1) / (1 + FLOOR_1))
    red, green, blue = logs[..., 0], logs[..., 1], logs[..., 2]
    bright = WEIGHTS_1[0] * red + WEIGHTS_1[1] * green + WEIGHTS_1[2] * blue
    told: Array = np.stack([red - green, blue - green, bright], axis=-1)
    return told


def packed(courses: Array, *, directions: int = 12) -> Table:
    """The table of many ways (way × level × 3): their mean and the directions that account for most of what differs."""
    mean = courses.mean(axis=0)
    apart = (courses - mean).reshape(len(courses), -1)
    _, sizes, rows = np.linalg.svd(apart, full_matrices=False)
    spread = sizes[:directions] / np.sqrt(len(courses))
    places = apart @ rows[:directions].T / spread
    axes = (rows[:directions] * spread[:, None]).reshape(directions, *mean.shape)
    return Table(LEVELS_NM, mean, axes, places)
