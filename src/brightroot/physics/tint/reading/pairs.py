"""Ways a photograph of tinted titanium may have come about, drawn at random around the published constants.

The published tables differ from each other more than any one of them claims to; so metals and oxides are mixed and
moved about as far as that. Cameras are three smooth sensitivities and a matrix fitted in daylight, as makers do.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from brightroot.base.spectrum import WAVELENGTH_NM, Complexes, Floats
from brightroot.physics.tint.colour import RGB_FROM_XYZ
from brightroot.physics.tint.equivalent import REFERENCE, landmarks, physical_nm
from brightroot.physics.tint.optics import reflectance
from brightroot.physics.tint.reading.table import LEVELS_NM, Array, Table, features_of, packed

METALS = ("Ti/Johnson", "Ti/Palm", "Ti/Rakic-LD", "Ti/Mash")
OXIDES = (
    "TiO2/Siefke",
    "TiO2/Sarkar",
    "TiO2/Franta",
    "TiO2/Jolivet-amorphous",
    "TiO2/Jolivet-anatase",
    "TiO2/Devore-o",
)
WAVES: Floats = np.asarray(WAVELENGTH_NM, float)


@dataclass(frozen=True, eq=False, slots=True)
class Spectra:
    """Everything that ways are drawn from."""

    metals: Mapping[str, Complexes]
    oxides: Mapping[str, Complexes]
    lights: Mapping[str, Floats]
    observer: Floats


def titanium_table(spectra: Spectra, *, ways: int, seed: int) -> Table:
    """Draw so many ways and pack them. The same seed gives the same table."""
    rng = np.random.default_rng(seed)
    day = spectra.lights["D65"]
    reference = landmarks(
        substrate=spectra.metals[REFERENCE[0]],
        film=spectra.oxides[REFERENCE[1]],
        illuminant=day,
        observer=spectra.observer,
    )
    assert reference is not None
    courses: list[Array] = []
    while len(courses) < ways:
        metal, film = _pair(rng, spectra)
        own = landmarks(substrate=metal, film=film, illuminant=day, observer=spectra.observer)
        if own is None:
            continue
        thickness = np.array([physical_nm(equivalent_nm=float(nm), own=own, reference=reference) for nm in LEVELS_NM])
        seen = reflectance(metal=metal, film=film, thickness_nm=thickness)
        for _ in range(3):
            channels = _photographed(rng, seen, spectra)
            native = np.array([np.interp(rng.uniform(0.2, 3.0), LEVELS_NM, channels[:, c]) for c in range(3)])
            courses.append(features_of(_toned(rng, channels / native)))
    return packed(np.asarray(courses[:ways]))


def _mixed(rng: np.random.Generator, tables: Mapping[str, Complexes], names: Sequence[str]) -> Complexes:
    one, two = (tables[str(name)] for name in rng.choice(list(names), 2))
    share = rng.uniform()
    return np.asarray(share * one + (1 - share) * two)


def _pair(rng: np.random.Generator, spectra: Spectra) -> tuple[Complexes, Complexes]:
    """A metal and an oxide between two tables of each, moved by a few per cent; the oxide may swallow some blue."""
    metal = _mixed(rng, spectra.metals, METALS)
    metal = metal.real * rng.normal(1, 0.04) + 1j * metal.imag * rng.normal(1, 0.04)
    film = _mixed(rng, spectra.oxides, OXIDES)
    tilt = rng.normal(1, 0.02) + rng.normal(0, 0.01) * (550 - WAVES) / 150
    loss = abs(rng.normal(0, 0.02)) * np.exp(-(WAVES - 380) / rng.uniform(40, 120))
    return metal, film.real * tilt + 1j * (film.imag + loss)


def _photographed(rng: np.random.Generator, seen: Floats, spectra: Spectra) -> Array:
    """Linear channels (level × 3) of a camera under a light, white balanced to within some per cent."""
    names = list(spectra.lights)
    light = rng.dirichlet(np.full(len(names), 0.35)) @ np.asarray(
        [spectra.lights[n] / spectra.lights[n].mean() for n in names]
    )
    curves, matrix = _camera(rng, spectra)
    raw = (seen * light) @ curves.T / (curves @ light)
    gloss = abs(rng.normal(0, 0.05)) * raw[0].mean()
    balanced = (raw + gloss) * np.exp(rng.normal(0, 0.05, 3))
    return np.asarray(np.maximum(balanced @ matrix.T, 0.003))


def _camera(rng: np.random.Generator, spectra: Spectra) -> tuple[Array, Array]:
    """Sensitivities (3 rows) and the matrix to linear sRGB, white kept white, colours strengthened to taste."""
    peaks, widths = rng.uniform((588, 524, 445), (620, 547, 472)), rng.uniform((26, 30, 22), (46, 48, 38))
    curves = np.exp(-0.5 * ((WAVES - peaks[:, None]) / widths[:, None]) ** 2)
    curves[0] += rng.uniform(0, 0.15) * np.exp(-0.5 * ((WAVES - 535) / 35) ** 2)
    curves[1] += rng.uniform(0, 0.12) * np.exp(-0.5 * ((WAVES - 610) / 30) ** 2)
    curves[2] += rng.uniform(0, 0.12) * np.exp(-0.5 * ((WAVES - 520) / 30) ** 2)
    curves *= 1 / (1 + np.exp((WAVES - rng.uniform(650, 700)) / 8))
    middle, wide = rng.uniform(380, 780, (80, 1)), rng.uniform(25, 150, (80, 1))
    patches = 0.05 + rng.uniform(0.1, 0.9, (80, 1)) * np.exp(-0.5 * ((WAVES - middle) / wide) ** 2)
    day = spectra.lights["D65"]
    raw = (patches * day) @ curves.T / (curves @ day)
    lit = spectra.observer * day[:, None]
    wanted = (patches @ lit) / lit[:, 1].sum() @ RGB_FROM_XYZ.T
    matrix = np.linalg.lstsq(raw, wanted, rcond=None)[0].T
    matrix /= matrix.sum(axis=1, keepdims=True)
    strength = rng.uniform(0.95, 1.22)
    grey = np.tile([0.2126, 0.7152, 0.0722], (3, 1))
    return curves, (strength * np.eye(3) + (1 - strength) * grey) @ matrix


def _toned(rng: np.random.Generator, ratio: Array) -> Array:
    """The camera's tone about the clean metal's: steeper or flatter, and bent."""
    logs = np.log(ratio)
    told = rng.uniform(0.7, 1.35) * logs + rng.normal(0, 0.03) * logs**2
    return np.asarray(np.exp(np.clip(told, -8, 2)))
