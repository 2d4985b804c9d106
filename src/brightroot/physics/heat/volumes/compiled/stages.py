"""The compiled stages of a super time step. Imported only where heat is marched.

A row of numbers for each ring of the section: a ghost, its cells round the pipe, a ghost, and what is wanting to whole
vectors (these are computed with the rest and never read); all rings one after another.
Places are computed as unsigned numbers, which spares the compiler a look at negative ones, so that every inner loop runs along
memory at full width; a call a ring, or a slice a ring, would cost more than the arithmetic.

What is staged is how far a step has come, not where it is: the start and the sources then need no look at each stage.
"""

from __future__ import annotations

import numpy as np

from brightroot.physics.heat.volumes.compiled.jit import compiled_within

U = np.uint64


@compiled_within
def staged(new, last, rate, moved, following, slope, calm, out, links, rings, stride, mu, nu, both, mt):
    """One stage of every ring: the two stages before it, the rate at the start, and what `moved` potentials let flow now.

    `new` holds the stage before last on entry. `following` becomes how far the potentials of calm rings have moved. Rings that
    are whole metal, and whose neighbours are, share one strength a link, and with up to four neighbours go in one pass; in
    the others each cell has its own.
    """
    ways, beside, conducts, along, before, after, whole, share = links
    end = stride - 1
    for c in range(rings):
        b, k = c * stride, along[c]
        o0, o1, o2, o3 = beside[c, 0] * stride, beside[c, 1] * stride, beside[c, 2] * stride, beside[c, 3] * stride
        g0, g1, g2, g3 = conducts[c, 0], conducts[c, 1], conducts[c, 2], conducts[c, 3]
        if whole[c] and ways[c] <= 2 and calm[c]:
            for j in range(1, end):
                own = moved[U(b + j)]
                gained = (
                    k * (before[U(j)] * (moved[U(b + j - 1)] - own) + after[U(j)] * (moved[U(b + j + 1)] - own))
                    + g0 * (moved[U(o0 + j)] - own) + g1 * (moved[U(o1 + j)] - own)
                )  # fmt: skip
                value = mu * last[U(b + j)] + nu * new[U(b + j)] + both * rate[U(b + j)] + mt * gained
                new[U(b + j)] = value
                following[U(b + j)] = slope[U(b + j)] * value
        elif whole[c] and ways[c] <= 4:
            for j in range(1, end):
                own = moved[U(b + j)]
                gained = (
                    k * (before[U(j)] * (moved[U(b + j - 1)] - own) + after[U(j)] * (moved[U(b + j + 1)] - own))
                    + g0 * (moved[U(o0 + j)] - own) + g1 * (moved[U(o1 + j)] - own)
                    + g2 * (moved[U(o2 + j)] - own) + g3 * (moved[U(o3 + j)] - own)
                )  # fmt: skip
                value = mu * last[U(b + j)] + nu * new[U(b + j)] + both * rate[U(b + j)] + mt * gained
                new[U(b + j)] = value
                following[U(b + j)] = slope[U(b + j)] * value
        else:
            for j in range(1, end):
                own = moved[U(b + j)]
                out[U(j)] = k * (before[U(j)] * (moved[U(b + j - 1)] - own) + after[U(j)] * (moved[U(b + j + 1)] - own))
            if not whole[c]:
                one, other = c * stride, (rings + c) * stride
                for j in range(1, end):
                    own = moved[U(b + j)]
                    out[U(j)] = share[U(one + j)] * (moved[U(b + j - 1)] - own) + share[U(other + j)] * (
                        moved[U(b + j + 1)] - own
                    )
            for way in range(ways[c]):
                o, g, s = beside[c, way] * stride, conducts[c, way], ((way + 2) * rings + c) * stride
                if whole[c]:
                    for j in range(1, end):
                        out[U(j)] += g * (moved[U(o + j)] - moved[U(b + j)])
                else:
                    for j in range(1, end):
                        out[U(j)] += share[U(s + j)] * (moved[U(o + j)] - moved[U(b + j)])
            for j in range(1, end):
                value = mu * last[U(b + j)] + nu * new[U(b + j)] + both * rate[U(b + j)] + mt * out[U(j)]
                new[U(b + j)] = value
                following[U(b + j)] = slope[U(b + j)] * value


@compiled_within
def followed(following, new, state, potential, calm, rows, scale, rings, stride, count):
    """Where a ring is not calm its potentials are looked up; and every ring's ends meet."""
    top = np.uint32(rows.shape[0] - 1)
    for c in range(rings):
        b = c * stride
        if not calm[c]:
            for j in range(b + 1, b + stride - 1):
                x = (state[U(j)] + new[U(j)]) * scale
                i = min(np.uint32(np.int32(x)), top)
                following[U(j)] = rows[i, 0] + x * rows[i, 1] - potential[U(j)]
        following[U(b)] = following[U(b + count)]
        following[U(b + count + 1)] = following[U(b + 1)]


@compiled_within
def super_step(state, room, potential, slope, calm, source, links, rows, scale, rings, stride, count, dt, stages):
    """RKL2 (Meyer, Balsara and Aslam 2014): `stages` carry a step of dt_explicit·(s² + s − 2)/4, second order.

    Rings that are `calm` (no arc, no melting or transus near) keep for the step the slope that they begin it with: still
    second order, still conservative, and a lookup fewer. `room` is five rows and a ring of scratch.
    """
    new, last, rate, moved, following, out = room
    w = 4.0 / (stages * stages + stages - 2.0)
    first = w / 3.0 * dt
    staged(rate, last, last, potential, moved, slope, calm, out, links, rings, stride, 0.0, 0.0, 0.0, 1.0)
    for j in range(state.size):
        rate[j] += source[j]
        last[j] = first * rate[j]
        moved[j] = slope[j] * last[j]
        new[j] = 0.0
    followed(moved, last, state, potential, calm, rows, scale, rings, stride, count)
    b2, b1 = 1.0 / 3.0, 1.0 / 3.0
    for s in range(2, stages + 1):
        b0 = (s * s + s - 2.0) / (2.0 * s * (s + 1.0))
        mu = (2.0 * s - 1.0) / s * b0 / b1
        nu = -(s - 1.0) / s * b0 / b2
        mt = mu * w * dt
        staged(new, last, rate, moved, following, slope, calm, out, links, rings, stride, mu, nu, b1 * mt, mt)
        if s < stages:
            followed(following, new, state, potential, calm, rows, scale, rings, stride, count)
        new, last = last, new
        moved, following = following, moved
        b2, b1 = b1, b0
    for j in range(state.size):
        state[j] += last[j]
