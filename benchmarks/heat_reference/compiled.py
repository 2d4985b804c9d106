"""The arithmetic of one stage, compiled: tables, the product with the stiffness, and Chebyshev's sums."""

from __future__ import annotations

from typing import Any

from numba import njit


@njit(cache=True)
def looked(enthalpy: Any, table: Any, step: float, out: Any) -> None:
    """Straight between the rows of an even table."""
    for n in range(enthalpy.size):
        x = enthalpy[n] / step
        row = min(max(int(x), 0), table.size - 2)
        out[n] = table[row] + (x - row) * (table[row + 1] - table[row])


@njit(cache=True)
def flowed(indptr: Any, indices: Any, data: Any, theta: Any, gained: Any) -> None:
    """What flows into every node: minus stiffness times ∫k dT."""
    for n in range(gained.size):
        total = 0.0
        for k in range(indptr[n], indptr[n + 1]):
            total += data[k] * theta[indices[k]]
        gained[n] = -total


@njit(cache=True)
def lost(nodes: Any, area: Any, kelvin: Any, air: float, convects: float, radiates: float, gained: Any) -> float:
    """Takes a face's losses from its nodes; gives their sum."""
    total = 0.0
    for i in range(nodes.size):
        t = kelvin[i]
        watts = area[i] * (convects * (t - air) + radiates * (t * t * t * t - air * air * air * air))
        gained[nodes[i]] -= watts
        total += watts
    return total


@njit(cache=True)
def stage(weights: Any, state: Any, last: Any, before: Any, gained: Any, begin: Any, volume: Any, out: Any) -> None:
    """One stage of a Chebyshev step; `begin` is already by volume, `gained` is not."""
    a, b, c, d, e = weights
    for n in range(out.size):
        out[n] = a * state[n] + b * last[n] + c * before[n] + d * gained[n] / volume[n] + e * begin[n]
