"""The section of a girth joint: both ends with their walls, the groove between them, what each pass fills, what hangs on."""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass

import numpy as np

from brightroot.base.errors import Refused
from brightroot.physics.demand import positive
from brightroot.physics.heat.volumes.section import Column, Section, section

GROWTH_1 = 1.15
FIRST_M = 0.00175
MERGE_WALLS = 2.5  # beyond so many walls from the weld, one layer: heat is even through the wall there
LAYER_M = 0.0032
THINNEST_M = 0.0007  # layers thinner than this are joined to the next
HEIGHTS = 8  # looks through a ring's height
LEAST_1 = 0.12  # a ring with less metal than this is taken as none
CAP_1 = 2 / 3  # of its box, what a rounded cap fills


@dataclass(frozen=True, slots=True)
class End:
    """One side of the joint: straight wall to `reach_m`, and what hangs on beyond it (none where its length is 0)."""

    outer_diameter_m: float
    wall_m: float
    reach_m: float
    sink_outer_diameter_m: float = 0.0
    sink_length_m: float = 0.0


@dataclass(frozen=True, slots=True)
class Preparation:
    """The groove and the height that each pass fills it to, above the inside; the last also lays the cap."""

    gap_m: float
    land_m: float
    included_angle_rad: float
    tops_m: tuple[float, ...]
    cap_height_m: float = 0.0
    cap_width_m: float = 0.0

    def half_width_m(self, height_m: float) -> float:
        """Half the open width at a height above the inside."""
        return self.gap_m / 2 + max(0.0, height_m - self.land_m) * math.tan(self.included_angle_rad / 2)


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
    right, left = (_columns(end, _stack(end, preparation), FIRST_M, GROWTH_1, MERGE_WALLS * end.wall_m, preparation)
                   for end in reversed(ends))  # fmt: skip
    if ends[0] == ends[1]:
        return section(right, mirrored=True, filling=lambda *ring: _filling(ring, ends[1], preparation))
    mirrored = tuple(Column(-c.to_m, -c.from_m, c.radii_m) for c in reversed(left))
    return section(
        (*mirrored, *right), mirrored=False,
        filling=lambda *ring: _filling(_folded(ring), ends[0] if ring[1] <= 0.0 else ends[1], preparation),
    )  # fmt: skip


def _folded(ring: tuple[float, ...]) -> tuple[float, ...]:
    low, high, *radii = ring
    return (-high, -low, *radii) if high <= 0.0 else (low, high, *radii)


def _stack(end: End, groove: Preparation) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    """Heights of the layers: at the land and at every pass, none too thin and none too thick."""
    marks = [0.0]
    for mark in sorted({groove.land_m, *groove.tops_m[:-1]}):
        if mark - marks[-1] > THINNEST_M and end.wall_m - mark > THINNEST_M:
            marks.append(mark)
    marks.append(end.wall_m)
    cut = [np.linspace(a, b, max(1, math.ceil((b - a) / LAYER_M)) + 1)[1:] for a, b in itertools.pairwise(marks)]
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


def _filling(ring: tuple[float, ...], end: End, groove: Preparation) -> tuple[float, tuple[float, ...]]:
    """Share of metal before welding and what each pass adds to a ring between two places and two radii."""
    from_m, to_m, low, high = ring
    inner = end.outer_diameter_m / 2 - end.wall_m
    parts = (np.arange(HEIGHTS) + 0.5) / HEIGHTS
    wide = to_m - from_m
    if low - inner >= end.wall_m - 1e-9 and from_m < groove.cap_width_m / 2:  # over the wall: the cap or nothing
        covered = min(1.0, (groove.cap_width_m / 2 - from_m) / wide) * CAP_1
        if covered < LEAST_1:  # a sliver of cap would take the arc's whole heat and have nothing to hold it
            covered = 0.0
        return 0.0, (*(0.0 for _ in groove.tops_m[1:]), covered)
    base, passes = 0.0, [0.0] * len(groove.tops_m)
    for height in low - inner + parts * (high - low):
        open_1 = min(1.0, max(0.0, (groove.half_width_m(height) - from_m) / wide))
        base += (1 - open_1) / HEIGHTS
        which = min(int(np.searchsorted(groove.tops_m, height)), len(passes) - 1)
        passes[which] += open_1 / HEIGHTS
    if base < LEAST_1:
        largest = max(range(len(passes)), key=lambda n: passes[n])
        passes[largest] += base
        base = 0.0
    return base, tuple(passes)
