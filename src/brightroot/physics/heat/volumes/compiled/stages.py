"""The compiled stages of a super time step. Imported only where heat is marched.

State is one long row: for each ring of the section a ghost, its cells round the pipe, a ghost. Places are computed as
unsigned numbers, which spares the compiler a look at negative ones, so that every inner loop runs along memory at full
width; a call a ring, or a slice a ring, would cost more than the arithmetic.
"""

from __future__ import annotations

import numpy as np

from brightroot.physics.heat.volumes.compiled.jit import compiled_within

U = np.uint64


@compiled_within
def potentials(last, potential, base, slope, line, scale, calm, first, rings, stride):
    """Conduction potential of every cell, straight between the table's rows and on with the last slope beyond.

    A calm ring keeps the lines that it begins a step with.
    """
    top = np.uint32(line.shape[0] - 1)
    for c in range(rings):
        b = c * stride
        if not calm[c]:
            for j in range(b, b + stride):
                x = last[U(j)] * scale
                i = min(np.uint32(np.int32(x)), top)
                potential[U(j)] = line[i, 0] + x * line[i, 1]
        else:
            if first:
                for j in range(b, b + stride):
                    i = min(np.uint32(np.int32(last[U(j)] * scale)), top)
                    base[U(j)] = line[i, 0]
                    slope[U(j)] = line[i, 1] * scale
            for j in range(b, b + stride):
                potential[U(j)] = base[U(j)] + slope[U(j)] * last[U(j)]
        potential[U(b)] = potential[U(b + stride - 2)]
        potential[U(b + stride - 1)] = potential[U(b + 1)]


@compiled_within
def flows(potential, gained, beside, links, rings, stride):
    """W/m³ gained by every cell: from its neighbours in the section and along the ring.

    Rings that are whole metal, and whose neighbours are, share one strength a link; in the others each cell has its own.
    """
    conducts, along, after, before, whole, share, on, back = links
    for c in range(rings):
        b = c * stride
        if whole[c]:
            k = along[c]
            o0, o1, o2, o3 = beside[c, 0] * stride, beside[c, 1] * stride, beside[c, 2] * stride, beside[c, 3] * stride
            g0, g1, g2, g3 = conducts[c, 0], conducts[c, 1], conducts[c, 2], conducts[c, 3]
            for j in range(1, stride - 1):
                own = potential[U(b + j)]
                gained[U(b + j)] = (
                    k * (before[U(j)] * (potential[U(b + j - 1)] - own) + after[U(j)] * (potential[U(b + j + 1)] - own))
                    + g0 * (potential[U(o0 + j)] - own) + g1 * (potential[U(o1 + j)] - own)
                    + g2 * (potential[U(o2 + j)] - own) + g3 * (potential[U(o3 + j)] - own)
                )  # fmt: skip
            for way in range(4, beside.shape[1]):
                o, g = beside[c, way] * stride, conducts[c, way]
                if o != b:
                    for j in range(1, stride - 1):
                        gained[U(b + j)] += g * (potential[U(o + j)] - potential[U(b + j)])
        else:
            for j in range(1, stride - 1):
                own = potential[U(b + j)]
                gained[U(b + j)] = back[c, U(j)] * (potential[U(b + j - 1)] - own) + on[c, U(j)] * (
                    potential[U(b + j + 1)] - own
                )
            for way in range(beside.shape[1]):
                o = beside[c, way] * stride
                if o != b:
                    for j in range(1, stride - 1):
                        gained[U(b + j)] += share[way, c, U(j)] * (potential[U(o + j)] - potential[U(b + j)])


@compiled_within
def combined(new, last, start, rate, gained, source, mu, nu, rest, mt, gt):
    """One stage: the two before it, the start, and both rates; `new` holds the stage before last on entry."""
    for j in range(new.size):
        new[j] = mu * last[j] + nu * new[j] + rest * start[j] + mt * (gained[j] + source[j]) + gt * rate[j]


@compiled_within
def super_step(state, room, lines, table, calm, beside, links, source, rings, stride, dt, count):
    """RKL2 (Meyer, Balsara and Aslam 2014): `count` stages carry a step of dt_explicit·(s² + s − 2)/4, second order.

    Rings that are `calm` (no arc, no melting or transus near) keep for the step the slope that they begin it with: still
    second order, still conservative, and two lookups fewer. `room` is five rows of scratch.
    """
    one, other, rate, potential, gained = room
    base, slope = lines
    line, scale = table
    w = 4.0 / (count * count + count - 2.0)
    for j in range(state.size):
        one[j] = state[j]
        other[j] = state[j]
    new, last = one, other
    b2, b1 = 1.0 / 3.0, 1.0 / 3.0
    for s in range(1, count + 1):
        b0 = (s * s + s - 2.0) / (2.0 * s * (s + 1.0)) if s > 1 else 1.0 / 3.0
        mu = (2.0 * s - 1.0) / s * b0 / b1
        nu = -(s - 1.0) / s * b0 / b2
        mt = mu * w * dt
        potentials(last, potential, base, slope, line, scale, calm, s == 1, rings, stride)
        flows(potential, gained, beside, links, rings, stride)
        if s == 1:
            for j in range(state.size):
                rate[j] = gained[j] + source[j]
            for j in range(state.size):
                new[j] = state[j] + w / 3.0 * dt * rate[j]
        else:
            combined(new, last, state, rate, gained, source, mu, nu, 1.0 - mu - nu, mt, -(1.0 - b1) * mt)
        new, last = last, new
        b2, b1 = b1, b0
    for j in range(state.size):
        state[j] = last[j]
