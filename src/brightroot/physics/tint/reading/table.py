"""The packed table: how a film of so many nanometres changes the three channels, for each way the photograph may have come about.

A way is a pair of metal and oxide, a light, the strength of the camera's colours, its contrast, and how much white gloss
lies over the film. Nobody tells which one it was; the reading weighs them all by how well they explain the picture.
"""

from __future__ import annotations

import itertools
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.floating[Any]]
Single = Array

LEVELS_NM: Array = np.concatenate([np.arange(0.0, 66.0, 1.5), np.arange(66.0, 226.0, 3.0)])
NATIVE_NM = 3.0  # the film that clean metal carries in air
SATURATIONS_1 = (0.85, 1.05, 1.25)
CONTRASTS_1 = (0.85, 1.05, 1.3)
GLOSSES_1 = (0.0, 0.15)


@dataclass(frozen=True, eq=False, slots=True)
class Table:
    """Features (way × level × 3): log red/green, log blue/green, log brightness, all against clean metal."""

    levels_nm: Array
    features: Single
    metal: Single  # (way × 2): clean metal against a grey card, log red/green and log blue/green
    names: tuple[str, ...]

    @property
    def level_weights(self) -> Array:
        """Nanometres that each level stands for."""
        edges = np.concatenate([[0.0], (self.levels_nm[1:] + self.levels_nm[:-1]) / 2, [self.levels_nm[-1]]])
        return np.diff(edges)


def packed(colours: Mapping[str, Array]) -> Table:
    """The table from linear channel reflectances (level × 3, against the bare metal's) by name of pair and light.

    >>> flat = np.ones((len(LEVELS_NM), 3))
    >>> packed({"grey": flat}).features.shape[0] == len(SATURATIONS_1) * len(CONTRASTS_1) * len(GLOSSES_1)
    True
    """
    rows, metals, names = [], [], []
    native = int(np.argmin(np.abs(LEVELS_NM - NATIVE_NM)))
    for name, colour in colours.items():
        for strength, contrast, gloss in itertools.product(SATURATIONS_1, CONTRASTS_1, GLOSSES_1):
            seen = _camera(colour, strength=strength, gloss=gloss)
            told = features_of(seen)
            rows.append((told - told[native]) * contrast)
            metals.append(told[native, :2] * contrast)
            names.append(f"{name}|{strength}|{contrast}|{gloss}")
    return Table(LEVELS_NM, np.asarray(rows, np.float32), np.asarray(metals, np.float32), tuple(names))


def _camera(colour: Array, *, strength: float, gloss: float) -> Array:
    """Colours drawn from or towards grey, then white gloss over them."""
    grey = colour @ np.array([0.2126, 0.7152, 0.0722])
    drawn = grey[:, None] + strength * (colour - grey[:, None])
    return np.asarray(np.maximum((drawn + gloss * grey[:1, None]) / (1 + gloss), 0.004))


def features_of(light: Array) -> Array:
    """Log red/green, log blue/green and log brightness of linear channels (… × 3).

    >>> features_of(np.array([0.5, 0.5, 0.5])).round(3).tolist()
    [0.0, 0.0, -0.693]
    """
    logs = np.log(np.maximum(light, 1e-5))
    red, green, blue = logs[..., 0], logs[..., 1], logs[..., 2]
    told: Array = np.stack([red - green, blue - green, 0.3 * red + 0.5 * green + 0.2 * blue], axis=-1)
    return told
