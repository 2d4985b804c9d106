"""Three grids of one family: every stretch between places that are read has 4, 6 and 9 times as many cells as its least."""

from __future__ import annotations

import itertools
import math
from collections.abc import Mapping
from typing import Any

import numpy as np
from numpy.typing import NDArray

from benchmarks.heat_reference.solid import Solid, solid

Array = NDArray[np.float64]
FAMILY = (4, 6, 9)  # coarse, medium, fine: each 1.5 times the one before, in every direction and in time
PROBE_M = 0.0254
LOOKS = 4096
GROWTH_1, WIDEST_M = 0.045, 0.006  # of the finest grid's cells along the pipe


def grid_of(case: Mapping[str, Any], member: int) -> Solid:
    """`member` is of FAMILY; larger is finer. The wall is cut in as many layers. Half a pipe, unless its other side is unlike."""
    shape = case["geometry"]
    outer, inner = shape["OD_m"] / 2, shape["OD_m"] / 2 - shape["wall_m"]
    groove, other = shape.get("groove"), shape.get("other_side")
    beyond = other["OD_m"] / 2 if other else outer

    def top(place: Array) -> Array:
        most = np.asarray(np.where(place < 0.0, beyond, outer))
        if not groove:
            return most
        rise = np.maximum(0.0, np.abs(place) - groove["gap_m"] / 2) / _tangent(groove)
        return np.asarray(np.minimum(most, inner + groove["land_m"] + rise))

    def slope_m(wall_m: float) -> float:
        return (wall_m - groove["land_m"]) * _tangent(groove) if groove else 0.0

    places = _along(case, member, slope_m(shape["wall_m"]))
    if other:
        places = np.concatenate([-_along(case, member, slope_m(other["wall_m"]))[:0:-1], places])
    return solid(_round(case, member), inner, top, member + 1, places)


def _tangent(groove: Mapping[str, Any]) -> float:
    return math.tan(math.radians(groove["included_angle_deg"] / 2))


def _along(case: Mapping[str, Any], member: int, slope_m: float) -> Array:
    half, step = case["geometry"]["half_length_m"], case["reference"]["step_m"]
    marks = sorted({0.0, slope_m, PROBE_M, half, *(abs(p["z_m"]) for p in case["points"].values())})
    pieces = [np.zeros(1)]
    for low, high in itertools.pairwise(marks):
        fine = np.linspace(low, high, 200)
        own = step / 2 if high <= slope_m else step
        running = _integral(1 / np.clip(GROWTH_1 * (fine - slope_m), own, WIDEST_M), fine)
        cells = max(1, round(running[-1] / FAMILY[-1])) * member
        pieces.append(np.interp(np.linspace(0, running[-1], cells + 1)[1:], running, fine))
    return np.concatenate(pieces)


def _integral(density: Array, at: Array) -> Array:
    return np.concatenate([[0.0], np.cumsum((density[1:] + density[:-1]) / 2 * np.diff(at))])


def _round(case: Mapping[str, Any], member: int) -> Array:
    """Fine where arcs pass, three times as wide elsewhere, with a smooth change."""
    outer, step = case["geometry"]["OD_m"] / 2, case["reference"]["step_m"]
    angles = np.linspace(0, 360, LOOKS, endpoint=False)
    near = np.zeros(LOOKS, dtype=bool)
    spare = math.degrees(0.022 / outer)
    for run in case["schedule"]:
        low, high = sorted((run["start_deg"], run["start_deg"] + run["sweep_deg"]))
        near |= (angles - (low - spare)) % 360 <= high - low + 2 * spare
    wide = np.where(near, step, 3 * step)
    blur = LOOKS // 80
    wide = np.convolve(
        np.concatenate([wide[-blur:], wide, wide[:blur]]), np.ones(2 * blur + 1) / (2 * blur + 1), "valid"
    )
    closed = np.append(wide, wide[0])
    running = _integral(outer / closed, np.linspace(0, 2 * np.pi, LOOKS + 1))
    cells = max(3, round(running[-1] / FAMILY[-1])) * member
    return np.interp(np.linspace(0, running[-1], cells + 1), running, np.linspace(0, 2 * np.pi, LOOKS + 1))[:-1]
