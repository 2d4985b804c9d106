"""What a face shows: temperatures of the outermost and innermost metal, at a place, and the hottest. Compiled."""

from __future__ import annotations

import numpy as np

from brightroot.physics.heat.volumes.compiled.jit import compiled, compiled_within


@compiled_within
def looked_up(state, count, rows, scale, kelvin, potential, slope, highest):
    """Of every cell its temperature, its potential and the potential's slope, each by the line through its row of the table.

    `highest` of each ring becomes the row that its hottest cell is in. Puts ghosts, and what lies beyond, in their places.
    """
    top = np.uint32(rows.shape[0] - 1)
    for c in range(state.shape[0]):
        state[c, 0] = state[c, count]
        for j in range(count + 1, state.shape[1]):
            state[c, j] = state[c, 1]
        most = np.uint32(0)
        for j in range(state.shape[1]):
            x = state[c, j] * scale
            i = min(np.uint32(np.int32(x)), top)
            potential[c, j] = rows[i, 0] + x * rows[i, 1]
            slope[c, j] = rows[i, 1] * scale
            kelvin[c, j] = rows[i, 2] + x * rows[i, 3]
            most = max(most, i)
        highest[c] = most


@compiled_within
def face(kelvin, edge, beyond, same, found):
    """Temperatures of a face, columns × cells: of the ring at the face, carried on to the face itself, where its slope is nothing.

    A column without metal shows what the next one along the pipe does. `same`: where one ring is the face all round.
    """
    for i in range(edge.shape[0] - 1, -1, -1):
        if same[i]:
            c, o = edge[i, 0], beyond[i, 0]
            for j in range(edge.shape[1]):
                found[i, j] = kelvin[c, j + 1] + (kelvin[c, j + 1] - kelvin[o, j + 1]) / 6.0
        else:
            for j in range(edge.shape[1]):
                c = edge[i, j]
                if c < 0:
                    found[i, j] = found[i + 1, j] if i + 1 < edge.shape[0] else np.nan
                else:
                    found[i, j] = kelvin[c, j + 1] + (kelvin[c, j + 1] - kelvin[beyond[i, j], j + 1]) / 6.0


@compiled
def face_of(state, edge, beyond, table):
    """The same from enthalpies."""
    kelvin, potential, slope = np.empty(state.shape), np.empty(state.shape), np.empty(state.shape)
    looked_up(
        state, state.shape[1] - 2, table.rows, table.scale, kelvin, potential, slope, np.empty(state.shape[0], np.int64)
    )
    found = np.empty(edge.shape)
    face(kelvin, edge, beyond, np.zeros(edge.shape[0], np.bool_), found)
    return found


@compiled_within
def seen(face, columns, by_column, cells, by_cell):
    """Temperature on a face between four columns and four cells."""
    total = 0.0
    for k in range(cells.size):
        for m in range(columns.size):
            total += by_cell[k] * by_column[m] * face[columns[m], cells[k]]
    return total


@compiled_within
def hottest(face, columns, weights, row):
    """Highest temperature of a face: on the weld plane between cells by a parabola, or elsewhere by its cell."""
    count, j, most = face.shape[1], 0, face[0, 0]
    for n in range(count):
        row[n] = face[0, n]
    for i in range(1, face.shape[0]):
        for n in range(count):
            row[n] = face[i, n] if face[i, n] > row[n] else row[n]
    for n in range(count):
        most = max(most, row[n])
        row[n] = 0.0
        for m in range(columns.size):
            row[n] += weights[m] * face[columns[m], n]
        if row[n] > row[j]:
            j = n
    left, own, right = row[(j - 1) % count], row[j], row[(j + 1) % count]
    bend = left - 2.0 * own + right
    best = own - (right - left) ** 2 / (8.0 * bend) if bend < 0.0 else own
    return max(best, most)
