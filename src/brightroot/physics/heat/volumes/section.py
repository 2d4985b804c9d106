"""The wall cut along the pipe: rings of metal at a radius and a place, and what conducts between them.

Columns stand side by side along the pipe, each a stack of rings from inside to outside. Neighbours in a column conduct
through the height they share the width of; neighbours in adjoining columns through the height where they overlap. So
three layers may meet one, a thin wall a thick one, and a pipe a flange.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Whole = NDArray[np.int64]
STIFFEST_1 = 4.0  # no more than this over a whole ring's is what conducts to a cut one: else it would rule every step
NEAREST_1 = 0.3  # nor are two middles taken as nearer than this share of the whole rings'


@dataclass(frozen=True, slots=True)
class Ring:
    """What one ring takes up: places along the pipe, and radii."""

    from_m: float
    to_m: float
    low_m: float
    high_m: float


@dataclass(frozen=True, eq=False, slots=True)
class Held:
    """What of a ring is metal, before welding and after every pass: its share, and its middle along the pipe and outward."""

    share_1: Array
    place_m: Array
    radius_m: Array


class Cut(Protocol):
    """What a groove leaves of rings, and of the planes and cylinders between them: a value for every state of filling."""

    def within(self, ring: Ring) -> Held: ...
    def upright(self, place_m: float, low_m: float, high_m: float) -> Array: ...
    def level(self, radius_m: float, from_m: float, to_m: float) -> Array: ...
    def sloped_m2(self, ring: Ring) -> float: ...


@dataclass(frozen=True, slots=True)
class Column:
    """A slice of wall from `from_m` to `to_m` along the pipe; `radii_m` are its rings' edges, inside first."""

    from_m: float
    to_m: float
    radii_m: tuple[float, ...]


@dataclass(frozen=True, eq=False, slots=True)
class Section:
    """Rings and their neighbours. All areas and volumes are for one radian round the pipe, as if they were all metal.

    `beside` and `conducts_m` name a ring's neighbours (a ring with fewer than the most names itself, with zero): what
    conducts where all is filled. `first` and `last` are each column's inner and outer ring. `base_share` of a ring is metal before
    welding and each pass adds its `pass_share`; so `base_conducts_m` and `pass_conducts_m`. `sloped_m2` is what open
    slopes add to a ring's outer face. `mirrored`: the weld plane is a mirror and half the pipe is meant.
    """

    mirrored: bool
    z_m: Array  # of each column
    edges_m: Array
    volume_m3: Array
    around_1_m: Array  # area over radius: what conducts round the pipe
    beside: Whole
    ways: Whole  # how many neighbours each ring has
    conducts_m: Array
    base_conducts_m: Array
    pass_conducts_m: Array
    column: Whole
    inner_radius_m: Array
    outer_radius_m: Array
    width_m: Array
    first: Whole
    last: Whole
    base_share: Array
    pass_share: Array
    sloped_m2: Array

    @property
    def count(self) -> int:
        """How many rings."""
        return int(self.volume_m3.size)


@dataclass(frozen=True, eq=False, slots=True)
class _Link:
    a: int
    b: int
    whole_m: float
    states_m: Array


