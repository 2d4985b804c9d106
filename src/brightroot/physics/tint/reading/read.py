"""A photograph read: references measured, ways weighed, the order of the fringes settled, classes and patterns found."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from brightroot.model.photo import Box, Photo
from brightroot.physics.tint.reading.colours import Ways, cells_of, weigh_ways
from brightroot.physics.tint.reading.field import Field, film_field
from brightroot.physics.tint.reading.reference import Mask, Reference, cut, measured, patch
from brightroot.physics.tint.reading.refuse import asked_reasons, seen_reasons
from brightroot.physics.tint.reading.scale import scale_mask
from brightroot.physics.tint.reading.shade import shaded
from brightroot.physics.tint.reading.table import Array, Single, Table, features_of
from brightroot.physics.tint.reading.verdict import Verdict, verdict_of


@dataclass(frozen=True, slots=True)
class Asked:
    """What the person says beside the photograph."""

    base: Box | None = None
    card: Box | None = None
    weld: Box | None = None
    metal: str = "titanium"
    surface: str = "as-welded"


@dataclass(frozen=True, eq=False, slots=True)
class Reading:
    """The answer: read or refused with reasons; where read, the field, the zone and the verdict."""

    reasons: tuple[str, ...]
    measures: Mapping[str, float]
    zone: Mask
    field: Field | None = None
    scale: Mask | None = None
    verdict: Verdict | None = None
    ways: Ways | None = None

    @property
    def answer(self) -> str:
        return "refused" if self.reasons else "read"


def read_tint(photo: Photo, asked: Asked, table: Table, *, second: Photo | None = None) -> Reading:
    """Read one photograph. `second`: the same view with the light moved, which alone can show scale."""
    told = asked_reasons(
        photo, base=asked.base, card=asked.card, weld=asked.weld, metal=asked.metal, surface=asked.surface
    )
    if told:
        return Reading(told, {}, np.zeros(photo.light_1.shape[:2], bool))
    base = measured(patch(photo, asked.base)) if asked.base else None
    card = measured(patch(photo, asked.card)) if asked.card else None
    zone = zone_of(photo, asked)
    told, measures = seen_reasons(photo, zone, base=base, card=card, table=table)
    if told:
        return Reading(told, measures, zone)
    window = _window(zone)
    features = _against(photo, asked, window, zone, base, card)
    middles, _, counts = cells_of(features[zone[window]])
    ways = weigh_ways(table, middles, counts, metal=_metal(base, card))
    seen = _whole(film_field(features, ways, table), zone.shape, window)
    scale = scale_mask(photo, second, zone)
    return Reading((), measures, zone, seen, scale, verdict_of(seen, zone, scale), ways)


def _window(zone: Mask) -> tuple[slice, slice]:
    """The least rectangle that holds the zone."""
    rows, columns = np.flatnonzero(zone.any(axis=1)), np.flatnonzero(zone.any(axis=0))
    return slice(int(rows[0]), int(rows[-1]) + 1), slice(int(columns[0]), int(columns[-1]) + 1)


def _against(
    photo: Photo, asked: Asked, window: tuple[slice, slice], zone: Mask, base: Reference | None, card: Reference | None
) -> Single:
    """Features of the window against clean metal at the same place round the pipe."""
    first = base or card
    assert first is not None
    whole = (features_of(photo.light_1) - first.features).astype(np.float32)
    usable = ~zone
    if asked.card:
        usable[cut(photo, asked.card)] = False
    if asked.weld:
        usable[cut(photo, asked.weld)] = False
    inside = whole[window].copy()
    inside[..., 2] -= shaded(whole, window, usable)
    return inside


def _metal(base: Reference | None, card: Reference | None) -> Array | None:
    return base.features[:2] - card.features[:2] if base and card else None


def _whole(seen: Field, shape: tuple[int, int], window: tuple[slice, slice]) -> Field:
    """The field of the window on the whole picture, nothing elsewhere."""
    nm, low, high, fit = (np.zeros(shape, np.float32) for _ in range(4))
    odds = np.zeros((*shape, 3), np.float32)
    nm[window], low[window], high[window], fit[window] = seen.nm, seen.low_nm, seen.high_nm, seen.fit_1
    odds[window] = seen.class_odds
    return Field(nm, low, high, odds, fit)


def zone_of(photo: Photo, asked: Asked) -> Mask:
    """The weld zone: the rectangle given; without one, everything but the references."""
    zone = np.zeros(photo.light_1.shape[:2], bool)
    if asked.weld:
        zone[cut(photo, asked.weld)] = True
    else:
        zone[:] = True
    for box in (asked.base, asked.card):
        if box:
            zone[cut(photo, box)] = False
    return zone
