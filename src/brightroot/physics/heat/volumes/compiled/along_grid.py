"""From one moment to the next on one grid: arc, losses, super steps, and what is seen on the way.

The tuples that come in are packed in `body.py` and `grid.py`, where their parts are named once.
"""

from __future__ import annotations

import math

import numpy as np

from brightroot.physics.heat.volumes.compiled.faces import faces, hottest, seen
from brightroot.physics.heat.volumes.compiled.jit import compiled, compiled_within
from brightroot.physics.heat.volumes.compiled.round_pipe import laid_out
from brightroot.physics.heat.volumes.compiled.stages import super_step

STEFAN_BOLTZMANN_W_m2K4 = 5.670374419e-8
GAUSS = ((-0.7745966692414834, 5 / 18), (0.0, 4 / 9), (0.7745966692414834, 5 / 18))
REACH_1 = 6.0  # arc widths to where it still heats
CLEAR_M = 0.006  # so far from the sharpest thing the grid stays as fine as it
SLOPE_1 = 0.5  # and widens so fast beyond
SHARP_1 = 0.25  # cells are no wider than this share of a blurred crater
CALM_1 = 2.0  # arc widths from the weld plane beyond which a step's slope holds while the arc is on


@compiled_within
def normal_share(x):
    """Share of a normal distribution below x."""
    return 0.5 * (1.0 + math.erf(x / math.sqrt(2.0)))


@compiled_within
def arc_share(edges_rad, radius, sigma, from_rad, to_rad, share):
    """Share of the arc's power that each cell round the pipe gets while the arc moves from one angle to the other."""
    zeroed(share)
    turn = 2.0 * math.pi
    for at, weight in GAUSS:
        centre = (from_rad + to_rad) / 2 + (to_rad - from_rad) / 2 * at
        for j in range(share.size):
            middle = (edges_rad[j] + edges_rad[j + 1]) / 2 - centre
            middle -= turn * math.floor(middle / turn + 0.5)
            half = (edges_rad[j + 1] - edges_rad[j]) / 2
            low, high = (middle - half) * radius / sigma, (middle + half) * radius / sigma
            if low < REACH_1 and high > -REACH_1:
                share[j] += weight * (normal_share(high) - normal_share(low))


@compiled_within
def stages_for(dt, explicit):
    """Fewest stages that carry a step, three at least."""
    ratio = 4.0 * dt / explicit + 2.0
    return max(3, math.ceil((math.sqrt(1.0 + 4.0 * ratio) - 1.0) / 2.0))


@compiled_within
def youngest_age(t, stop_s):
    """Seconds since the last arc-off; very long where there was none."""
    least = 1e9
    for n in range(stop_s.size):
        least = min(least, t - stop_s[n])
    return least


@compiled
def grid_for(t, until, start, around, arc, stops, policy):
    """Edges round the pipe for the time until `until`: fine about the arc, and about craters while they are sharp."""
    on, from_rad, pace, _, sigma = arc
    stop_rad, stop_s = stops
    base_m, most, _, _, _, blur = policy
    base_rad = 2.0 * math.pi / around
    count = stop_s.size
    places, widths = np.empty(count + (2 if on else 0)), np.empty(count + (2 if on else 0))
    for n in range(count):
        age = max(t - stop_s[n], 0.0)
        places[n] = stop_rad[n] / base_rad
        widths[n] = max(base_m, SHARP_1 * math.sqrt(sigma * sigma + 2.0 * blur * age))
    if on:
        for k, moment in enumerate((t, until)):
            places[count + k] = (from_rad + pace * (moment - start)) / base_rad
            widths[count + k] = base_m
    return laid_out(around, base_m, most, places, widths, CLEAR_M, SLOPE_1)


@compiled_within
def heat_in(source, top, metal, area, volume, width, share, share_z, power, fed, depth, slope_of, state):
    """Put the arc's power into the outermost metal; what falls into an open gap goes to what there is. Returns watts."""
    given = 0.0
    columns, count = top.shape
    for i in range(columns):
        for j in range(count):
            if top[i, j] >= 0:
                given += share_z[i] * share[j]
    line, warmth, scale = slope_of
    watts = 0.0
    for i in range(columns):
        for j in range(count):
            c = top[i, j]
            fed[i, j] = 0.0
            if c >= 0 and share[j] > 0.0:
                own = power * share_z[i] * share[j] / given
                watts += own
                source[c, j + 1] += own / (volume[c] * metal[c, j] * width[j])
                n = min(np.uint32(np.int32(state[c, j + 1] * scale)), np.uint32(warmth.shape[0] - 1))
                rise = warmth[n, 1]
                k = line[n, 1] / rise if rise > 0.0 else 0.0
                fed[i, j] = own / (area[c] * width[j]) * depth[c] / (3.0 * max(k, 5.0))
    return watts


