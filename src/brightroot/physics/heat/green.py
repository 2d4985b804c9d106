"""Temperature of the ring by Green's function: moving Gaussians on the outer face, linear losses, adiabatic ends.

Round the ring the kernel is a sum of waves, along the pipe a sum of images, through the wall images (young heat) or the
radial shapes of the curved wall (old heat). The only quadrature is over the time since the heat went in. Properties are constant.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from functools import cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

from brightroot.base.errors import Refused
from brightroot.physics.heat.radial import TERMS, shapes_of
from brightroot.physics.heat.ring import ARC_SIGMA_M, ArcRun, Ring

Array = NDArray[np.float64]
Waves = NDArray[np.complex128]
Places = NDArray[np.intp]

TAIL = 4.5  # waves and images are cut where a Gaussian has fallen to e^(-TAIL²/2)
AGES_S = (0.0, 0.3, 1.0, 3.0, 8.0, 20.0, 60.0, 200.0, 800.0, np.inf)  # young heat needs many waves, old heat few
YOUNG_1 = 0.1  # diffusivity times age over wall squared: below, a flat wall with images; above, radial shapes
PIECE_1 = 25.0  # arc widths in the longest piece of a run
HELD = 400_000  # numbers held at a time
SIDES = ("outside", "inside")


def rise_dK(
    *, ring: Ring, runs: Sequence[ArcRun], theta_rad: ArrayLike, z_m: ArrayLike, side: str, time_s: ArrayLike,
    sigma_m: float = ARC_SIGMA_M,
) -> Array:  # fmt: skip
    """Rise above ambient, shape (times, angles), of all runs together at a distance from the weld plane, or one for each time.

    `side` is outside or inside. Runs that have not begun add nothing. The rise is exactly linear in net power.
    Quadrature: 0.01 %. From an independent 3-D reference with constant properties: 0.2 % of the rise from 2 s after
    arc-off, 2 K beside the arc at 5 mm, 30 K of 2,300 under it.

    >>> ring = Ring(0.0889, 0.00549, 0.15, 20.0, 2.7e6, 12.0, 8.0, 298.15)
    >>> run = ArcRun(0.0, 33.25, 0.0, 1.0472, 680.0)
    >>> round(float(rise_dK(ring=ring, runs=[run], theta_rad=[1.0472], z_m=0.0254, side="outside", time_s=[52.0])[0, 0]))
    159
    """
    angles = np.atleast_1d(np.asarray(theta_rad, dtype=float))
    times = np.atleast_1d(np.asarray(time_s, dtype=float))
    places = np.broadcast_to(np.asarray(z_m, dtype=float), times.shape)
    total = np.zeros((times.size, angles.size))
    for rows, waves in _waves(ring, runs, places, side, times, sigma_m):
        turned = _turns(angles, waves.shape[1]).T  # their conjugate is meant: the signs below say so
        total[rows] += waves.real @ turned.real + waves.imag @ turned.imag
    return total


def temperature_K(
    *, ring: Ring, runs: Sequence[ArcRun], theta_rad: ArrayLike, z_m: ArrayLike, side: str, time_s: ArrayLike,
    sigma_m: float = ARC_SIGMA_M,
) -> Array:  # fmt: skip
    """Temperature at points (angle, distance, time), broadcast against each other; ambient before any arc.

    >>> ring = Ring(0.0889, 0.00549, 0.15, 20.0, 2.7e6, 12.0, 8.0, 298.15)
    >>> float(temperature_K(ring=ring, runs=[], theta_rad=0.0, z_m=[0.0, 0.01], side="inside", time_s=9.0)[1])
    298.15
    """
    angles, places, times = np.broadcast_arrays(
        *(np.asarray(given, dtype=float) for given in (theta_rad, z_m, time_s))
    )  # fmt: skip
    total = np.full(times.size, ring.ambient_K)
    flat = angles.ravel()
    for rows, waves in _waves(ring, runs, places.ravel(), side, times.ravel(), sigma_m):
        total[rows] += np.real(waves * _turns(-flat[rows], waves.shape[1])).sum(axis=1)
    return total.reshape(times.shape)


def _waves(
    ring: Ring, runs: Sequence[ArcRun], z_m: Array, side: str, time_s: Array, sigma_m: float
) -> Iterator[tuple[Places, Waves]]:
    """Rows of the times and the waves that runs add there, runs and times of like age together."""
    if side not in SIDES:
        raise Refused(field="side", wanted="outside or inside", got=side, near=SIDES)
    start, last, begin, sweep, power = np.array(_pieces(runs, ring, sigma_m)).reshape(-1, 5).T
    age = time_s[:, None] - start
    youngest = np.maximum(age - last, 0.0)
    for low, high in zip((-1.0, *AGES_S), AGES_S, strict=False):
        at, run = np.nonzero((age > 0) & (youngest > low) & (youngest <= high))
        if not at.size:
            continue
        young = youngest[at, run]
        width = np.sqrt(sigma_m**2 + 2 * ring.diffusivity_m2_s * young.min())
        count = int(TAIL * ring.mean_radius_m / width) + 2
        nodes = _nodes(ring, young, age[at, run], sweep[run], width)
        step = max(1, HELD // (nodes * count))
        for first in range(0, at.size, step):
            rows, one = at[first : first + step], run[first : first + step]
            waves = _one_run_each(
                ring, z_m[rows], side, age[rows, one], last[one], begin[one], sweep[one], power[one], sigma_m, nodes, count
            )  # fmt: skip
            firsts = np.flatnonzero(np.diff(rows, prepend=-1))
            yield rows[firsts], np.add.reduceat(waves, firsts, axis=0)


def _pieces(runs: Sequence[ArcRun], ring: Ring, sigma_m: float) -> list[tuple[float, float, float, float, float]]:
    """The runs as columns, long ones cut: what a long arc left behind early is old heat and needs few waves."""
    rows = []
    for run in runs:
        count = max(1, math.ceil(abs(run.sweep_rad) * ring.mean_radius_m / (PIECE_1 * sigma_m)))
        last, sweep = run.duration_s / count, run.sweep_rad / count
        rows += [(run.start_s + n * last, last, run.from_rad + n * sweep, sweep, run.net_power_W) for n in range(count)]
    return rows


def _nodes(ring: Ring, young_s: Array, age_s: Array, sweep: Array, width: float) -> int:
    """Enough Gauss points for what the arc passed within a blurred width and for how much older the oldest heat is."""
    passed = ring.mean_radius_m * np.abs(sweep).max() / width
    blur_s = width**2 / (2 * ring.diffusivity_m2_s) - young_s.min()
    older = np.sqrt(((age_s + blur_s) / (young_s + blur_s)).max())
    return 2 * int(2 + 0.4 * passed + 2.5 * (older - 1))


@cache
def _gauss(count: int) -> tuple[Array, Array]:
    nodes, weights = np.polynomial.legendre.leggauss(count)
    return nodes, weights


def _one_run_each(
    ring: Ring, z_m: Array, side: str, age_s: Array, last_s: Array, begin: Array, sweep: Array, power: Array,
    sigma_m: float, nodes: int, count: int,
) -> Waves:  # fmt: skip
    """Complex heights of the waves, shape (rows, waves): the rise is the real part of their sum round the ring."""
    tau, weight = _source_times(age_s, last_s, nodes)
    heat = ring.diffusivity_m2_s * tau
    strength = (
        weight * power[:, None] * np.exp(-ring.loss_rate * tau) * _along(ring, z_m[:, None], sigma_m**2 + 2 * heat)
        / (2 * np.pi * ring.mean_radius_m * ring.wall_m * ring.heat_capacity_J_m3K)
    )  # fmt: skip
    order = np.arange(count)
    kernel = _through(ring, heat, side, count)
    arc_at = begin[:, None] + (sweep / last_s)[:, None] * (age_s[:, None] - tau)
    waves: Waves = np.einsum("rn,rnw->rw", strength, kernel * _turns(arc_at, count))
    waves *= np.where(order, 2.0, 1.0) * np.exp(-((order * sigma_m / (ring.outer_diameter_m / 2)) ** 2) / 2)
    return waves


def _turns(angle: Array, count: int) -> Waves:
    """e^(-i n angle) for n below `count`, each from the one before."""
    turned = np.empty((*angle.shape, count), dtype=complex)
    turned[..., 0] = 1.0
    turned[..., 1:] = np.exp(-1j * angle)[..., None]
    np.multiply.accumulate(turned, axis=-1, out=turned)
    return turned


def _source_times(age_s: Array, last_s: Array, nodes: int) -> tuple[Array, Array]:
    """Gauss points in the root of the time since the heat went in: it takes the edge off fresh heat."""
    low, high = (np.sqrt(x)[:, None] for x in (np.maximum(age_s - last_s, 0.0), age_s))
    at, weight = _gauss(nodes)
    root = (high + low) / 2 + (high - low) / 2 * at
    return root**2, (high - low) * weight * root


def _along(ring: Ring, z_m: Array, spread: Array) -> Array:
    """Gaussian along the pipe with images in both adiabatic ends."""
    length = 2 * ring.half_length_m
    reach = int((TAIL * np.sqrt(spread.max()) + np.abs(z_m).max()) / length)
    total = np.zeros_like(spread)
    for k in range(-reach, reach + 1):
        place = k * length + (z_m if k % 2 == 0 else -z_m)
        total += np.exp(-(place**2) / (2 * spread))
    return total / np.sqrt(2 * np.pi * spread)


def _through(ring: Ring, heat: Array, side: str, count: int) -> Array:
    """Kernel from the outer face to a face for each wave, times the wall; 1 when all is even. Shape (rows, nodes, waves)."""
    young = heat < YOUNG_1 * ring.wall_m**2
    if not young.any():
        return _old(ring, heat, side, count)
    kernel = np.empty((*heat.shape, count))
    kernel[young] = _young(ring, heat[young], side, count)
    kernel[~young] = _old(ring, heat[~young], side, count)
    return kernel


def _young(ring: Ring, heat: Array, side: str, count: int) -> Array:
    """A flat wall with images, and what curvature does first: more face to fill, a shorter way round underneath."""
    share, outer = heat / ring.wall_m**2, ring.outer_diameter_m / 2
    depth = np.sqrt(np.pi * heat)
    if side == "outside":
        through = (1 + 2 * np.exp(-1 / share)) * ring.mean_radius_m / outer * (1 + depth / (2 * outer))
        radius = outer - depth / 4
    else:
        through = 2 * np.exp(-1 / (4 * share)) + 2 * np.exp(-9 / (4 * share))
        radius = np.full(heat.shape, ring.mean_radius_m)
    waves = np.exp(-(heat / radius**2)[:, None] * np.arange(count) ** 2)
    return np.asarray((through / np.sqrt(np.pi * share))[:, None] * waves)


def _old(ring: Ring, heat: Array, side: str, count: int) -> Array:
    """Radial shapes of the curved wall; past the last that old heat can hold, nothing."""
    held = min(count, int(TAIL * ring.mean_radius_m / (np.sqrt(2 * YOUNG_1) * ring.wall_m)) + 2)
    shape = shapes_of(ring, held)
    seen = shape.outer_1 if side == "outside" else shape.inner_1
    kernel = np.zeros((*heat.shape, count))
    for term in range(1 if heat.min(initial=np.inf) > ring.wall_m**2 else TERMS):
        kernel[..., :held] += seen[:, term] * np.exp(-heat[..., None] * shape.decay_per_m2[:, term])
    return kernel
