"""Reflectance of a film on metal in air: every reflection inside the film added up (Airy), half s and half p."""

from __future__ import annotations

import math

import numpy as np

from brightroot.base.spectrum import WAVELENGTH_NM, Complexes, Floats


def reflectance(
    *, metal: Complexes, film: Complexes, thickness_nm: Floats, wavelength_nm: Floats | None = None, at_rad: float = 0.0
) -> Floats:
    """Thickness by wavelength. `metal` and `film` are n + ik at each wavelength; light comes from air at an angle.

    Exact for a flat, even film; no roughness. Passes to the bare metal at a thickness of nothing.

    >>> metal, film = np.array([2.54 + 3.43j]), np.array([2.4 + 0j])
    >>> [round(float(r[0]), 3) for r in reflectance(metal=metal, film=film, thickness_nm=np.array([0.0, 40.0]),
    ...     wavelength_nm=np.array([582.0]))]
    [0.582, 0.051]
    """
    waves = np.asarray(WAVELENGTH_NM if wavelength_nm is None else wavelength_nm, dtype=float)
    sine2 = math.sin(at_rad) ** 2
    cosines = (np.full(waves.shape, math.cos(at_rad), complex), np.sqrt(film**2 - sine2), np.sqrt(metal**2 - sine2))
    turn = np.exp(4j * math.pi * np.outer(thickness_nm, cosines[1] / waves))
    squares = (np.ones(waves.shape, complex), film**2, metal**2)
    across = _returned(cosines, turn)
    along = _returned(tuple(q / e for q, e in zip(cosines, squares, strict=True)), turn)
    return (across + along) / 2


def _returned(admittances: tuple[Complexes, ...], turn: Complexes) -> Floats:
    """Share of one polarisation that comes back: y = N·cos for s, cos/N for p (both up to a common factor)."""
    air, film, metal = admittances
    first, second = (air - film) / (air + film), (film - metal) / (film + metal)
    there_and_back = second * turn
    power: Floats = np.abs((first + there_and_back) / (1 + first * there_and_back)) ** 2
    return power
