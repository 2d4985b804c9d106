"""The sequence of film colours from our own optics, as a picture for page and paper."""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from brightroot.documents.speech import Speech
from brightroot.model.optics import Optics
from brightroot.model.tint_picture import TintCore, TintShade, TintStretch
from brightroot.physics.tint.colour import lab, linear_srgb, on_screen, weights
from brightroot.physics.tint.equivalent import REFERENCE
from brightroot.physics.tint.names import TINTS
from brightroot.physics.tint.table import xyz_table

STEP_NM = 1.0
BEYOND_NM = 14.0  # how much of the last stretch is shown


def tint_core(optics: Optics, speech: Speech) -> TintCore:
    """Bare metal to past magenta: titanium under its oxide, by daylight, flat and seen from above."""
    return TintCore(
        title=speech.say("tint.swatches"),
        stretches=_stretches(speech),
        shades=_shades(optics),
        length_label=speech.say("tint.lightness"),
        unit_label="nm",
    )


def _stretches(speech: Speech) -> tuple[TintStretch, ...]:
    found, low = [], 0.0
    for tint in TINTS:
        high = tint.below_m * 1e9
        told = speech.say("tint.swatch_nm", low=f"{low:.0f}", high=f"{high:.0f}")
        note = speech.say("tint.swatch_taken", name=_name(speech, tint.taken_for)) if tint.taken_for else ""
        found.append(TintStretch(_name(speech, tint.name), low, high, told, note))
        low = high
    last = speech.say("tint.swatch_over", low=f"{low:.0f}")
    return (*found, TintStretch(speech.say("tint.name_over"), low, None, last))


def _name(speech: Speech, name: str) -> str:
    return speech.say(f"tint.name_{name.replace(' ', '_')}")


@lru_cache(maxsize=8)
def _shades(optics: Optics) -> tuple[TintShade, ...]:
    film_nm = np.arange(0.0, TINTS[-1].below_m * 1e9 + BEYOND_NM, STEP_NM) + STEP_NM / 2
    light, observer = optics.light("D65").table(), optics.observer.table()
    white = weights(light=light, observer=observer).sum(axis=0)
    xyz = xyz_table(
        substrate=optics.substrate(REFERENCE[0]).at(), film=optics.film(REFERENCE[1]).at(), illuminant=light,
        observer=observer, thickness_nm=film_nm,
    )  # fmt: skip
    lightness = lab(xyz=xyz, white_xyz=white)[:, 0]
    linear = linear_srgb(xyz=xyz, white_xyz=white)
    shown = [[int(channel) for channel in on_screen(linear=row).eight_bit] for row in linear]
    return tuple(
        TintShade(float(nm), red, green, blue, float(light_1))
        for nm, (red, green, blue), light_1 in zip(film_nm, shown, lightness, strict=True)
    )
