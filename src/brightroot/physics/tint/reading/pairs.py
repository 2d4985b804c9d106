"""The packed table made from optical constants: pairs of metal and oxide, each on the axis of equivalent thickness."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from brightroot.base.spectrum import Complexes, Floats
from brightroot.physics.tint.equivalent import REFERENCE, landmarks, physical_nm
from brightroot.physics.tint.reading.table import LEVELS_NM, Array, Table, packed
from brightroot.physics.tint.table import linear_rgb_table

PAIRS = (
    ("Ti/Johnson", "TiO2/Siefke"),
    ("Ti/Palm", "TiO2/Siefke"),
    ("Ti/Rakic-LD", "TiO2/Sarkar"),
    ("Ti/Mash", "TiO2/Franta"),
    ("Ti/Johnson", "TiO2/Jolivet-amorphous"),
    ("Ti/Palm", "TiO2/Jolivet-anatase"),
    ("Ti/Mash", "TiO2/Devore-o"),
)
DAY = "D65"
LIGHTS = (DAY, "A", "LED-B3", "FL11")


def titanium_table(
    *, metals: Mapping[str, Complexes], oxides: Mapping[str, Complexes], lights: Mapping[str, Floats], observer: Floats
) -> Table:
    """Titanium under its oxide: every pair whose colours go through the sequence, under every light.

    Which landmarks belong together is settled in daylight; a lamp changes the colours, not what is called equivalent.
    """
    day = lights[DAY]
    marks = {
        pair: landmarks(substrate=metals[pair[0]], film=oxides[pair[1]], illuminant=day, observer=observer)
        for pair in PAIRS
    }
    reference = marks[REFERENCE]
    assert reference is not None
    colours: dict[str, Array] = {}
    for pair, own in marks.items():
        if own is None:
            continue
        thickness = np.array([physical_nm(equivalent_nm=float(nm), own=own, reference=reference) for nm in LEVELS_NM])
        for light in LIGHTS:
            colours[f"{pair[0]}+{pair[1]}|{light}"] = linear_rgb_table(
                substrate=metals[pair[0]], film=oxides[pair[1]], illuminant=lights[light], observer=observer,
                thickness_nm=thickness, relative=False,
            )  # fmt: skip
    return packed(colours)
