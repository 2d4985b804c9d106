"""The groove as the section asks for it: how much of a ring, of the plane between two columns, of the cylinder between two layers
is metal, before welding and after every pass.

Rings are square and the groove is not: a ring that the slope cuts keeps its metal's share, its middle, and the true
openings to its neighbours, so heat flows along a thin land as it would along the real one.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from brightroot.physics.heat.volumes.section import Held, Ring

Array = NDArray[np.float64]
LOOKS = 12  # through a ring's height, and along its width
LEAST_1 = 0.06  # a ring with less metal than this is taken as none
LEAST_CAP_1 = 0.12  # and so a sliver of cap, which would take the arc's whole heat and have nothing to hold it
CAP_1 = 2 / 3  # of its box, what a rounded cap fills


@dataclass(frozen=True, slots=True)
class Preparation:
    """The groove and the height that each pass fills it to, above the inside; the last also lays the cap."""

    gap_m: float
    land_m: float
    included_angle_rad: float
    tops_m: tuple[float, ...]
    cap_height_m: float = 0.0
    cap_width_m: float = 0.0

    def half_width_m(self, height_m: Array) -> Array:
        """Half the open width at heights above the inside."""
        rise = np.maximum(0.0, height_m - self.land_m)
        return np.asarray(self.gap_m / 2 + rise * math.tan(self.included_angle_rad / 2))


@dataclass(frozen=True, slots=True)
class Groove:
    """A preparation between two ends, each with its inner radius and its wall: the end at negative places first."""

    cut: Preparation
    inner_radius_m: tuple[float, float]
    wall_m: tuple[float, float]

    def within(self, ring: Ring) -> Held:
        """Share, middle along the pipe and middle radius of a ring's metal, before welding and after every pass."""
        side, low, high = self._folded(ring)
        states = len(self.cut.tops_m) + 1
        middle, radius = np.full(states, (ring.from_m + ring.to_m) / 2), np.full(states, (ring.low_m + ring.high_m) / 2)
        if ring.low_m - self.inner_radius_m[side] >= self.wall_m[side] - 1e-9:  # over the wall: the cap or nothing
            covered = min(1.0, max(0.0, self.cut.cap_width_m / 2 - low) / (high - low)) * CAP_1
            share = np.zeros(states)
            share[-1] = covered if covered >= LEAST_CAP_1 else 0.0
            return Held(share, middle, radius)
        heights = _between(ring.low_m, ring.high_m) - self.inner_radius_m[side]
        begins = np.clip(self.cut.half_width_m(heights), low, high)
        laid = np.vstack([np.zeros(LOOKS, dtype=bool), *(heights <= top for top in self.cut.tops_m)])
        begins = np.where(laid, low, begins[None, :])
        share = (high - begins).mean(axis=1) / (high - low)
        share[-1] = 1.0
        share = np.where(share < LEAST_1, 0.0, share)
        some = share > 0.0
        weight = np.maximum((high - begins).sum(axis=1), 1e-30)
        along = ((high - begins) * (high + begins) / 2).sum(axis=1) / weight
        up = ((high - begins) * (heights + self.inner_radius_m[side])).sum(axis=1) / weight
        return Held(share, np.where(some, along if ring.to_m > 0.0 else -along, middle), np.where(some, up, radius))

    def upright(self, place_m: float, low_m: float, high_m: float) -> Array:
        """Share of a ring's height that is metal at a plane across the pipe, state by state."""
        side = 0 if place_m < 0.0 else 1
        heights = _between(low_m, high_m) - self.inner_radius_m[side]
        if heights[0] >= self.wall_m[side]:
            share = np.zeros(len(self.cut.tops_m) + 1)
            share[-1] = CAP_1 if abs(place_m) < self.cut.cap_width_m / 2 else 0.0
            return share
        bare = self.cut.half_width_m(heights) <= abs(place_m) + 1e-12
        return np.array([bare.mean(), *((bare | (heights <= top)).mean() for top in self.cut.tops_m[:-1]), 1.0])

    def level(self, radius_m: float, from_m: float, to_m: float) -> Array:
        """Share of a column's width that is metal at a cylinder, state by state."""
        side, low, high = self._folded(Ring(from_m, to_m, radius_m, radius_m))
        height = radius_m - self.inner_radius_m[side]
        if height >= self.wall_m[side] - 1e-9:
            share = np.zeros(len(self.cut.tops_m) + 1)
            share[-1] = min(1.0, max(0.0, self.cut.cap_width_m / 2 - low) / (high - low))
            return share
        bare = float(np.clip((high - self.cut.half_width_m(np.array(height))) / (high - low), 0.0, 1.0))
        return np.array([bare, *(1.0 if height < top - 1e-9 else bare for top in self.cut.tops_m[:-1]), 1.0])

    def sloped_m2(self, ring: Ring) -> float:
        """What the slope in a ring has of face beyond what is seen of it from outside, for one radian round the pipe."""
        side, low, high = self._folded(ring)
        heights = np.linspace(ring.low_m, ring.high_m, 2 * LOOKS + 1) - self.inner_radius_m[side]
        if heights[0] >= self.wall_m[side] - 1e-9:
            return 0.0
        begins = np.clip(self.cut.half_width_m(heights), low, high)
        inside = (np.diff(begins) > 0.0) | ((begins[1:] > low) & (begins[1:] < high))
        length = np.hypot(np.diff(begins), np.diff(heights)) - np.diff(begins)
        return float((length * inside).sum() * (ring.low_m + ring.high_m) / 2)

    def _folded(self, ring: Ring) -> tuple[int, float, float]:
        """Which end a ring is of, and its places from the weld plane outward."""
        return (0, -ring.to_m, -ring.from_m) if ring.to_m <= 0.0 else (1, ring.from_m, ring.to_m)


def _between(low: float, high: float) -> Array:
    return low + (np.arange(LOOKS) + 0.5) / LOOKS * (high - low)
