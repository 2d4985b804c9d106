"""Why a photograph is not read. Each reason is a name; words/ says what to do about it."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from brightroot.base.photo import Box, Photo
from brightroot.physics.tint.reading.reference import LEAST_PIXELS, Mask, Reference, cut, on_picture, patch
from brightroot.physics.tint.reading.table import Table

METALS = ("titanium",)
CARD_CAST_1 = 0.62  # a camera balances honest light to within this of grey
METAL_CAST_1 = 0.75
MIXED_1 = 0.12
METAL_HUE_1 = np.array([0.03, -0.05])  # clean titanium against a grey card: logs of red and blue against green
METAL_HUE_SPREAD_1 = np.array([0.16, 0.20])
DARK_1 = 0.03
CLIPPED_FRAC = 0.10
BASE_CLIPPED_FRAC = 0.25
BLURRED_1 = 0.0068
BRUSHED_RATIO, BRUSHED_SILVER = 1.62, 0.97
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
    fine, ratio = detail(photo, zone)
    measures = {
        "clipped_frac": float((top >= 0.955).mean()),
        "base_clipped_frac": max(r.clipped_frac for r in (base, card) if r),
        "base_light": first.brightness_1,
        "zone_light": float(np.median(light @ np.array([0.2126, 0.7152, 0.0722], np.float32))),
        "base_cast": float(np.abs(base.hue).max()) if base else 0.0,
        "card_cast": float(np.abs(card.hue).max()) if card else 0.0,
        "slope": max(r.slope_1 for r in (base, card) if r),
        "fine": fine,
        "fine_ratio": ratio,
    }
    told = []
    if measures["clipped_frac"] > CLIPPED_FRAC or measures["base_clipped_frac"] > BASE_CLIPPED_FRAC:
        told.append("clipped")
    if measures["base_light"] < DARK_1:
        told.append("dark")
    if measures["card_cast"] > CARD_CAST_1 or measures["base_cast"] > METAL_CAST_1:
        told.append("coloured_light")
    if base and card and (np.abs(base.hue - card.hue - METAL_HUE_1) > METAL_HUE_SPREAD_1).any():
        told.append("base_tinted")
    if measures["slope"] > MIXED_1:
        told.append("mixed_light")
    if measures["fine"] < BLURRED_1:
        told.append("blurred")
    return tuple(told), measures


def detail(photo: Photo, zone: Mask) -> tuple[float, float]:
    """Fine detail of log brightness in the zone, and against that of the metal outside it.

    A bead has ripples, finer and stronger than the pipe's own marks. Where all is blurred there is next to none; where
    all was brushed alike the zone has no more of it than the rest.
    """
    from scipy.ndimage import uniform_filter

    bright = np.log(photo.light_1 @ np.array([0.3, 0.5, 0.2], np.float32) + np.float32(0.02))
    near = uniform_filter(bright, 2)
    fine = np.abs(near - uniform_filter(bright, 4))
    height, width = bright.shape
    steps = sum(np.abs(np.diff(near, axis=n))[: height - 1, : width - 1] for n in (0, 1))
    inside = zone[: height - 1, : width - 1]
    if not inside.any() or inside.all():
        return float(fine.mean()), 9.0
    return float(fine[zone].mean()), float(steps[inside].mean() / (steps[~inside].mean() + 1e-6))


__all__ = ["asked_reasons", "cut", "seen_reasons"]
