"""From one moment to another, grid by grid."""

from __future__ import annotations

import math
from typing import Any

import numpy as np

from brightroot.physics.heat.volumes import grid
from brightroot.physics.heat.volumes.compiled.along_grid import along_grid, grid_for
from brightroot.physics.heat.volumes.compiled.round_pipe import looked, moved


def march(
    state: Any, edges: Any, filled: Any, section: Any, tables: Any, losses: Any, arc: Any, stops: Any, probes: Any, policy: Any,
    times: tuple[float, float, int | None],
) -> tuple[Any, Any, Any, float, float, int, Any]:  # fmt: skip
    """Carry `state` on `edges` from one time to another, grid by grid.

    Returns state, edges, what is filled, joules fed and lost, cell-stages swept, and the book: for each step time,
    probes, hottest outside and inside.
    """
    radius, _volume, along, beside, conducts, first, last, *_, base_share, pass_share, _ = section
    on, from_rad, pace, _, _ = arc
    t, end, laying = times
    start, row, fed_J, lost_J, swept = t, 0, 0.0, 0.0, 0
    book = np.empty((256, 3 + probes[0].size))
    base_rad = 2.0 * math.pi / filled.shape[1]
    metal = grid.metal_share(base_share, pass_share, filled, edges)
    plain, same = not filled.shape[0], {}  # type: bool, dict[int, Any]
    while t < end - 1e-9:
        until = grid.until_s(t, end, speed_m_s=abs(pace) * radius, on=on, lays=laying is not None, stop_s=stops[1])
        fresh = grid_for(t, until, start, filled.shape[1], arc, stops, policy)
        if not np.array_equal(fresh, edges):
            kept = grid.metal_share(base_share, pass_share, filled, fresh)
            state, metal, edges = moved(state, edges, metal, fresh, kept), kept, fresh
        if on and laying is not None:
            reach = (t + until) / 2 if until < end else end
            filled = grid.laid(filled, laying, from_rad, from_rad + pace * (reach - start), base_rad)
            fuller = grid.metal_share(base_share, pass_share, filled, edges)
            state, metal = grid.melted_in(state, metal, fuller, losses[5]), fuller
        edges_rad = edges * base_rad
        width, after, before = grid.metric(edges_rad)
        if plain and edges.size in same:  # full metal: what holds for one grid of so many cells holds for all
            whole, at = same[edges.size]
        else:
            *_, whole, share, on_each, back_each = grid.links_of(metal, beside, conducts, along, after, before)
            whole, at = (whole, share, on_each, back_each), grid.top_and_bottom(metal, first, last)
            same[edges.size] = whole, at
        links = (conducts, along, after, before, *whole)
        stiff = grid.stiffest(conducts, along, after, before)
        fed, lost, work, book, row = along_grid(
            state, edges_rad, metal, width, links, stiff, at, section, tables, losses, arc, stops[1],
            (*probes[1:], *looked(edges_rad, probes[0])), policy, (t, until, start), book, row,
        )  # fmt: skip
        fed_J, lost_J, swept, t = fed_J + fed, lost_J + lost, swept + work, until
    return state, edges, filled, fed_J, lost_J, swept, book[:row]
