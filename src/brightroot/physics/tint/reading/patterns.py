"""How tint is arranged: the same all over, bands at the limit of the gas cover, thin lines beside the bead, spots."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np
from numpy.typing import NDArray

from brightroot.physics.tint.reading.reference import Mask

UNIFORM_FRAC = 0.75
LONG_FRAC = 0.45  # of the zone's length along the weld
THIN_FRAC = 0.07  # of the zone's width across it
BAND_FRAC = 0.25
OUTER_FRAC = 0.30
SPOT_FRAC = 0.03
LEAST_FRAC = 0.0008
PARTS = 10


def patterns_of(classes: NDArray[np.uint8], zone: Mask, *, weld_upright: bool) -> tuple[str, ...]:
    """Names of the arrangements found in the zone."""
    if not weld_upright:
        classes, zone = classes.T, zone.T
    rows, columns = np.flatnonzero(zone.any(axis=1)), np.flatnonzero(zone.any(axis=0))
    if not len(rows):
        return ()
    window = (slice(rows[0], rows[-1] + 1), slice(columns[0], columns[-1] + 1))
    inside, mask = classes[window], zone[window]
    found = []
    shares = np.bincount(inside[mask], minlength=4) / mask.sum()
    if shares.max() >= UNIFORM_FRAC:
        found.append("uniform")
    main = int(np.argmax(shares))
    names = {name for level in (1, 2, 3) if level > main for name in _shapes((inside >= level) & mask)}
    return (*found, *(name for name in ("edge band", "thin parallel lines", "spots") if name in names))


def _shapes(worse: Mask) -> set[str]:
    """What the patches of a worse class look like; the weld runs along the rows."""
    from scipy.ndimage import find_objects, label

    marked, _ = label(worse, structure=np.ones((3, 3)))
    high, wide = worse.shape
    found = set()
    sizes = np.bincount(marked.ravel())
    for number, place in enumerate(find_objects(marked), start=1):
        if sizes[number] < LEAST_FRAC * worse.size or place is None:
            continue
        long = (place[0].stop - place[0].start) / high
        patch = marked[place] == number
        across = float(patch.sum(axis=1).mean()) / wide
        middle = (place[1].start + place[1].stop) / 2 / wide
        if long >= LONG_FRAC and across <= THIN_FRAC:
            found.add("thin parallel lines" if OUTER_FRAC / 2 < middle < 1 - OUTER_FRAC / 2 else "edge band")
        elif long >= LONG_FRAC and across <= BAND_FRAC and not OUTER_FRAC < middle < 1 - OUTER_FRAC:
            found.add("edge band")
        elif long < LONG_FRAC and sizes[number] <= SPOT_FRAC * worse.size:
            found.add("spots")
    return found


def zones_of(
    classes: NDArray[np.uint8], nm: NDArray[np.floating[Any]], zone: Mask, *, weld_upright: bool
) -> tuple[Mapping[str, Any], ...]:
    """Strips by distance from the zone's middle line, as shares of its half width: worst class that counts, middle film."""
    if not weld_upright:
        classes, nm, zone = classes.T, nm.T, zone.T
    columns = np.flatnonzero(zone.any(axis=0))
    if not len(columns):
        return ()
    middle, half = (columns[0] + columns[-1]) / 2, max(1.0, (columns[-1] - columns[0]) / 2)
    away = np.abs(np.arange(zone.shape[1]) - middle) / half
    rows = []
    for part in range(PARTS):
        strip = zone & ((away >= part / PARTS) & (away < (part + 1) / PARTS + (part == PARTS - 1)))[None]
        if strip.any():
            shares = np.bincount(classes[strip], minlength=4) / strip.sum()
            rows.append(
                {
                    "from_frac": part / PARTS, "to_frac": (part + 1) / PARTS,
                    "worst_class4": max(n for n in range(4) if shares[n] >= 0.005),
                    "middle_nm": round(float(np.median(nm[strip])), 1),
                    "fraction4": [round(float(share), 4) for share in shares],
                }
            )  # fmt: skip
    return tuple(rows)
