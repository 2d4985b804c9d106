"""The ring's own geometry: its lanes, arcs along them, and the shape of a run."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from brightroot.base.clock import TURN_RAD
from brightroot.model.picture import Face
from brightroot.render.draw.palette import Palette
from brightroot.render.draw.spread import lanes
from brightroot.render.draw.tags import num, place

CENTRE = (240.0, 212.0)
OUTER = 142.0  # of the outermost band
LEAST_BORE, MOST_LANE = 60.0, 31.0
BETWEEN = 4.0
TAPE = 150.0


@dataclass(frozen=True, slots=True)
class Lane:
    """One ring on which beads lie: a band has as many as it has beads side by side."""

    inner: float
    outer: float

    @property
    def middle(self) -> float:
        return (self.inner + self.outer) / 2


@dataclass(frozen=True, slots=True)
class Sheet:
    """What every stroke needs: the colours, the ids, the words, how far the pipe has been rolled."""

    palette: Palette
    prefix: str
    said: Mapping[str, str]
    turned_rad: float

    def place(self, radius: float, at_rad: float) -> tuple[float, float]:
        return place(radius, at_rad + self.turned_rad, centre=CENTRE)


def band_lanes(face: Face) -> tuple[list[int], list[tuple[int, int]]]:
    """How many lanes each band has, and of each run its band and its lane in it."""
    bands = face.bands or ("root",)
    home = [bands.index(r.band) if r.band in bands else len(bands) - 1 for r in face.runs]
    own: dict[int, int] = {}
    counts = []
    for band in range(len(bands)):
        mine = [k for k, b in enumerate(home) if b == band]
        found = lanes([(face.runs[k].from_rad, face.runs[k].sweep_rad) for k in mine])
        own.update(zip(mine, found))
        counts.append(max(found, default=0) + 1)
    return counts, [(b, own[k]) for k, b in enumerate(home)]


def ring_lanes(face: Face) -> tuple[list[list[Lane]], list[Lane]]:
    """The lanes of each band from the inside out, and the lane of each run."""
    counts, own = band_lanes(face)
    between = BETWEEN * (len(counts) - 1)
    thick = min(MOST_LANE, (OUTER - LEAST_BORE - between) / sum(counts))
    inner = OUTER - thick * sum(counts) - between
    rings = []
    for count in counts:
        rings.append([Lane(inner + thick * k, inner + thick * (k + 1)) for k in range(count)])
        inner += thick * count + BETWEEN
    return rings, [rings[band][lane] for band, lane in own]


def sector(lane: Lane, from_rad: float, sweep_rad: float, *, sheet: Sheet, notched: bool = False) -> str:
    """An arc of a lane, flat where it starts and pointed where it goes to; notched while the arc is burning."""
    inner, outer = lane.inner + 1.5, lane.outer - 1.5
    sign = 1 if sweep_rad >= 0 else -1
    sweep = min(abs(sweep_rad), TURN_RAD * 0.998)
    trim = min(1.2 / lane.middle, sweep * 0.1)
    point = min((outer - inner) * 0.5 / lane.middle, sweep * 0.35)
    start, tip = from_rad + sign * trim, from_rad + sign * (sweep - trim)
    shoulder = tip - sign * point
    ends, mid = (tip, shoulder) if notched else (shoulder, tip)
    large = 1 if abs(ends - start) > math.pi else 0
    along, back = (1, 0) if sign > 0 else (0, 1)
    points = [
        sheet.place(r, a) for r, a in ((inner, start), (outer, start), (outer, ends), (lane.middle, mid), (inner, ends))
    ]
    p = [f"{num(x)},{num(y)}" for x, y in points]
    o, i = num(outer), num(inner)
    return f"M{p[0]} L{p[1]} A{o},{o} 0 {large} {along} {p[2]} L{p[3]} L{p[4]} A{i},{i} 0 {large} {back} {p[0]} Z"


def arc_line(radius: float, from_rad: float, sweep_rad: float, *, sheet: Sheet) -> str:
    """A line along the ring."""
    sweep_rad = math.copysign(min(abs(sweep_rad), TURN_RAD * 0.998), sweep_rad)
    a, b = sheet.place(radius, from_rad), sheet.place(radius, from_rad + sweep_rad)
    large, way = int(abs(sweep_rad) > math.pi), int(sweep_rad >= 0)
    return f"M{num(a[0])},{num(a[1])} A{num(radius)},{num(radius)} 0 {large} {way} {num(b[0])},{num(b[1])}"


def bar_across(lane: Lane, from_rad: float, sweep_rad: float, *, sheet: Sheet) -> str:
    """A bar aslant over the middle of an arc, from its inner edge to its outer one."""
    steps, share = 8, min(0.88, 3.2 * (lane.outer - lane.inner) / (abs(sweep_rad) * lane.middle + 1e-9))
    places = [
        sheet.place(
            lane.inner + (lane.outer - lane.inner) * k / steps,
            from_rad + sweep_rad * (0.48 + share * (k / steps - 0.5)),
        )
        for k in range(steps + 1)
    ]
    return "M" + " L".join(f"{num(x)},{num(y)}" for x, y in places)
