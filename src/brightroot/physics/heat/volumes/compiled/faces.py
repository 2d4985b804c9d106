"""What a face shows: temperatures of the outermost and innermost metal, at a place, and the hottest. Compiled."""

from __future__ import annotations

import numpy as np

from brightroot.physics.heat.volumes.compiled.jit import compiled, compiled_within


@compiled_within
def temperature(h, warmth, scale):
    """Temperature at an enthalpy, by the line through its row of the table."""
    x = h * scale
    i = min(np.uint32(np.int32(x)), np.uint32(warmth.shape[0] - 1))
    return warmth[i, 0] + x * warmth[i, 1]


@compiled
def faces(state, edge, beyond, warmth, scale, fed, found):
    """Temperatures of a face, columns × cells: of the ring at the face, carried on to the face itself.

    Its slope there is nothing, but for heat `fed` into it (W/m² times depth over thrice the conductivity). A column
    without metal shows what the next one along the pipe does.
    """
    for i in range(edge.shape[0] - 1, -1, -1):
        for j in range(edge.shape[1]):
            c, next_ring = edge[i, j], beyond[i, j]
            if c < 0:
                found[i, j] = found[i + 1, j] if i + 1 < edge.shape[0] else np.nan
                continue
            own = temperature(state[c, j + 1], warmth, scale)
            found[i, j] = own + fed[i, j]
            if next_ring != c:
                found[i, j] += (own - temperature(state[next_ring, j + 1], warmth, scale)) / 6.0


@compiled_within
def seen(face, columns, by_column, cells, by_cell):
    """Temperature on a face between four columns and four cells."""
    total = 0.0
    for k in range(cells.size):
        for m in range(columns.size):
            total += by_cell[k] * by_column[m] * face[columns[m], cells[k]]
    return total


@compiled_within
def along_weld(face, columns, weights):
    """Temperatures of a face on the weld plane, cell by cell."""
    row = np.zeros(face.shape[1])
    for m in range(columns.size):
        for j in range(row.size):
            row[j] += weights[m] * face[columns[m], j]
    return row


@compiled_within
def hottest(face, columns, weights):
    """Highest temperature of a face: on the weld plane between cells by a parabola, or elsewhere by its cell."""
    row = along_weld(face, columns, weights)
    count, j, most = row.size, 0, face[0, 0]
    for n in range(count):
        if row[n] > row[j]:
            j = n
        for i in range(face.shape[0]):
            most = max(most, face[i, n])
    left, own, right = row[(j - 1) % count], row[j], row[(j + 1) % count]
    bend = left - 2.0 * own + right
    best = own - (right - left) ** 2 / (8.0 * bend) if bend < 0.0 else own
    return max(best, most)
