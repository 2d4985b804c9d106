"""From one moment to another: one grid round the pipe after another, and on each one super step after another. Compiled.

Arrays have names of their own in the loop: to take one out of a tuple costs as much as a row of arithmetic. The loop is one
function, as each further level of calls would be compiled once more.
"""

from __future__ import annotations

import math

import numpy as np

from brightroot.physics.heat.volumes.compiled.arc_and_air import (
    arc_share,
    calmed,
    give_away,
    heat_in,
    stages_for,
    youngest_s,
)
from brightroot.physics.heat.volumes.compiled.faces import face, hottest, looked_up, seen
from brightroot.physics.heat.volumes.compiled.jit import compiled, compiled_within
from brightroot.physics.heat.volumes.compiled.links import (
    grid_of,
    lay,
    melt_in,
    metal_share,
    narrowed,
    stride_of,
    widened,
)
from brightroot.physics.heat.volumes.compiled.round_pipe import laid_out, looked, moved
from brightroot.physics.heat.volumes.compiled.stages import super_step

CALM_1 = 2.0  # arc widths from the weld plane beyond which a step's slope holds while the arc is on
CLEAR_M = 0.006  # so far from the sharpest thing the grid stays as fine as it
SLOPE_1 = 0.5  # and widens so fast beyond
SHARP_1 = 0.25  # cells are no wider than this share of a blurred crater
AHEAD_M = 0.008  # the grid moves on when the arc has come so far
AHEAD_OPEN_M = 0.0025  # and so often where it lays metal


@compiled_within
def until_s(t, end, speed, on, lays, stop_s):
    """Until when one grid will do: so far for an arc, as long again for what cools."""
    if on and speed == 0.0:
        return end
    step = max(2.0, youngest_s(t, stop_s))
    if on:
        step = (AHEAD_OPEN_M if lays else AHEAD_M) / speed
    left = end - t - step
    return end if left < (0.5 if on else 0.3) * step else t + step


@compiled_within
def edges_for(t, until, start, around, arc, stop_rad, stop_s, policy):
    """Edges round the pipe for the time until `until`: fine about the arc, and about craters while they are sharp."""
    base_rad = 2.0 * math.pi / around
    count = stop_s.size
    places, widths = np.empty(count + (2 if arc.on else 0)), np.empty(count + (2 if arc.on else 0))
    for n in range(count):
        age = max(t - stop_s[n], 0.0)
        places[n] = stop_rad[n] / base_rad
        widths[n] = max(policy.base_m, SHARP_1 * math.sqrt(arc.sigma * arc.sigma + 2.0 * policy.blur * age))
    if arc.on:
        places[count] = (arc.from_rad + arc.pace_rad_s * (t - start)) / base_rad
        places[count + 1] = (arc.from_rad + arc.pace_rad_s * (until - start)) / base_rad
        widths[count] = widths[count + 1] = policy.base_m
    return laid_out(around, policy.base_m, policy.widest, places, widths, CLEAR_M, SLOPE_1)


@compiled_within
def alike(one, other):
    """Whether two grids are one."""
    if one.size != other.size:
        return False
    same = True
    for n in range(one.size):
        same = same and one[n] == other[n]
    return same


@compiled_within
def longer(book):
    """Twice the room."""
    grown = np.empty((2 * book.shape[0], book.shape[1]))
    for n in range(book.shape[0]):  # a slice would bring in what compiles for longer than all of this
        for m in range(book.shape[1]):
            grown[n, m] = book[n, m]
    return grown


