"""The strip's own geometry: cut at six, where each clock position lies, and the lanes of each band from the root up."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from brightroot.base.clock import TURN_RAD
from brightroot.model.picture import Face, RingMark
from brightroot.render.draw.palette import Palette, palette_of
from brightroot.render.draw.ring import band_lanes
from brightroot.render.draw.spread import spread_line
from brightroot.render.draw.tags import prefix_of

WIDTH = 720.0
LEFT, RIGHT = 58.0, 702.0
LANE_MOST, BANDS_MOST, BETWEEN = 30.0, 150.0, 4.0
ROW = 18.0


@dataclass(frozen=True, slots=True)
class Flat:
    """The unrolled joint: where a clock position lies, and the lanes of each band from the root up."""

    palette: Palette
    prefix: str
    said: Mapping[str, str]
    top: float
    bottom: float
    bands: tuple[tuple[str, float, float], ...]  # name, top, bottom
    lane_of: tuple[tuple[float, float], ...]  # of each run: top, bottom

    def x(self, share: float) -> float:
        return LEFT + share * (RIGHT - LEFT)


def share_of(at_rad: float) -> float:
    """How far along from six o'clock, going up through nine.

    >>> share_of(math.pi), share_of(0.0), share_of(math.pi / 2)
    (0.0, 0.5, 0.75)
    """
    return ((at_rad - math.pi) % TURN_RAD) / TURN_RAD


def flat_of(face: Face, *, palette: str, said: Mapping[str, str], top: float) -> Flat:
    """The bands from the bottom up, each as high as its lanes, under a head of the height given."""
    counts, own = band_lanes(face)
    bands = face.bands or ("root",)
    thick = min(LANE_MOST, (BANDS_MOST - BETWEEN * (len(bands) - 1)) / sum(counts))
    bottom = top + 12 + thick * sum(counts) + BETWEEN * (len(bands) - 1)
    placed, floor, floors = [], bottom, []
    for name, count in zip(bands, counts):
        placed.append((name, floor - thick * count, floor))
        floors.append(floor)
        floor -= thick * count + BETWEEN
    lane_of = tuple((floors[b] - thick * (lane + 1), floors[b] - thick * lane) for b, lane in own)
    return Flat(palette_of(palette), prefix_of("strip", face, palette), said, top, bottom, tuple(placed), lane_of)


def pieces_of(from_rad: float, sweep_rad: float) -> list[tuple[float, float]]:
    """An arc as shares of the strip in the way it was welded, in two pieces where it crosses the cut."""
    sweep = max(-1.0, min(1.0, sweep_rad / TURN_RAD))
    start = share_of(from_rad)
    if sweep < 0 and start < 1e-9:
        start = 1.0
    end = start + sweep
    if end > 1 + 1e-9:
        return [(start, 1.0), (0.0, end - 1)]
    if end < -1e-9:
        return [(start, 0.0), (1.0, end + 1)]
    return [(start, min(1.0, max(0.0, end)))]


def symbols_x(marks: list[RingMark]) -> list[float]:
    """Where the marks' shapes stand: over their places, moved only as far as they must be apart."""
    wanted = [LEFT + share_of(m.at_rad) * (RIGHT - LEFT) for m in marks]
    return spread_line(wanted, [17.0] * len(wanted), low=LEFT - 20, high=WIDTH - 4)
