"""Half a pipe as trilinear bricks: stiffness once, lumped masses, lumped faces. scikit-fem assembles; the rest is arithmetic.

The unknown is enthalpy, and ∫k dT drives the flow, so the stiffness matrix never changes.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csr_matrix
from skfem import Basis, BilinearForm, ElementHex1, MeshHex
from skfem.helpers import dot, grad

Array = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Solid:
    """Nodes by (angle, radius, place): a flat number is (angle × radii + radius) × places + place."""

    angles_rad: Array
    radii_m: Array
    places_m: Array
    stiffness: Any
    volume_m3: Array
    outer_m2: Array
    inner_m2: Array

    @property
    def shape(self) -> tuple[int, int, int]:
        """How many angles, radii and places."""
        return self.angles_rad.size, self.radii_m.size, self.places_m.size


def solid(angles_rad: Array, radii_m: Array, places_m: Array) -> Solid:
    """`angles_rad` from 0 up to, and without, a whole turn; `places_m` from the weld plane, which is a mirror."""
    closed = np.append(angles_rad, 2 * np.pi)
    mesh = MeshHex.init_tensor(closed, radii_m, places_m)
    theta, radius, place = mesh.p
    counts = (closed.size - 1, radii_m.size, places_m.size)
    at = [np.abs(grid[:, None] - values[None, :]).argmin(axis=0) for grid, values in
          ((closed, theta), (radii_m, radius), (places_m, place))]  # fmt: skip
    number = ((at[0] % counts[0]) * counts[1] + at[1]) * counts[2] + at[2]
    curved = MeshHex(np.array([radius * np.cos(theta), radius * np.sin(theta), place]), mesh.t)
    basis = Basis(curved, ElementHex1())

    @BilinearForm  # type: ignore[untyped-decorator]
    def laplace(u: Any, v: Any, _: Any) -> Any:
        return dot(grad(u), grad(v))

    @BilinearForm  # type: ignore[untyped-decorator]
    def mass(u: Any, v: Any, _: Any) -> Any:
        return u * v

    total = int(np.prod(counts))
    fold = csr_matrix((np.ones(number.size), (np.arange(number.size), number)), shape=(number.size, total))
    stiffness = (fold.T @ laplace.assemble(basis) @ fold).tocsr()
    volume = np.asarray(fold.T @ mass.assemble(basis).sum(axis=1)).ravel()
    width = (np.roll(closed[1:] - closed[:-1], 1) + (closed[1:] - closed[:-1])) / 2
    along = np.zeros(places_m.size)
    along[:-1] += np.diff(places_m) / 2
    along[1:] += np.diff(places_m) / 2
    face = width[:, None] * along[None, :]
    outer, inner = np.zeros(counts), np.zeros(counts)
    outer[:, -1], inner[:, 0] = face * radii_m[-1], face * radii_m[0]
    return Solid(angles_rad, radii_m, places_m, stiffness, volume, outer.ravel(), inner.ravel())


def hat_shares(grid: Array, centre: float, sigma: float, *, turn: float = 0.0) -> Array:
    """∫ of every hat function of a grid times a normal density; on a closed grid of length `turn` the nearest way round."""
    nodes, weights = np.polynomial.legendre.leggauss(6)
    ends = np.append(grid, turn) if turn else grid
    low, high = ends[:-1, None], ends[1:, None]
    at = (low + high) / 2 + (high - low) / 2 * nodes
    off = at - centre
    if turn:
        off -= turn * np.round(off / turn)
    density = np.exp(-((off / sigma) ** 2) / 2) / (sigma * np.sqrt(2 * np.pi)) * weights * (high - low) / 2
    up = (at - low) / (high - low)
    shares = np.zeros(ends.size)
    shares[:-1] += (density * (1 - up)).sum(axis=1)
    shares[1:] += (density * up).sum(axis=1)
    if turn:
        shares[0] += shares[-1]
        shares = shares[:-1]
    return shares
