"""The wall cut along the pipe: rings of metal at a radius and a place, and what conducts between them.

Columns stand side by side along the pipe, each a stack of rings from inside to outside. Neighbours in a column conduct
through the height they share the width of; neighbours in adjoining columns through the height where they overlap. So
three layers may meet one, a thin wall a thick one, and a pipe a flange.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
# of a ring between two places and two radii: its share of metal before welding, and what each pass adds
Filling = Callable[[float, float, float, float], tuple[float, tuple[float, ...]]]
Whole = NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class Column:
    """A slice of wall from `from_m` to `to_m` along the pipe; `radii_m` are its rings' edges, inside first."""

    from_m: float
    to_m: float
    radii_m: tuple[float, ...]


@dataclass(frozen=True, eq=False, slots=True)
class Section:
    """Rings and their neighbours. All areas and volumes are for one radian round the pipe, as if they were all metal.

    `beside` and `conducts_m` name a ring's neighbours (a ring with fewer than the most names itself, with zero). `first`
    and `last` are each column's inner and outer ring. `base_share` of a ring is metal before welding and each pass adds
    its `pass_share`. `mirrored`: the weld plane is a mirror and half the pipe is meant.
    """

    mirrored: bool
    z_m: Array  # of each column
    edges_m: Array
    volume_m3: Array
    around_1_m: Array  # area over radius: what conducts round the pipe
    beside: Whole
    conducts_m: Array
    column: Whole
    inner_radius_m: Array
    outer_radius_m: Array
    width_m: Array
    first: Whole
    last: Whole
    base_share: Array
    pass_share: Array

    @property
    def count(self) -> int:
        """How many rings."""
        return int(self.volume_m3.size)


def section(columns: Sequence[Column], *, mirrored: bool, filling: Filling | None = None) -> Section:
    """Put columns side by side; without a `filling` all is metal from the start.

    >>> made = section([Column(0.0, 0.01, (0.027, 0.03)), Column(0.01, 0.02, (0.027, 0.03))], mirrored=True)
    >>> made.count, round(float(made.volume_m3.sum() * 1e9))
    (2, 1710)
    """
    rings = [
        (n, column, low, high)
        for n, column in enumerate(columns)
        for low, high in zip(column.radii_m, column.radii_m[1:], strict=False)
    ]
    links = _links(columns, rings)
    ways = max((len(found) for found in links), default=0)
    beside = np.repeat(np.arange(len(rings), dtype=np.int64)[:, None], max(ways, 4), axis=1)
    conducts = np.zeros(beside.shape)
    for n, found in enumerate(links):
        for way, (other, value) in enumerate(found):
            beside[n, way], conducts[n, way] = other, value
    which = np.array([n for n, *_ in rings], dtype=np.int64)
    low, high = (np.array([ring[k] for ring in rings]) for k in (2, 3))
    width = np.array([column.to_m - column.from_m for _, column, *_ in rings])
    first = np.searchsorted(which, np.arange(len(columns)))
    last = np.append(first[1:], len(rings)) - 1
    base, added = np.ones(len(rings)), np.empty((0, len(rings)))
    if filling:
        shares = [filling(c.from_m, c.to_m, low, high) for _, c, low, high in rings]
        base = np.array([whole for whole, _ in shares])
        added = np.array([passes for _, passes in shares]).T.copy()
    return Section(
        mirrored=mirrored,
        z_m=np.array([(c.from_m + c.to_m) / 2 for c in columns]),
        edges_m=np.array([columns[0].from_m, *(c.to_m for c in columns)]),
        volume_m3=(high**2 - low**2) / 2 * width,
        around_1_m=np.log(high / low) * width,
        beside=beside,
        conducts_m=conducts,
        column=which,
        inner_radius_m=low,
        outer_radius_m=high,
        width_m=width,
        first=first,
        last=last,
        base_share=base,
        pass_share=added,
    )


def _links(columns: Sequence[Column], rings: list[tuple[int, Column, float, float]]) -> list[list[tuple[int, float]]]:
    links: list[list[tuple[int, float]]] = [[] for _ in rings]

    def join(a: int, b: int, value: float) -> None:
        links[a].append((b, value))
        links[b].append((a, value))

    for a in range(len(rings) - 1):
        n, column, low, high = rings[a]
        if rings[a + 1][0] == n:  # stacked: between the middles of two thin shells
            middle, above = (low + high) / 2, (rings[a + 1][2] + rings[a + 1][3]) / 2
            join(a, a + 1, (column.to_m - column.from_m) / math.log(above / middle))
        b = a + 1
        while b < len(rings) and rings[b][0] <= n + 1:
            if rings[b][0] == n + 1:
                bottom, top = max(low, rings[b][2]), min(high, rings[b][3])
                if top > bottom:
                    apart = (rings[b][1].to_m - column.from_m) / 2
                    join(a, b, (top**2 - bottom**2) / 2 / apart)
            b += 1
    return links
