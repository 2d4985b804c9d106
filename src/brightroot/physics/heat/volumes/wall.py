"""The section of a girth joint: both ends with their walls, the groove between them, what each pass fills, what hangs on."""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass

import numpy as np

from brightroot.base.errors import Refused
from brightroot.physics.demand import positive
from brightroot.physics.heat.volumes.groove import Groove
from brightroot.physics.heat.volumes.groove import Preparation as Preparation
from brightroot.physics.heat.volumes.section import Column, Section, section

GROWTH_1 = 1.15
FIRST_M = 0.00175
MERGE_WALLS = 2.5  # beyond so many walls from the weld, one layer: heat is even through the wall there
LAYER_M = 0.0032
GROOVE_FIRST_M, GROOVE_LAYER_M = 0.00125, 0.0024  # where a slope cuts rings they are smaller
THINNEST_M = 0.0007  # layers thinner than this are joined to the next


@dataclass(frozen=True, slots=True)
class End:
    """One side of the joint: straight wall to `reach_m`, and what hangs on beyond it (none where its length is 0)."""

    outer_diameter_m: float
    wall_m: float
    reach_m: float
    sink_outer_diameter_m: float = 0.0
    sink_length_m: float = 0.0


def plain_section(
    *, outer_diameter_m: float, wall_m: float, half_length_m: float, layers: int | None = None, first_m: float = FIRST_M,
    growth_1: float = GROWTH_1, merge_m: float | None = None,
) -> Section:  # fmt: skip
    """A straight tube, full wall everywhere, mirrored at the weld plane.

    >>> plain_section(outer_diameter_m=0.0603, wall_m=0.0055, half_length_m=0.2).count
    27
    """
    positive(outer_diameter_m=outer_diameter_m, wall_m=wall_m, half_length_m=half_length_m)
    end = End(outer_diameter_m, wall_m, half_length_m)
    stack = np.linspace(0.0, wall_m, (layers or max(2, math.ceil(wall_m / LAYER_M))) + 1)
    merge = MERGE_WALLS * wall_m if merge_m is None else merge_m
    return section(_columns(end, stack, first_m, growth_1, merge), mirrored=True)


def joint_section(*, ends: tuple[End, End], preparation: Preparation) -> Section:
    """Both ends with the groove between them; mirrored where they are the same.

    A ring holds the share of metal that the groove leaves it, and each pass adds what it fills. Heights count from the
    inside of each end, so ends of one bore meet flush inside. The penetration bead is left out.

    >>> end = End(0.0603, 0.0055, 0.2)
    >>> groove = Preparation(0.0024, 0.0015, 1.2, (0.0025, 0.0055), 0.001, 0.009)
    >>> cut = joint_section(ends=(end, end), preparation=groove)
    >>> cut.mirrored, round(2e6 * float(((1 - cut.base_share) * cut.volume_m3)[cut.outer_radius_m < 0.0302].sum()))
    (True, 1)
    """
    wall = min(end.wall_m for end in ends)
    if not preparation.tops_m or list(preparation.tops_m) != sorted(set(preparation.tops_m)):
        raise Refused(field="tops_m", wanted="rising heights, one a pass", got=str(preparation.tops_m))
    if abs(preparation.tops_m[-1] - wall) > 1e-6:
        raise Refused(
            field="tops_m", wanted=f"the last at the thinner wall, {wall * 1e3:g} mm", got=str(preparation.tops_m)
        )
    if preparation.land_m > wall:
        raise Refused(
            field="land_m", wanted=f"no more than the wall, {wall * 1e3:g} mm", got=f"{preparation.land_m * 1e3:g} mm"
        )
    right, left = (_columns(end, _stack(end, preparation), GROOVE_FIRST_M, GROWTH_1, MERGE_WALLS * end.wall_m, preparation)
                   for end in reversed(ends))  # fmt: skip
    inner = [end.outer_diameter_m / 2 - end.wall_m for end in ends]
    cut = Groove(preparation, (inner[0], inner[1]), (ends[0].wall_m, ends[1].wall_m))
    if ends[0] == ends[1]:
        return section(right, mirrored=True, cut=cut)
    mirrored = tuple(Column(-c.to_m, -c.from_m, c.radii_m) for c in reversed(left))
    return section((*mirrored, *right), mirrored=False, cut=cut)


def _stack(end: End, groove: Preparation) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    """Heights of the layers: at the land and at every pass, none too thin and none too thick."""
    marks = [0.0]
    for mark in sorted({groove.land_m, *groove.tops_m}):
        if mark - marks[-1] > THINNEST_M and end.wall_m - mark > THINNEST_M:
            marks.append(mark)
    marks.append(end.wall_m)
    cut = [np.linspace(a, b, max(1, math.ceil((b - a) / GROOVE_LAYER_M)) + 1)[1:] for a, b in itertools.pairwise(marks)]
    heights = np.concatenate([[0.0], *cut])
    return heights if heights.size > 2 else np.array([0.0, end.wall_m / 2, end.wall_m])


def _columns(
    end: End, heights: np.ndarray[tuple[int], np.dtype[np.float64]], first_m: float, growth_1: float, merge_m: float,
    groove: Preparation | None = None,
) -> tuple[Column, ...]:  # fmt: skip
    """Columns from the weld plane to the end: layered near it, whole beyond, then what hangs on."""
    # as many columns as the growth asks for, then one growth that ends exactly at the end
    count = max(3, round(math.log1p(end.reach_m * (growth_1 - 1) / first_m) / math.log(growth_1)))
    edges = end.reach_m * np.expm1(np.arange(count + 1) * math.log(growth_1)) / math.expm1(count * math.log(growth_1))
    outer = end.outer_diameter_m / 2
    inner = outer - end.wall_m
    layered, whole = tuple(float(inner + x) for x in heights), (inner, outer)
    cap = groove.cap_height_m if groove else 0.0
    columns = [
        Column(
            float(a), float(b),
            (*layered, outer + cap) if cap and groove and a < groove.cap_width_m / 2 else layered if a < merge_m else whole,
        )
        for a, b in itertools.pairwise(edges)
    ]  # fmt: skip
    if end.sink_length_m > 0.0:
        pieces = np.linspace(end.reach_m, end.reach_m + end.sink_length_m, 4)
        stack = (inner, outer, max(end.sink_outer_diameter_m / 2, outer + THINNEST_M))
        columns += [Column(float(a), float(b), stack) for a, b in itertools.pairwise(pieces)]
    return tuple(columns)
