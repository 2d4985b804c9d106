"""Half a pipe, or a whole one with unlike sides, as trilinear bricks: stiffness once, lumped masses, lumped faces.

scikit-fem assembles; the rest is arithmetic.

The unknown is enthalpy, and ∫k dT drives the flow, so the stiffness matrix never changes. The top may be a groove's: the
layers follow it down, so its slope is a true face.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csr_matrix
from skfem import Basis, BilinearForm, ElementHex1, FacetBasis, LinearForm, MeshHex
from skfem.helpers import dot, grad

Array = NDArray[np.float64]
SLAB = 40_000  # bricks assembled at a time, for memory


@dataclass(frozen=True, eq=False)
class Solid:
    """Nodes by (angle, layer, place): a flat number is (angle × layers + layer) × places + place, inside first."""

    angles_rad: Array
    layers: int
    places_m: Array
    stiffness: Any
    volume_m3: Array
    outer_m2: Array
    inner_m2: Array

    @property
    def shape(self) -> tuple[int, int, int]:
        """How many angles, layers of nodes and places."""
        return self.angles_rad.size, self.layers, self.places_m.size


@BilinearForm  # type: ignore[untyped-decorator]
def _laplace(u: Any, v: Any, _: Any) -> Any:
    return dot(grad(u), grad(v))


@LinearForm  # type: ignore[untyped-decorator]
def _one(v: Any, _: Any) -> Any:
    return v


def solid(
    angles_rad: Array, bottom_m: float, top_m: Callable[[Array], Array], layers: int, places_m: Array
) -> Solid:  # fmt: skip
    """`angles_rad` from 0 up to, and without, a whole turn; `places_m` from the weld plane, then a mirror, or across it.

    `top_m` is the outer radius by place; `layers` counts nodes through the wall.
    """
    closed = np.append(angles_rad, 2 * np.pi)
    shares = np.linspace(0.0, 1.0, layers)
    mesh = MeshHex.init_tensor(closed, shares, places_m)
    theta, share, place = mesh.p
    counts = (angles_rad.size, layers, places_m.size)
    at = [
        np.searchsorted(grid, values - 1e-12) for grid, values in ((closed, theta), (shares, share), (places_m, place))
    ]
    number = ((at[0] % counts[0]) * counts[1] + at[1]) * counts[2] + at[2]
    radius = bottom_m + share * (top_m(place) - bottom_m)
    curved = MeshHex(np.array([radius * np.cos(theta), radius * np.sin(theta), place]), mesh.t)
    total = int(np.prod(counts))
    fold = csr_matrix((np.ones(number.size), (np.arange(number.size), number)), shape=(number.size, total))
    stiffness, volume = csr_matrix((total, total)), np.zeros(total)
    for first in range(0, mesh.t.shape[1], SLAB):
        slab = np.arange(first, min(first + SLAB, mesh.t.shape[1]))
        basis = Basis(curved, ElementHex1(), elements=slab)
        stiffness = stiffness + (fold.T @ _laplace.assemble(basis) @ fold).tocsr()
        volume += fold.T @ _one.assemble(basis)
    faces = []
    for edge in (1.0, 0.0):
        found = mesh.facets_satisfying(lambda x, edge=edge: np.abs(x[1] - edge) < 1e-9)
        faces.append(fold.T @ _one.assemble(FacetBasis(curved, ElementHex1(), facets=found)))
    return Solid(angles_rad, layers, places_m, stiffness, volume, faces[0], faces[1])


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
