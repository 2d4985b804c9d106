"""Cells round the pipe: fine where the arc is, two, four, eight times as wide away from it. Compiled.

Edges are whole numbers of base cells, and a cell of 2ⁿ base cells begins at a multiple of 2ⁿ: so any two grids of one
ring nest, and going from one to the other only splits or joins cells.
"""

from __future__ import annotations

import math

import numpy as np

from brightroot.physics.heat.volumes.compiled.jit import compiled, compiled_within


@compiled_within
def wanted_m(from_1, to_1, base_m, around, places, widths, clear_m, slope):
    """Widest cell that may lie between two base edges: as narrow as the sharpest thing near it."""
    least = 1e9
    for n in range(places.size):
        low, high = from_1 - places[n], to_1 - places[n]
        turn = around * math.floor((low + around / 2) / around)
        low, high = low - turn, high - turn
        apart = 0.0 if low <= 0.0 <= high else min(abs(low), abs(high), abs(high - around))
        least = min(least, max(widths[n], slope * (apart * base_m - clear_m)))
    return least


@compiled
def laid_out(around, base_m, most, places, widths, clear_m, slope):
    """Edges in base cells, from 0 to `around`, with cells of at most 2**`most` base cells."""
    edges = np.empty(around + 1, np.int64)
    edges[0] = 0
    count, at = 0, 0
    while at < around:
        level = 0
        while level < most:
            wide = 2 << level
            if at % wide or wide * base_m > wanted_m(at, at + wide, base_m, around, places, widths, clear_m, slope):
                break
            level += 1
        at += 1 << level
        count += 1
        edges[count] = at
    return edges[: count + 1]


@compiled
def moved(old, old_edges, old_share, new_edges, new_share):
    """Enthalpies on new edges: joined by metal, split along a limited slope. Conserves to rounding."""
    rings, cells = old.shape[0], old_edges.size - 1
    new = np.empty((rings, new_edges.size + 1))
    n = 0
    for j in range(new_edges.size - 1):
        low, high = new_edges[j], new_edges[j + 1]
        while old_edges[n + 1] <= low:
            n += 1
        if old_edges[n + 1] >= high:
            left, right = (n - 1) % cells, (n + 1) % cells
            width = old_edges[n + 1] - old_edges[n]
            gap_left = (width + old_edges[left + 1] - old_edges[left]) / 2
            gap_right = (width + old_edges[right + 1] - old_edges[right]) / 2
            off = (low + high - old_edges[n] - old_edges[n + 1]) / 2
            for c in range(rings):
                own = old[c, n + 1]
                up = (old[c, right + 1] - own) / gap_right
                down = (own - old[c, left + 1]) / gap_left
                steep = 0.0
                # where metal lies unevenly in the old cell a slope would not conserve
                if up * down > 0.0 and old_share[c, n] >= 1.0 - 1e-12:
                    steep = 2.0 * up * down / (up + down)
                new[c, j + 1] = own + steep * off
        else:
            for c in range(rings):
                total, metal, plain, m = 0.0, 0.0, 0.0, n
                while m < cells and old_edges[m] < high:
                    part = min(old_edges[m + 1], high) - max(old_edges[m], low)
                    total += old[c, m + 1] * old_share[c, m] * part
                    metal += old_share[c, m] * part
                    plain += old[c, m + 1] * part
                    m += 1
                new[c, j + 1] = total / metal if metal > 0.0 else plain / (high - low)
    return new


@compiled
def average_weights(edges, x):
    """Weights of four cell averages (five edges) for the value at x: slope of the running integral's quartic."""
    weights = np.zeros(4)
    for m in range(1, 5):  # derivative of the Lagrange polynomial of edge m at x
        total = 0.0
        for k in range(5):
            if k != m:
                term = 1.0 / (edges[m] - edges[k])
                for p in range(5):
                    if p != m and p != k:
                        term *= (x - edges[p]) / (edges[m] - edges[p])
                total += term
        for cell in range(m):  # the integral at edge m is the sum of the cells before it
            weights[cell] += total * (edges[cell + 1] - edges[cell])
    return weights


@compiled
def looked(edges_rad, angles_rad):
    """For each angle four cells round the pipe and their weights."""
    count, turn = edges_rad.size - 1, 2.0 * math.pi
    cells, weights = np.empty((angles_rad.size, 4), np.int64), np.empty((angles_rad.size, 4))
    near = np.empty(5)
    for n in range(angles_rad.size):
        angle = angles_rad[n] - turn * math.floor(angles_rad[n] / turn)
        own = 0
        while own < count - 1 and edges_rad[own + 1] <= angle:
            own += 1
        first = own - (2 if angle < (edges_rad[own] + edges_rad[own + 1]) / 2 else 1)
        for k in range(5):
            near[k] = edges_rad[(first + k) % count] + turn * ((first + k) // count)
        own_weights = average_weights(near, angle)
        for k in range(4):
            cells[n, k], weights[n, k] = (first + k) % count, own_weights[k]
    return cells, weights
