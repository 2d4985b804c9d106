"""What holds on one grid round the pipe: how much metal each cell has, what conducts to it, and where its faces are. Compiled."""

from __future__ import annotations

import math

import numpy as np

from brightroot.physics.heat.volumes.compiled.jit import compiled, compiled_within
from brightroot.physics.heat.volumes.compiled.packed import Grid

FULL_1 = 1.0 - 1e-12
FACE_1 = 0.5
VECTOR = 8  # cells that a processor takes at a time


@compiled_within
def stride_of(count):
    """How long a ring's row is: a ghost, its cells in whole vectors, a ghost."""
    return (count + VECTOR - 1) // VECTOR * VECTOR + 2


@compiled_within
def widened(state, stride):
    """Rows as long as that; beyond the cells there is something finite."""
    found = np.empty((state.shape[0], stride))
    for c in range(state.shape[0]):
        for j in range(state.shape[1]):
            found[c, j] = state[c, j]
        for j in range(state.shape[1], stride):
            found[c, j] = state[c, 1]
    return found


@compiled_within
def narrowed(wide, state):
    """The same way back."""
    for c in range(state.shape[0]):
        for j in range(1, state.shape[1] - 1):
            state[c, j] = wide[c, j]


@compiled_within
def laid_share(filled, edges):
    """How much of each cell every pass has laid, passes × cells."""
    found = np.zeros((filled.shape[0], edges.size - 1))
    for n in range(filled.shape[0]):
        for j in range(edges.size - 1):
            for k in range(edges[j], edges[j + 1]):
                found[n, j] += filled[n, k]
            found[n, j] /= edges[j + 1] - edges[j]
    return found


@compiled
def metal_share(base, passes, filled, edges):
    """Share of each cell that is metal, rings × cells."""
    laid = laid_share(filled, edges)
    found = np.empty((base.size, edges.size - 1))
    for c in range(base.size):
        for j in range(edges.size - 1):
            found[c, j] = base[c]
        for n in range(passes.shape[0]):
            if passes[n, c] > 0.0:
                for j in range(edges.size - 1):
                    found[c, j] += passes[n, c] * laid[n, j]
    return found


@compiled_within
def lay(filled, which, from_rad, to_rad, base_rad):
    """Fill the base cells whose middles the arc passes."""
    low, high = min(from_rad, to_rad) / base_rad, max(from_rad, to_rad) / base_rad
    for n in range(math.ceil(low - 0.5), math.floor(high - 0.5) + 1):
        filled[which, n % filled.shape[1]] = 1


@compiled_within
def melt_in(state, before, after, cold):
    """Enthalpies after filler came in cold."""
    for c in range(before.shape[0]):
        for j in range(before.shape[1]):
            gained = after[c, j] - before[c, j]
            if gained > 0.0:
                state[c, j + 1] = (state[c, j + 1] * before[c, j] + cold * gained) / after[c, j]


@compiled
def top_and_bottom(metal, first, last):
    """Outermost and innermost ring that is mostly metal, columns × cells, and the ring below and above it; −1 where there is none.

    A ring that is mostly open is no face: it leans on the next one, and alone it could not take an arc's heat.
    """
    shape = (first.size, metal.shape[1])
    top, under, bottom, over = (np.empty(shape, np.int64), np.empty(shape, np.int64), np.empty(shape, np.int64),
                                np.empty(shape, np.int64))  # fmt: skip
    for i in range(first.size):
        for j in range(metal.shape[1]):
            high, low = last[i], first[i]
            while high >= first[i] and metal[high, j] < FACE_1:
                high -= 1
            while low <= last[i] and metal[low, j] < FACE_1:
                low += 1
            if high < first[i]:
                high = low = -1
            top[i, j], bottom[i, j] = high, low
            under[i, j], over[i, j] = (high - 1, low + 1) if high > low else (high, low)
    return top, under, bottom, over


@compiled_within
def all_round(edge):
    """Of each column, whether one ring is its face all round."""
    same = np.ones(edge.shape[0], np.bool_)
    for i in range(edge.shape[0]):
        for j in range(edge.shape[1]):
            if edge[i, j] != edge[i, 0] or edge[i, j] < 0:
                same[i] = False
    return same


@compiled_within
def round_links(edges_rad, stride):
    """What conducts from the cell before and from the next one, over width; nothing beyond the cells."""
    count = edges_rad.size - 1
    width, after, before = np.empty(count), np.zeros(stride), np.zeros(stride)
    for j in range(count):
        width[j] = edges_rad[j + 1] - edges_rad[j]
    for j in range(count):
        own, right, left = width[j], width[(j + 1) % count], width[(j - 1) % count]
        after[j + 1], before[j + 1] = 2.0 / (own * (own + right)), 2.0 / (own * (own + left))
    return before, after


