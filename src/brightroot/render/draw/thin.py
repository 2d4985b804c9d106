"""Fewer points for the same line."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

Point = tuple[float, float]


def thinned(points: Sequence[Point], *, within: float) -> list[Point]:
    """The points without which the line would be off by more than that, after Douglas and Peucker. The ends stay.

    >>> thinned([(0.0, 0.0), (1.0, 0.1), (2.0, 0.0), (2.0, 5.0)], within=0.2)
    [(0.0, 0.0), (2.0, 0.0), (2.0, 5.0)]
    """
    if len(points) < 3:
        return list(points)
    line = np.array(points)
    kept = np.zeros(len(points), dtype=bool)
    kept[[0, -1]] = True
    pieces = [(0, len(points) - 1)]
    while pieces:
        first, last = pieces.pop()
        if last - first < 2:
            continue
        way, inner = line[last] - line[first], line[first + 1 : last] - line[first]
        long = float(np.hypot(*way))
        off = np.abs(way[0] * inner[:, 1] - way[1] * inner[:, 0]) / long if long else np.hypot(inner[:, 0], inner[:, 1])
        most = int(off.argmax())
        if off[most] > within:
            middle = first + 1 + most
            kept[middle] = True
            pieces += [(first, middle), (middle, last)]
    return [point for point, stays in zip(points, kept, strict=True) if stays]
