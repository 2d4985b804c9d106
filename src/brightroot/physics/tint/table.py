"""Channel by film thickness for one pair and light: what an estimator looks a pixel up in.

`substrate` and `film` are n + ik, `illuminant` the light's power, `observer` its three functions: all on WAVELENGTH_NM.
"""

from __future__ import annotations

import numpy as np

from brightroot.base.spectrum import Complexes, Floats
from brightroot.physics.tint.colour import lab, linear_srgb, weights
from brightroot.physics.tint.optics import reflectance


def xyz_table(
    *, substrate: Complexes, film: Complexes, illuminant: Floats, observer: Floats, thickness_nm: Floats, at_rad: float = 0.0
) -> Floats:  # fmt: skip
    """Thickness by X, Y, Z; a perfect white under the same light has Y = 1."""
    spectra = reflectance(metal=substrate, film=film, thickness_nm=thickness_nm, at_rad=at_rad)
    xyz: Floats = spectra @ weights(light=illuminant, observer=observer)
    return xyz


def lab_table(
    *, substrate: Complexes, film: Complexes, illuminant: Floats, observer: Floats, thickness_nm: Floats
) -> Floats:
    """Thickness by L*, a*, b* against the light's own white."""
    white = weights(light=illuminant, observer=observer).sum(axis=0)
    xyz = xyz_table(
        substrate=substrate, film=film, illuminant=illuminant, observer=observer, thickness_nm=thickness_nm
    )  # fmt: skip
    return lab(xyz=xyz, white_xyz=white)


def linear_rgb_table(
    *, substrate: Complexes, film: Complexes, illuminant: Floats, observer: Floats, thickness_nm: Floats,
    relative: bool = True, at_rad: float = 0.0,
) -> Floats:  # fmt: skip
    """Thickness by linear sRGB channel after Bradford to D65: a share of the bare metal's, or of a perfect white's.

    Channels of strong colours can fall below nothing: sRGB does not hold them. No camera has these channels exactly.
    """
    white = weights(light=illuminant, observer=observer).sum(axis=0)
    thickness = np.concatenate([[0.0], np.asarray(thickness_nm, dtype=float)])
    xyz = xyz_table(
        substrate=substrate, film=film, illuminant=illuminant, observer=observer, thickness_nm=thickness, at_rad=at_rad
    )
    channels = linear_srgb(xyz=xyz, white_xyz=white)
    return channels[1:] / channels[0] if relative else channels[1:]