@compiled_within
def own_links(ways, beside, along, volume, base, passes, metal, laid, whole, before, after):
    """What conducts to each cell of the rings that are not whole, over what metal it holds: from before, after, then beside."""
    rings, count = metal.shape
    share = np.zeros((base.shape[1] + 2, rings, before.size))
    for c in range(rings):
        if whole[c]:
            continue
        for j in range(count):
            own = metal[c, j]
            if own <= 0.0:
                continue
            left, right = metal[c, (j - 1) % count], metal[c, (j + 1) % count]
            share[0, c, j + 1] = along[c] * before[j + 1] * min(1.0, left / own)
            share[1, c, j + 1] = along[c] * after[j + 1] * min(1.0, right / own)
            for way in range(ways[c]):
                if metal[beside[c, way], j] <= 0.0:
                    continue
                total = base[c, way]
                for n in range(laid.shape[0]):
                    total += passes[n, c, way] * laid[n, j]
                share[way + 2, c, j + 1] = total / (own * volume[c])
    return share


@compiled_within
def stiffness(ways, along, conducts, whole, share, before, after):
    """For each ring the largest sum of what conducts to a cell: what limits an explicit step."""
    rings, count = whole.size, after.size - 1
    found, most = np.zeros(rings), 0.0
    for j in range(1, count):
        most = max(most, after[j] + before[j])
    for c in range(rings):
        if whole[c]:
            found[c] = along[c] * most
            for way in range(ways[c]):
                found[c] += conducts[c, way]
        else:
            for j in range(1, count):
                total = 0.0
                for way in range(ways[c] + 2):
                    total += share[way, c, j]
                found[c] = max(found[c], total)
    return found


@compiled_within
def whole_rings(ways, beside, metal):
    """Which rings are full all round, with neighbours that are, and whether all are."""
    rings, count = metal.shape
    full, whole, every = np.ones(rings, np.bool_), np.ones(rings, np.bool_), True
    for c in range(rings):
        least = 1.0
        for j in range(count):
            least = min(least, metal[c, j])
        full[c] = least >= FULL_1
    for c in range(rings):
        whole[c] = full[c]
        for way in range(ways[c]):
            whole[c] = whole[c] and full[beside[c, way]]
        every = every and whole[c]
    return whole, every


@compiled_within
def face_rates(edge, area, volume, metal, edges_rad):
    """Of each column's face: its area over what metal the ring at it holds, and the area of a cell."""
    rate, watt = np.zeros(edge.shape), np.zeros(edge.shape)
    for i in range(edge.shape[0]):
        for j in range(edge.shape[1]):
            c = edge[i, j]
            if c >= 0:
                rate[i, j] = area[c] / volume[c] if metal[c, j] == 1.0 else area[c] / (volume[c] * metal[c, j])
                watt[i, j] = area[c] * (edges_rad[j + 1] - edges_rad[j])
    return rate, watt


@compiled_within
def slopes_added(rate, watt, edge, area, first, last, sloped, base, metal):
    """Count open slopes as the face that they are."""
    for i in range(edge.shape[0]):
        for j in range(edge.shape[1]):
            if edge[i, j] >= 0:
                more = 0.0
                for n in range(first[i], last[i] + 1):
                    if sloped[n] > 0.0:
                        more += sloped[n] * (1.0 - metal[n, j]) / (1.0 - base[n])
                watt[i, j] *= 1.0 + more / area[edge[i, j]]
                rate[i, j] *= 1.0 + more / area[edge[i, j]]


@compiled_within
def grid_of(shape, metal, filled, edges, base_rad):
    """All that holds while a grid does."""
    edges_rad = np.empty(edges.size)
    for n in range(edges.size):
        edges_rad[n] = edges[n] * base_rad
    before, after = round_links(edges_rad, stride_of(edges.size - 1))
    whole, every = whole_rings(shape.ways, shape.beside, metal)
    share = np.zeros((0, 0, 0))
    if not every:
        laid = laid_share(filled, edges)
        share = own_links(
            shape.ways, shape.beside, shape.along, shape.volume, shape.base_links, shape.pass_links, metal, laid, whole, before,
            after,
        )  # fmt: skip
    stiff = stiffness(shape.ways, shape.along, shape.conducts, whole, share, before, after)
    top, under, bottom, over = top_and_bottom(metal, shape.first, shape.last)
    rate_out, watt_out = face_rates(top, shape.area_out, shape.volume, metal, edges_rad)
    rate_in, watt_in = face_rates(bottom, shape.area_in, shape.volume, metal, edges_rad)
    if not every:
        slopes_added(
            rate_out, watt_out, top, shape.area_out, shape.first, shape.last, shape.sloped, shape.base_share, metal
        )
    links = (shape.ways, shape.beside, shape.conducts, shape.along, before, after, whole, share.reshape(share.size))
    return Grid(
        edges_rad,
        links,
        stiff,
        top,
        under,
        bottom,
        over,
        all_round(top),
        all_round(bottom),
        rate_out,
        rate_in,
        watt_out,
        watt_in,
    )
