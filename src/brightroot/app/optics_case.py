"""A tint-optics case in JSON: one film on one metal under one light, as colour."""

from __future__ import annotations

import math
from collections.abc import Mapping
from functools import cache
from typing import Any

import numpy as np

from brightroot.base.errors import Refused
from brightroot.base.spectrum import WAVELENGTH_NM, Floats
from brightroot.model.optics import Constants, Optics
from brightroot.physics.fields import known, number
from brightroot.physics.tint.colour import lab, linear_srgb, on_screen, weights
from brightroot.physics.tint.equivalent import REFERENCE, SPREAD_FRAC, Landmarks, equivalent_nm, landmarks
from brightroot.physics.tint.optics import reflectance

ASKED_NM = (450.0, 550.0, 650.0)
THICKEST_NM = 5000.0


def answer_optics_case(case: Mapping[str, Any], *, optics: Optics) -> dict[str, Any]:
    """XYZ (a perfect white has Y = 1), Lab against the light's own white, sRGB, reflectance and equivalent film.

    Where a table ends inside 380 to 780 nm its end value holds, and `held` says so.
    """
    keys = ("substrate", "film", "thickness_nm", "angle_deg", "illuminant")
    table = known(case, field="", needed=keys)
    metal, oxide = optics.substrate(table["substrate"]), optics.film(table["film"])
    light, observer = optics.light(table["illuminant"]), optics.observer
    film_nm = number(table, "thickness_nm", field="", low=0.0, high=THICKEST_NM)
    at_rad = math.radians(number(table, "angle_deg", field="", low=0.0, high=89.0))

    weight = weights(light=light.table(), observer=observer.table())
    white: Floats = weight.sum(axis=0)
    xyz = _reflected(metal, oxide, film_nm, WAVELENGTH_NM, at_rad) @ weight
    screen = on_screen(linear=linear_srgb(xyz=xyz, white_xyz=white))
    reference = _landmarks(optics.substrate(REFERENCE[0]), optics.film(REFERENCE[1]), optics)
    own = _landmarks(metal, oxide, optics)
    return {
        "XYZ": xyz.tolist(),
        "white_XYZ": white.tolist(),
        "Lab": lab(xyz=xyz, white_xyz=white).tolist(),
        "sRGB8_bradford_to_D65": [int(channel) for channel in screen.eight_bit],
        "in_gamut": screen.in_gamut,
        "R_at_450_550_650": _reflected(metal, oxide, film_nm, ASKED_NM, at_rad).tolist(),
        "equivalent_nm": equivalent_nm(thickness_nm=film_nm, own=own, reference=reference),
        "physical_spread_frac": SPREAD_FRAC,
        "held": [line for line in (_held(metal), _held(oxide)) if line],
    }


def _reflected(
    metal: Constants, oxide: Constants, film_nm: float, waves_nm: tuple[float, ...], at_rad: float
) -> Floats:
    spectra = reflectance(
        metal=metal.at(waves_nm), film=oxide.at(waves_nm), thickness_nm=np.array([film_nm]),
        wavelength_nm=np.array(waves_nm), at_rad=at_rad,
    )  # fmt: skip
    row: Floats = spectra[0]
    return row


@cache
def _landmarks(metal: Constants, oxide: Constants, optics: Optics) -> Landmarks:
    """Landmarks are of the pair, by daylight and straight above, whatever light the case has."""
    found = landmarks(
        substrate=metal.at(), film=oxide.at(), illuminant=optics.light("D65").table(), observer=optics.observer.table()
    )
    if found is None:
        raise Refused(
            field="film", wanted="a film that goes through straw, purple and pale on this metal",
            got=f"{oxide.name} on {metal.name}", reason="refused.case",
        )  # fmt: skip
    return found


def _held(constants: Constants) -> str:
    """The sentence about a table that ends inside the visible range."""
    span = constants.held_outside_nm()
    if span is None:
        return ""
    parts = []
    if span[0] > WAVELENGTH_NM[0]:
        parts.append(f"below {span[0]:g} nm")
    if span[1] < WAVELENGTH_NM[-1]:
        parts.append(f"above {span[1]:g} nm")
    return f"{constants.name}: its table ends; {' and '.join(parts)} the end value holds"
