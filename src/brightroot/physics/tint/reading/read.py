"""A photograph read: references measured, ways weighed, the order of the fringes settled, classes and patterns found."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from brightroot.base.photo import Box, Photo
from brightroot.physics.tint.reading.colours import Ways, cells_of, thickness_odds, weigh_ways
from brightroot.physics.tint.reading.field import Field, film_field
from brightroot.physics.tint.reading.frame import Frame, frame_of, tinted_span
from brightroot.physics.tint.reading.reference import LEAST_PIXELS, Mask, Reference, cut, measured, patch
from brightroot.physics.tint.reading.refuse import (
    BRUSHED_RATIO,
    BRUSHED_SILVER,
    CARD_CAST_1,
    DARK_1,
    METAL_HUE_1,
    METAL_HUE_SPREAD_1,
    asked_reasons,
    seen_reasons,
)
from brightroot.physics.tint.reading.scale import scale_mask
from brightroot.physics.tint.reading.shade import shaded
from brightroot.physics.tint.reading.table import Array, Table, features_of
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
    if card and np.abs(card.hue).max() > CARD_CAST_1:
        return Reading(("coloured_light",), {"card_cast": float(np.abs(card.hue).max())}, _usable(photo, asked))
    usable = _usable(photo, asked)
    first = base or (_found_metal(photo, usable, card) if card else None)
    if first is None:
        return Reading(("no_clean_metal",), {}, usable)
    if first.brightness_1 < DARK_1:
        return Reading(("dark",), {"base_light": first.brightness_1}, usable)
    whole = features_of(photo.light_1 / first.light_1)
    frame = frame_of(whole, usable)
    zone = _zone(photo, asked, whole, frame, usable)
    if zone.sum() < LEAST_PIXELS:
        return Reading(("weld_too_small",), {}, zone)
    told, measures = seen_reasons(photo, zone, base=base, card=card, table=table)
    if told:
        return Reading(told, measures, zone)
    window = _window(zone)
    shade = shaded(whole, window, usable, frame)
    features = features_of(photo.light_1[window] / first.light_1 * np.exp(-shade)[..., None]).astype(np.float32)
    middles, _, counts = cells_of(features[zone[window]])
    ways = weigh_ways(table, middles, counts)
    seen = _whole(film_field(features, ways, table, clean_sides=(1 if frame.weld_upright else 0,)), zone.shape, window)
    scale = np.zeros(zone.shape, bool)
    if second is not None:
        scale[window] = scale_mask(
            features, _moved(second, asked, first, window, usable, frame), zone[window], -METAL_HUE_1
        )
    verdict = verdict_of(seen, zone, scale, weld_upright=frame.weld_upright)
    if verdict.fractions[0] >= BRUSHED_SILVER and measures["fine_ratio"] < BRUSHED_RATIO:
        return Reading(("cleaned_found",), measures, zone)
    worst = zone[window] & (verdict.classes[window] == verdict.worst)
    verdict = replace(verdict, why=why_of(features[worst], ways, table) | _changes(asked, second))
    return Reading((), measures, zone, seen, scale, verdict, ways)


def _moved(
    second: Photo, asked: Asked, first: Reference, window: tuple[slice, slice], usable: Mask, frame: Frame
) -> Array:
    """Features of the window in the second light, against the same metal under it."""
    metal = measured(patch(second, asked.base)) if asked.base else first
    whole = features_of(second.light_1 / metal.light_1)
    shade = shaded(whole, window, usable, frame)
    return features_of(second.light_1[window] / metal.light_1 * np.exp(-shade)[..., None]).astype(np.float32)


def why_of(colours: Array, ways: Ways, table: Table) -> dict[str, Any]:
    """The middle colour of a class, the film that it stands for, and the other order that the colour alone would allow."""
    if not len(colours):
        return {}
    middle = np.median(colours, axis=0)
    odds = thickness_odds(ways, table, middle[None].astype(np.float32))[0]
    inner = odds[1:-1]
    peaks = 1 + np.flatnonzero((inner >= odds[:-2]) & (inner > odds[2:]))
    order = sorted({0, len(odds) - 1} & {int(np.argmax(odds))} | set(peaks.tolist()), key=lambda n: -odds[n])
    told = {"hue_red": round(float(middle[0]), 3), "hue_blue": round(float(middle[1]), 3),
            "brightness": round(float(middle[2]), 3)}  # fmt: skip
    if order:
        told["likeliest_nm"] = round(float(table.levels_nm[order[0]]), 1)
    if len(order) > 1:
        told["rival_nm"] = round(float(table.levels_nm[order[1]]), 1)
        told["rival_odds"] = round(float(odds[order[1]] / (odds[order[0]] + odds[order[1]])), 3)
    return told


def _changes(asked: Asked, second: Photo | None) -> dict[str, Any]:
    """What would make the answer surer, by name."""
    told = [] if asked.card else ["add_card"]
    told += [] if asked.base else ["tap_base"]
    told += [] if asked.weld else ["tap_weld"]
    return {"would_help": told + ([] if second else ["second_light"])}


def _window(zone: Mask) -> tuple[slice, slice]:
    """The least rectangle that holds the zone."""
    rows, columns = np.flatnonzero(zone.any(axis=1)), np.flatnonzero(zone.any(axis=0))
    return slice(int(rows[0]), int(rows[-1]) + 1), slice(int(columns[0]), int(columns[-1]) + 1)


def _usable(photo: Photo, asked: Asked) -> Mask:
    """What is neither weld nor card."""
    usable = np.ones(photo.light_1.shape[:2], bool)
    for box in (_grown(asked.card), asked.weld):
        if box:
            usable[cut(photo, box)] = False
    return usable


def _grown(box: Box | None) -> Box | None:
    """A tapped card is larger than the rectangle drawn inside it."""
    if box is None:
        return None
    wide, high = 0.35 * box.width_px, 0.35 * box.height_px
    left, top = max(0.0, box.left_px - wide), max(0.0, box.top_px - high)
    return Box(left, top, box.width_px + 2 * wide, box.height_px + 2 * high)


def _found_metal(photo: Photo, usable: Mask, card: Reference) -> Reference | None:
    """Clean metal where only a card was tapped: what lies beside the weld and has the hue of clean metal by the card."""
    light = photo.light_1[usable]
    told = features_of(light / card.light_1)
    like = (np.abs(told[:, :2] - METAL_HUE_1) < METAL_HUE_SPREAD_1).all(axis=1) & (np.abs(told[:, 2]) < 1.5)
    if like.sum() < max(50, 0.04 * len(light)):
        return None
    return measured(light[like][None])


def _whole(seen: Field, shape: tuple[int, int], window: tuple[slice, slice]) -> Field:
    """The field of the window on the whole picture, nothing elsewhere."""
    nm, low, high, fit = (np.zeros(shape, np.float32) for _ in range(4))
    odds = np.zeros((*shape, 3), np.float32)
    nm[window], low[window], high[window], fit[window] = seen.nm, seen.low_nm, seen.high_nm, seen.fit_1
    odds[window] = seen.class_odds
    return Field(nm, low, high, odds, fit)


def _zone(photo: Photo, asked: Asked, whole: Array, frame: Frame, usable: Mask) -> Mask:
    """The weld zone: on the pipe, inside the rectangle given; without one, as far across the weld as tint is found."""
    zone = np.zeros(usable.shape, bool)
    if asked.weld:
        zone[cut(photo, asked.weld)] = True
    else:
        span = tinted_span(whole, frame, usable) or slice(0, None)
        zone[(slice(None), span) if frame.weld_upright else (span, slice(None))] = True
    for box in (_grown(asked.card), asked.base):
        if box:
            zone[cut(photo, box)] = False
    return zone & frame.pipe