@compiled_within
def give_away(source, edge, warm, old, area, volume, metal, width, h, emissivity, air, forward):
    """Take convection and radiation of a face out of its cells, carried to mid-step by how they change. Returns watts."""
    air4 = air**4
    watts = 0.0
    for i in range(edge.shape[0]):
        for j in range(edge.shape[1]):
            c = edge[i, j]
            if c >= 0:
                square = warm[i, j] * warm[i, j]
                now = (h * (warm[i, j] - air) + emissivity * STEFAN_BOLTZMANN_W_m2K4 * (square * square - air4)) * area[
                    c
                ]
                lost = now + forward * (now - old[i, j])
                old[i, j] = now
                source[c, j + 1] -= lost / (volume[c] * metal[c, j])
                watts += lost * width[j]
    return watts


@compiled_within
def zeroed(row):
    """A row of nothing."""
    for n in range(row.size):
        row[n] = 0.0


@compiled_within
def longer(book):
    """Twice the room."""
    grown = np.empty((2 * book.shape[0], book.shape[1]))
    for n in range(book.shape[0]):
        for m in range(book.shape[1]):
            grown[n, m] = book[n, m]
    return grown


@compiled_within
def largest(row):
    """Largest enthalpy of a ring."""
    most = row[1]
    for j in range(2, row.size - 1):
        most = max(most, row[j])
    return most


@compiled
def along_grid(state, edges_rad, metal, width, links, stiff, rings_at, section, tables, losses, arc, stop_s, probes, policy,
               times, book, row):  # fmt: skip
    """March on one grid, changing `state`. Returns joules fed and lost, cell-stages swept, the book and its next free row."""
    _, volume, _, beside, _, _, _, area_out, area_in, depth, share_z, weld, _, _, beneath = section
    top, under, bottom, over = rings_at
    outside, columns, by_column, cells, by_cell = probes
    line, warmth, steepest, scale, even = tables
    air_K, h_out, e_out, h_in, e_in, _ = losses
    on, from_rad, pace, power, sigma = arc
    t, until, start = times
    rings, count = metal.shape
    size = rings * (count + 2)
    room = (np.zeros(size), np.zeros(size), np.zeros(size), np.zeros(size), np.zeros(size))
    lines = (np.zeros(size), np.zeros(size))
    source, share, calm = np.zeros((rings, count + 2)), np.zeros(count), np.zeros(rings, np.bool_)
    flat, flat_source = state.reshape(size), source.reshape(size)
    fed, still = np.zeros(top.shape), np.zeros(top.shape)
    warm_out, warm_in = np.zeros(top.shape), np.zeros(top.shape)
    old_out, old_in = np.zeros(top.shape), np.zeros(top.shape)
    fed_J, lost_J, last_dt, work = 0.0, 0.0, 0.0, 0
    faces(state, top, under, warmth, scale, still, warm_out)
    faces(state, bottom, over, warmth, scale, still, warm_in)
    while t < until - 1e-9:
        step = policy[2] if on else min(policy[4], max(policy[2], policy[3] * youngest_age(t, stop_s)))
        dt = (until - t) / max(1, math.ceil((until - t) / step - 1e-9))
        zeroed(flat_source)
        if on and power > 0.0:
            angle = from_rad + pace * (t - start)
            arc_share(edges_rad, section[0], sigma, angle, angle + pace * dt, share)
            fed_J += dt * heat_in(
                source,
                top,
                metal,
                area_out,
                volume,
                width,
                share,
                share_z,
                power,
                fed,
                depth,
                (line, warmth, scale),
                state,
            )
            for i in range(top.shape[0]):
                for j in range(count):
                    warm_out[i, j] += fed[i, j]
        on_half = 0.5 * dt / last_dt if last_dt > 0.0 else 0.0
        lost_J += dt * give_away(
            source, top, warm_out, old_out, area_out, volume, metal, width, h_out, e_out, air_K, on_half
        )
        lost_J += dt * give_away(
            source, bottom, warm_in, old_in, area_in, volume, metal, width, h_in, e_in, air_K, on_half
        )
        # under the arc anything may melt; without it nothing gets hotter than it is
        most = 0.0
        for c in range(rings):
            own = largest(state[c])
            calm[c] = own < even and not (on and beneath[c] < CALM_1 * sigma)
            most = max(most, own)
        hot = steepest.size - 1 if on else min(int(most * scale) + 1, steepest.size - 1)
        count_s = stages_for(dt, 1.0 / (stiff * steepest[hot]))
        super_step(flat, room, lines, (line, scale), calm, beside, links, flat_source, rings, count + 2, dt, count_s)
        work += count_s * rings * count
        last_dt = dt
        t += dt
        if row >= book.shape[0]:
            book = longer(book)
        faces(state, top, under, warmth, scale, still, warm_out)
        faces(state, bottom, over, warmth, scale, still, warm_in)
        book[row, 0] = t
        for n in range(outside.size):
            book[row, 1 + n] = seen(warm_out if outside[n] else warm_in, columns[n], by_column[n], cells[n], by_cell[n])
        book[row, 1 + outside.size] = hottest(warm_out, weld[0], weld[1])
        book[row, 2 + outside.size] = hottest(warm_in, weld[0], weld[1])
        row += 1
    return fed_J, lost_J, work, book, row
