"""What a step gives and takes: the arc's power, losses of both faces, and how many stages it needs. Compiled."""

from __future__ import annotations

import math

import numpy as np

from brightroot.physics.heat.volumes.compiled.jit import compiled_within

STEFAN_BOLTZMANN_W_m2K4 = 5.670374419e-8
GAUSS = ((-0.7745966692414834, 5 / 18), (0.0, 4 / 9), (0.7745966692414834, 5 / 18))
REACH_1 = 6.0  # arc widths to where it still heats
NEVER_S = 1e9
LEAST_W_mK = 5.0


@compiled_within
def arc_share(edges_rad, radius, sigma, from_rad, to_rad, share):
    """Share of the arc's power that each cell round the pipe gets while the arc moves from one angle to the other."""
    turn, scale = 2.0 * math.pi, radius / sigma / math.sqrt(2.0)
    reach = REACH_1 / math.sqrt(2.0)
    for j in range(share.size):
        share[j] = 0.0
    for at, weight in GAUSS:
        centre = (from_rad + to_rad) / 2 + (to_rad - from_rad) / 2 * at
        known, below = 1e30, 0.0  # the edge before, and the half integral up to it
        for j in range(share.size):
            middle = (edges_rad[j] + edges_rad[j + 1]) / 2 - centre
            middle -= turn * math.floor(middle / turn + 0.5)
            half = (edges_rad[j + 1] - edges_rad[j]) / 2
            low, high = (middle - half) * scale, (middle + half) * scale
            if low < reach and high > -reach:
                first = below if abs(low - known) < 1e-9 else math.erf(low)
                known, below = high, math.erf(high)
                share[j] += weight * 0.5 * (below - first)


@compiled_within
def stages_for(dt, stiff):
    """Fewest stages that carry a step, three at least."""
    ratio = 4.0 * dt * stiff + 2.0
    return max(3, math.ceil((math.sqrt(1.0 + 4.0 * ratio) - 1.0) / 2.0))


@compiled_within
def youngest_s(t, stop_s):
    """Seconds since the last arc-off; very long where there was none."""
    return t - stop_s[-1] if stop_s.size else NEVER_S


@compiled_within
def heat_in(source, top, rate, area, depth, share_z, share, power, state, rows, scale, warm):
    """Put the arc's power into the outermost metal; what falls into an open gap goes to what there is. Returns watts.

    The face under the arc is hotter than its ring: by the heat that comes in, times depth over thrice the conductivity.
    """
    given, watts, last = 0.0, 0.0, np.uint32(rows.shape[0] - 1)
    for i in range(share_z.size):
        if share_z[i] > 0.0:
            for j in range(share.size):
                if share[j] > 0.0 and top[i, j] >= 0:
                    given += share_z[i] * share[j]
    for i in range(share_z.size):
        if share_z[i] > 0.0:
            for j in range(share.size):
                c = top[i, j]
                if c >= 0 and share[j] > 0.0:
                    own = power * share_z[i] * share[j] / given
                    watts += own
                    flux = own / area[i, j]
                    source[c, j + 1] += flux * rate[i, j]
                    n = min(np.uint32(np.int32(state[c, j + 1] * scale)), last)
                    k = rows[n, 1] / rows[n, 3] if rows[n, 3] > 0.0 else 0.0
                    warm[i, j] += flux * depth[c] / (3.0 * max(k, LEAST_W_mK))
    return watts


@compiled_within
def give_away(source, edge, same, warm, old, rate, area, h, emissivity, air, forward):
    """Take convection and radiation of a face out of its cells, carried to mid-step by how they change. Returns watts."""
    air4, radiant, watts = air**4, emissivity * STEFAN_BOLTZMANN_W_m2K4, 0.0
    for i in range(edge.shape[0]):
        for j in range(edge.shape[1]):
            square = warm[i, j] * warm[i, j]
            now = h * (warm[i, j] - air) + radiant * (square * square - air4)
            lost = now + forward * (now - old[i, j])
            old[i, j], warm[i, j] = now, lost
        if same[i]:
            c = edge[i, 0]
            for j in range(edge.shape[1]):
                source[c, j + 1] -= warm[i, j] * rate[i, j]
        else:
            for j in range(edge.shape[1]):
                if edge[i, j] >= 0:
                    source[edge[i, j], j + 1] -= warm[i, j] * rate[i, j]
        for j in range(edge.shape[1]):
            watts += warm[i, j] * area[i, j]
    return watts


@compiled_within
def calmed(calm, highest, beneath, stiff, steepest, even_row, on, reach):
    """Tell which rings are calm, and give the stiffest of all: what conducts to a cell times how steep its potential may become."""
    last, most = steepest.size - 1, 0.0
    for c in range(calm.size):
        calm[c] = highest[c] + 1 < even_row and not (on and beneath[c] < reach)
        # under the arc anything may melt; without it nothing gets hotter than it is
        row = last if on and not calm[c] else min(highest[c] + 1, last)
        most = max(most, stiff[c] * steepest[row])
    return most