def section(columns: Sequence[Column], *, mirrored: bool, cut: Cut | None = None) -> Section:
    """Put columns side by side; without a `cut` all is metal from the start.

    >>> made = section([Column(0.0, 0.01, (0.027, 0.03)), Column(0.01, 0.02, (0.027, 0.03))], mirrored=True)
    >>> made.count, round(float(made.volume_m3.sum() * 1e9))
    (2, 1710)
    """
    numbered = [
        (n, Ring(column.from_m, column.to_m, low, high))
        for n, column in enumerate(columns)
        for low, high in zip(column.radii_m, column.radii_m[1:], strict=False)
    ]
    which, rings = np.array([n for n, _ in numbered], dtype=np.int64), [ring for _, ring in numbered]
    metals = [cut.within(ring) for ring in rings] if cut else [_whole(ring) for ring in rings]
    shares = np.array([each.share_1 for each in metals]).T
    beside, ways, conducts = _beside(_links(which.tolist(), rings, metals, cut), len(rings), shares.shape[0])
    low, high = np.array([ring.low_m for ring in rings]), np.array([ring.high_m for ring in rings])
    width = np.array([ring.to_m - ring.from_m for ring in rings])
    first = np.searchsorted(which, np.arange(len(columns)))
    return Section(
        mirrored=mirrored,
        z_m=np.array([(c.from_m + c.to_m) / 2 for c in columns]),
        edges_m=np.array([columns[0].from_m, *(c.to_m for c in columns)]),
        volume_m3=(high**2 - low**2) / 2 * width,
        around_1_m=np.log(high / low) * width,
        beside=beside,
        ways=ways,
        conducts_m=conducts[-1],
        base_conducts_m=conducts[0],
        pass_conducts_m=_added(conducts[:-1]),
        column=which,
        inner_radius_m=low,
        outer_radius_m=high,
        width_m=width,
        first=first,
        last=np.append(first[1:], len(rings)) - 1,
        base_share=shares[0],
        pass_share=_added(shares),
        sloped_m2=np.array([cut.sloped_m2(ring) if cut else 0.0 for ring in rings]) * (shares[0] < 1.0),
    )


def _added(states: Array) -> Array:
    """What each state adds to the one before. A rounding is nothing: a pass laid where its root is not would make metal of it."""
    more = np.diff(states, axis=0)
    return np.asarray(np.where(np.abs(more) < 1e-9 * np.max(np.abs(states)), 0.0, more))


def _whole(ring: Ring) -> Held:
    return Held(np.ones(1), np.array([(ring.from_m + ring.to_m) / 2]), np.array([(ring.low_m + ring.high_m) / 2]))


def _beside(links: Sequence[_Link], count: int, states: int) -> tuple[Whole, Whole, Array]:
    """Neighbours of every ring, how many they are, and what conducts to them in every state and, last, if all were metal."""
    found: list[list[tuple[int, _Link]]] = [[] for _ in range(count)]
    for link in links:
        found[link.a].append((link.b, link))
        found[link.b].append((link.a, link))
    ways = max(4, *(len(own) for own in found))
    beside = np.repeat(np.arange(count, dtype=np.int64)[:, None], ways, axis=1)
    conducts = np.zeros((states + 1, count, ways))
    for n, own in enumerate(found):
        for way, (other, link) in enumerate(own):
            beside[n, way] = other
            conducts[:-1, n, way], conducts[-1, n, way] = link.states_m, link.whole_m
    return beside, np.array([len(own) for own in found], dtype=np.int64), conducts


def _links(which: list[int], rings: Sequence[Ring], metals: Sequence[Held], cut: Cut | None) -> list[_Link]:
    """Between stacked rings through the cylinder that they share, between side by side ones through the plane."""
    links: list[_Link] = []

    def join(a: int, b: int, whole_m: float, open_1: Array, apart_1: Array) -> None:
        least = np.minimum(metals[a].share_1, metals[b].share_1)
        states = whole_m * np.minimum(open_1 / np.maximum(apart_1, NEAREST_1), STIFFEST_1 * least)
        links.append(_Link(a, b, whole_m, states))

    for a, ring in enumerate(rings):
        b = a + 1
        while b < len(rings) and which[b] <= which[a] + 1:
            other = rings[b]
            if which[b] == which[a] + 1:
                bottom, top = max(ring.low_m, other.low_m), min(ring.high_m, other.high_m)
                if top > bottom:
                    apart = (other.to_m - ring.from_m) / 2
                    ways = cut.upright(ring.to_m, bottom, top) if cut else np.ones(1)
                    join(a, b, (top**2 - bottom**2) / 2 / apart, ways, (metals[b].place_m - metals[a].place_m) / apart)
            elif b == a + 1:  # stacked: between the middles of two thin shells
                middle, above = (ring.low_m + ring.high_m) / 2, (other.low_m + other.high_m) / 2
                ways = cut.level(ring.high_m, ring.from_m, ring.to_m) if cut else np.ones(1)
                apart_1 = (metals[b].radius_m - metals[a].radius_m) / (above - middle)
                join(a, b, (ring.to_m - ring.from_m) / math.log(above / middle), ways, apart_1)
            b += 1
    return links
