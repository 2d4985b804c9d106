"""Why a photograph is not read. Each reason is a name; words/ says what to do about it."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from brightroot.model.photo import Box, Photo
from brightroot.physics.tint.reading.reference import LEAST_PIXELS, Mask, Reference, cut, on_picture, patch
from brightroot.physics.tint.reading.table import Table, features_of

METALS = ("titanium",)
CARD_CAST_1 = 0.35  # a camera balances honest light to within this of grey
METAL_CAST_1 = 0.45
MIXED_1 = 0.12
DARK_1 = 0.012
CLIPPED_FRAC = 0.10
BASE_CLIPPED_FRAC = 0.25
BLURRED_1 = 0.20
ON_WELD_FRAC = 0.5


def asked_reasons(
    photo: Photo, *, base: Box | None, card: Box | None, weld: Box | None, metal: str, surface: str
) -> tuple[str, ...]:
    """What can be said before looking at a single pixel."""
    told = []
    if base is None and card is None:
        told.append("no_reference")
    if surface != "as-welded":
        told.append("cleaned_declared")
    if metal not in METALS:
        told.append("metal_not_defended")
    for name, box in (("base", base), ("card", card), ("weld", weld)):
        if box is None:
            continue
        if not on_picture(photo, box):
            told.append(f"{name}_off_picture")
        elif patch(photo, box).shape[0] * patch(photo, box).shape[1] < LEAST_PIXELS:
            told.append(f"{name}_too_small")
    if weld is not None:
        told += [
            f"{name}_on_weld"
            for name, box in (("base", base), ("card", card))
            if box is not None and box.shares_with(weld) > ON_WELD_FRAC
        ]
    return tuple(told)


def seen_reasons(
    photo: Photo, zone: Mask, *, base: Reference | None, card: Reference | None, table: Table
) -> tuple[tuple[str, ...], Mapping[str, float]]:
    """What the pixels say against reading them, and the measures behind it."""
    light = photo.light_1[zone]
    top = light.max(axis=1)
    first = base or card
    assert first is not None
    measures = {
        "clipped_frac": float((top >= 0.955).mean()),
        "base_clipped_frac": max(r.clipped_frac for r in (base, card) if r),
        "base_light": first.brightness_1,
        "zone_light": float(np.median(light @ np.array([0.2126, 0.7152, 0.0722], np.float32))),
        "base_cast": float(np.abs(base.hue).max()) if base else 0.0,
        "card_cast": float(np.abs(card.hue).max()) if card else 0.0,
        "slope": max(r.slope_1 for r in (base, card) if r),
        "sharp": _sharpness(photo, zone),
    }
    told = []
    if measures["clipped_frac"] > CLIPPED_FRAC or measures["base_clipped_frac"] > BASE_CLIPPED_FRAC:
        told.append("clipped")
    if measures["base_light"] < DARK_1:
        told.append("dark")
    if measures["card_cast"] > CARD_CAST_1 or measures["base_cast"] > METAL_CAST_1:
        told.append("coloured_light")
    if measures["slope"] > MIXED_1:
        told.append("mixed_light")
    if measures["sharp"] < BLURRED_1:
        told.append("blurred")
    return tuple(told), measures


def _sharpness(photo: Photo, zone: Mask) -> float:
    """Fine detail against coarse detail of log brightness along rows and columns: near nothing where all is blurred."""
    bright = features_of(photo.light_1 / np.float32(0.2))[..., 2]
    best = 0.0
    for axis in (0, 1):
        fine = np.diff(bright, axis=axis)
        fine, inside = (fine[:, :-1], zone[:-1, :-1]) if axis == 0 else (fine[:-1], zone[:-1, :-1])
        step = np.roll(bright, -3, axis=axis) - bright
        coarse = step[:-1, :-1]
        one, three = np.abs(fine[inside]), np.abs(coarse[inside])
        best = max(best, float(np.percentile(one, 95) / (np.percentile(three, 95) + 0.02)))
    return best


__all__ = ["asked_reasons", "cut", "seen_reasons"]