@compiled
def march(state, edges, filled, shape, table, air, arc, stop_rad, stop_s, looks, policy, t, end, laying):
    """Carry `state` on `edges` from one time to another. Changes `filled`.

    Returns state, edges, joules fed and lost, cell-stages swept, the book (for each step time, probes, hottest outside and
    inside) and how many of its rows are written.
    """
    start, row, fed_J, lost_J, work = t, 0, 0.0, 0.0, 0
    rows, scale, steepest = table.rows, table.scale, table.steepest
    depth, share_z, beneath, weld, weights = (
        shape.depth,
        shape.share_z,
        shape.beneath,
        shape.weld_columns,
        shape.weld_weights,
    )
    outside, columns, by_column, count_looks = looks.outside, looks.columns, looks.by_column, looks.angles.size
    rings, book, base_rad = state.shape[0], np.empty((64, 3 + count_looks)), 2.0 * math.pi / filled.shape[1]
    metal = metal_share(shape.base_share, shape.pass_share, filled, edges)
    lays, highest, calm = arc.on and laying >= 0, np.zeros(rings, np.int64), np.zeros(rings, np.bool_)
    while t < end - 1e-9:
        until = until_s(t, end, abs(arc.pace_rad_s) * shape.radius_m, arc.on, lays, stop_s)
        fresh = edges_for(t, until, start, filled.shape[1], arc, stop_rad, stop_s, policy)
        if not alike(fresh, edges):
            kept = metal_share(shape.base_share, shape.pass_share, filled, fresh)
            state, metal, edges = moved(state, edges, metal, fresh, kept), kept, fresh
        if lays:
            reach = (t + until) / 2 if until < end else end
            lay(filled, laying, arc.from_rad, arc.from_rad + arc.pace_rad_s * (reach - start), base_rad)
            fuller = metal_share(shape.base_share, shape.pass_share, filled, edges)
            melt_in(state, metal, fuller, air.cold)
            metal = fuller
        grid = grid_of(shape, metal, filled, edges, base_rad)
        top, under, bottom, over, same_out, same_in = (
            grid.top,
            grid.under,
            grid.bottom,
            grid.over,
            grid.same_out,
            grid.same_in,
        )
        rate_out, rate_in, watt_out, watt_in = grid.rate_out, grid.rate_in, grid.watt_out, grid.watt_in
        edges_rad, stiff, links = grid.edges_rad, grid.stiff, grid.links
        cells, by_cell = looked(edges_rad, looks.angles)
        count = edges.size - 1
        stride = stride_of(count)
        wide, size = widened(state, stride), rings * stride
        room = (np.zeros(size), np.zeros(size), np.zeros(size), np.zeros(size), np.zeros(size), np.zeros(stride))
        kelvin, potential, slope, source = (np.empty((rings, stride)), np.empty((rings, stride)), np.empty((rings, stride)),
                                            np.zeros((rings, stride)))  # fmt: skip
        warm_out, warm_in, old_out, old_in = (
            np.zeros(top.shape),
            np.zeros(top.shape),
            np.zeros(top.shape),
            np.zeros(top.shape),
        )
        share, line, last_dt = np.zeros(count), np.empty(count), 0.0
        flat, flat_source, flat_potential, flat_slope = (wide.reshape(size), source.reshape(size), potential.reshape(size),
                                                         slope.reshape(size))  # fmt: skip
        looked_up(wide, count, rows, scale, kelvin, potential, slope, highest)
        face(kelvin, top, under, same_out, warm_out)
        face(kelvin, bottom, over, same_in, warm_in)
        while t < until - 1e-9:
            step = policy.arc_step_s
            if not arc.on:
                step = min(policy.longest_s, max(step, policy.age_share * youngest_s(t, stop_s)))
            dt = (until - t) / max(1, math.ceil((until - t) / step - 1e-9))
            for j in range(size):
                flat_source[j] = 0.0
            if arc.on and arc.power > 0.0:
                angle = arc.from_rad + arc.pace_rad_s * (t - start)
                arc_share(edges_rad, shape.radius_m, arc.sigma, angle, angle + arc.pace_rad_s * dt, share)
                fed_J += dt * heat_in(
                    source, top, rate_out, watt_out, depth, share_z, share, arc.power, wide, rows, scale, warm_out
                )
            half = 0.5 * dt / last_dt if last_dt > 0.0 else 0.0
            away = give_away(
                source, top, same_out, warm_out, old_out, rate_out, watt_out, air.h_out, air.e_out, air.kelvin, half
            )
            away += give_away(
                source, bottom, same_in, warm_in, old_in, rate_in, watt_in, air.h_in, air.e_in, air.kelvin, half
            )
            lost_J += dt * away
            most = calmed(calm, highest, beneath, stiff, steepest, table.even * scale, arc.on, CALM_1 * arc.sigma)
            stages = stages_for(dt, most)
            super_step(
                flat,
                room,
                flat_potential,
                flat_slope,
                calm,
                flat_source,
                links,
                rows,
                scale,
                rings,
                stride,
                count,
                dt,
                stages,
            )
            work += stages * rings * count
            last_dt = dt
            t += dt
            looked_up(wide, count, rows, scale, kelvin, potential, slope, highest)
            face(kelvin, top, under, same_out, warm_out)
            face(kelvin, bottom, over, same_in, warm_in)
            if row >= book.shape[0]:
                book = longer(book)
            book[row, 0] = t
            for n in range(count_looks):
                book[row, 1 + n] = seen(
                    warm_out if outside[n] else warm_in, columns[n], by_column[n], cells[n], by_cell[n]
                )
            book[row, 1 + count_looks] = hottest(warm_out, weld, weights, line)
            book[row, 2 + count_looks] = hottest(warm_in, weld, weights, line)
            row += 1
        narrowed(wide, state)
        t = until
    return state, edges, fed_J, lost_J, work, book, row
