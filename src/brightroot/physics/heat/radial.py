"""Shapes of old heat through a curved wall: for each number of waves round the ring, how it decays and how it lies."""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from brightroot.physics.heat.ring import Ring

Array = NDArray[np.float64]
DEGREE = 7  # Legendre polynomials through the wall
TERMS = 4  # shapes kept for each wave


class Shapes(NamedTuple):
    """Rows are waves, columns shapes: decay over diffusivity, and what each face sees of heat laid on the outer face."""

    decay_per_m2: Array
    outer_1: Array
    inner_1: Array


@lru_cache(maxsize=64)
def shapes(*, outer_diameter_m: float, wall_m: float, count: int) -> Shapes:
    """The slowest radial shapes of each of `count` wave numbers, by Rayleigh and Ritz, both faces adiabatic.

    >>> thin = shapes(outer_diameter_m=2.0, wall_m=0.002, count=3)
    >>> [round(float(x), 2) for x in thin.decay_per_m2[:, 0]]
    [0.0, 1.0, 4.01]
    """
    outer, mean = outer_diameter_m / 2, (outer_diameter_m - wall_m) / 2
    x, weight = np.polynomial.legendre.leggauss(2 * DEGREE)
    radius = mean + wall_m / 2 * x
    values = np.polynomial.legendre.legvander(x, DEGREE)
    basis = np.eye(DEGREE + 1)
    slopes = np.stack(
        [np.polynomial.legendre.legval(x, np.polynomial.legendre.legder(row)) for row in basis], axis=1
    ) / (wall_m / 2)  # fmt: skip
    dx = weight * wall_m / 2
    mass = values.T * (dx * radius) @ values
    radial = slopes.T * (dx * radius) @ slopes
    round_it = values.T * (dx / radius) @ values
    order = np.arange(count, dtype=float)
    root = np.linalg.inv(np.linalg.cholesky(mass))
    whole = root @ (radial + order[:, None, None] ** 2 * round_it) @ root.T
    decay, vectors = np.linalg.eigh(whole)
    slowest = np.swapaxes(vectors[:, :, :TERMS], 1, 2) @ root  # of unit mass
    at_outer = slowest.sum(axis=2)
    at_inner = slowest @ (-1.0) ** np.arange(DEGREE + 1)
    area = (outer - wall_m / 2) * wall_m
    return Shapes(np.maximum(decay[:, :TERMS], 0.0), area * at_outer**2, area * at_outer * at_inner)


def shapes_of(ring: Ring, count: int) -> Shapes:
    """The shapes of a ring; counts are rounded up so that few sets are ever computed."""
    whole = shapes(outer_diameter_m=ring.outer_diameter_m, wall_m=ring.wall_m, count=-(-count // 32) * 32)
    return Shapes(*(part[:count] for part in whole))
