"""From reflectance to colour: XYZ, CIELAB, and the screen's sRGB after Bradford adaptation to D65."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from brightroot.base.spectrum import Floats

# IEC 61966-2-1: linear sRGB from XYZ (its printed four digits) and its white, D65
RGB_FROM_XYZ: Floats = np.array(
    [[3.2406, -1.5372, -0.4986], [-0.9689, 1.8758, 0.0415], [0.0557, -0.2040, 1.0570]]
)  # fmt: skip
D65_XYZ: Floats = np.array([0.3127 / 0.3290, 1.0, (1 - 0.3127 - 0.3290) / 0.3290])
# Lam 1985 (Bradford), as ICC.1 prints it
BRADFORD: Floats = np.array(
    [[0.8951, 0.2664, -0.1614], [-0.7502, 1.7135, 0.0367], [0.0389, -0.0685, 1.0296]]
)  # fmt: skip
GAMUT_SLACK = 1e-4
LAB_LINEAR = (6 / 29) ** 3


@dataclass(frozen=True, slots=True, eq=False)
class Screen:
    """What a screen shows: eight bits a channel, and whether the colour was inside what a screen can show."""

    eight_bit: Floats
    in_gamut: bool


def weights(*, light: Floats, observer: Floats) -> Floats:
    """Wavelength by x, y, z: the sum of reflectance × this is XYZ with a perfect white at Y = 1.

    `light` is the power at each wavelength, `observer` the three colour-matching functions beside each other.
    """
    lit = light[:, None] * observer
    total: Floats = lit / lit[:, 1].sum()
    return total


def lab(*, xyz: Floats, white_xyz: Floats) -> Floats:
    """CIELAB against that white, with no adaptation (CIE 015).

    >>> white = np.array([0.95, 1.0, 1.09])
    >>> lab(xyz=white * 0.184187, white_xyz=white).round(2).tolist()
    [50.0, 0.0, 0.0]
    """
    ratio = xyz / white_xyz
    f = np.where(ratio > LAB_LINEAR, np.cbrt(ratio), ratio / (3 * (6 / 29) ** 2) + 4 / 29)
    x, y, z = np.moveaxis(f, -1, 0)
    return np.stack([116 * y - 16, 500 * (x - y), 200 * (y - z)], axis=-1)


def linear_srgb(*, xyz: Floats, white_xyz: Floats) -> Floats:
    """Linear sRGB channels after Bradford adaptation from that white to D65; not clipped, 1 is a perfect white."""
    seen, shown = BRADFORD @ white_xyz, BRADFORD @ D65_XYZ
    adapt = np.linalg.inv(BRADFORD) @ np.diag(shown / seen) @ BRADFORD
    channels: Floats = xyz @ (RGB_FROM_XYZ @ adapt).T
    return channels


def on_screen(*, linear: Floats) -> Screen:
    """The nearest eight-bit sRGB of one colour, clipped to what a screen has, and whether it had to be clipped."""
    inside = bool(np.all(linear >= -GAMUT_SLACK) and np.all(linear <= 1 + GAMUT_SLACK))
    cut = np.clip(linear, 0.0, 1.0)
    coded = np.where(cut <= 0.0031308, 12.92 * cut, 1.055 * cut ** (1 / 2.4) - 0.055)
    return Screen(np.rint(coded * 255), inside)
