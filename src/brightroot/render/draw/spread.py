"""Keeping things apart: beads into lanes, labels along a line, marks round a circle."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from itertools import pairwise

from brightroot.base.clock import TURN_RAD


def spread_line(wanted: Sequence[float], sizes: Sequence[float], *, low: float, high: float) -> list[float]:
    """Middles as near to the wanted ones as their sizes allow, in the same order, inside low…high if they fit.

    >>> spread_line([10, 10, 50], [10, 10, 10], low=0, high=100)
    [5.0, 15.0, 50.0]
    """
    order = sorted(range(len(wanted)), key=lambda k: (wanted[k], k))
    groups: list[tuple[float, list[int]]] = []  # the start of a run of touching items
    for k in order:
        members = [k]
        start = wanted[k] - sizes[k] / 2
        start = min(max(start, low), max(low, high - sizes[k]))
        while groups and _end(groups[-1], sizes) > start + 1e-9:
            members = groups.pop()[1] + members
            start = _best(members, wanted, sizes)
            start = max(low, min(start, high - sum(sizes[m] for m in members)))
        groups.append((start, members))
    middles = [0.0] * len(wanted)
    for start, members in groups:
        for m in members:
            middles[m] = start + sizes[m] / 2
            start += sizes[m]
    return middles


def _end(group: tuple[float, list[int]], sizes: Sequence[float]) -> float:
    return group[0] + sum(sizes[m] for m in group[1])


def _best(members: list[int], wanted: Sequence[float], sizes: Sequence[float]) -> float:
    """The start that leaves the members nearest, on average, to where they want to be."""
    offset, starts = 0.0, []
    for m in members:
        starts.append(wanted[m] - sizes[m] / 2 - offset)
        offset += sizes[m]
    return sum(starts) / len(starts)


def spread_round(wanted_rad: Sequence[float], *, apart_rad: float) -> list[float]:
    """The same round a circle: cut at the widest gap, spread as a line, put back. As close as it must be when full.

    >>> [round(a, 2) for a in spread_round([1.0, 1.0], apart_rad=0.2)]
    [0.9, 1.1]
    """
    if not wanted_rad:
        return []
    apart_rad = min(apart_rad, TURN_RAD / len(wanted_rad))
    around = sorted(a % TURN_RAD for a in wanted_rad)
    gaps = [(b - a, b) for a, b in pairwise([*around, around[0] + TURN_RAD])]
    cut = max(gaps)[1] - max(gaps)[0] / 2
    line = [(a - cut) % TURN_RAD for a in wanted_rad]
    spread = spread_line(line, [apart_rad] * len(line), low=0.0, high=TURN_RAD)
    return [(a + cut) % TURN_RAD for a in spread]


def clearest(*, room: Callable[[float], float], need: float) -> float:
    """How far along something a number stands: near the middle if there is room enough, else where there is most.

    >>> clearest(room=lambda share: abs(share - 0.5), need=0.2), clearest(room=lambda share: share, need=9)
    (0.27, 0.78)
    """
    shares = (0.48, 0.4, 0.56, 0.33, 0.64, 0.27, 0.7, 0.2, 0.78)
    return next((s for s in shares if room(s) > need), max(shares, key=room))


def lanes(arcs: Sequence[tuple[float, float]], *, slack_rad: float = math.radians(6)) -> list[int]:
    """A lane for each (from, signed sweep), so that beads side by side lie side by side; tie-ins may overlap a little.

    >>> lanes([(0.0, 3.0), (3.0, 3.0), (1.0, 1.0)])
    [0, 0, 1]
    """
    taken: list[list[tuple[float, float]]] = []
    found = []
    for arc in arcs:
        lane = next(
            (k for k, those in enumerate(taken) if not any(_overlap(arc, t) > slack_rad for t in those)), len(taken)
        )
        if lane == len(taken):
            taken.append([])
        taken[lane].append(arc)
        found.append(lane)
    return found


def span(arc: tuple[float, float]) -> tuple[float, float]:
    """Start and length going clockwise, whichever way it was welded."""
    start, sweep = arc
    return (start if sweep >= 0 else start + sweep) % TURN_RAD, min(abs(sweep), TURN_RAD)


def _overlap(one: tuple[float, float], other: tuple[float, float]) -> float:
    """How much of the circle two arcs share."""
    (a, a_long), (b, b_long) = span(one), span(other)
    b = (b - a) % TURN_RAD
    return max(0.0, min(a_long, b + b_long) - b) + max(0.0, min(a_long, b + b_long - TURN_RAD))
