"""A film on metal: reflectance (Airy), colour, and the appearance-equivalent thickness by landmarks of colour."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from benchmarks.tint_renderer.tables import LAMBDA_NM, Floats, constants, light, observer

Complexes = NDArray[np.complex128]
STEP_NM = 0.5
PHYSICAL_NM: Floats = np.arange(0.0, 420.0, STEP_NM)
REFERENCE = ("Ti/Johnson", "TiO2/Siefke")


@dataclass(frozen=True, eq=False, slots=True)
class Pair:
    """Metal and film as they are in one photograph."""

    name: str
    metal: Complexes
    film: Complexes


def published(metal: str, film: str) -> Pair:
    """A pair straight from the tables."""
    return Pair(f"{metal} + {film}", constants(metal), constants(film))


def perturbed(rng: np.random.Generator, metals: tuple[str, ...], films: tuple[str, ...]) -> Pair:
    """A pair nobody holds: two tables of each mixed, then index and loss moved."""
    one, two = (constants(name) for name in rng.choice(metals, 2))
    share = rng.uniform(0, 1)
    metal = share * one + (1 - share) * two
    metal = metal.real * rng.uniform(0.93, 1.07) + 1j * metal.imag * rng.uniform(0.93, 1.07)
    one, two = (constants(name) for name in rng.choice(films, 2))
    share = rng.uniform(0, 1)
    film = share * one + (1 - share) * two
    tilt = 1 + rng.uniform(-0.03, 0.03) + rng.uniform(-0.015, 0.015) * (550 - LAMBDA_NM) / 150
    loss = rng.uniform(0, 0.03) * np.exp(-(LAMBDA_NM - 380) / rng.uniform(40, 120))
    return Pair(f"{'/'.join(metals)} + {'/'.join(films)}, moved", metal, film.real * tilt + 1j * (film.imag + loss))


def reflectance(pair: Pair, *, film_nm: Floats, angle_rad: float) -> Floats:
    """Unpolarised reflectance, thickness by wavelength."""
    sine2 = np.sin(angle_rad) ** 2
    q0 = np.cos(angle_rad) + 0j
    q1, q2 = np.sqrt(pair.film**2 - sine2), np.sqrt(pair.metal**2 - sine2)
    turn = np.exp(4j * np.pi * np.outer(film_nm, q1 / LAMBDA_NM))
    total = np.zeros(turn.shape)
    for e0, e1, e2 in ((1, 1, 1), (1, pair.film**2, pair.metal**2)):
        r01 = (q0 / e0 - q1 / e1) / (q0 / e0 + q1 / e1)
        r12 = (q1 / e1 - q2 / e2) / (q1 / e1 + q2 / e2)
        total += np.abs((r01 + r12 * turn) / (1 + r01 * r12 * turn)) ** 2 / 2
    return total


def lab(spectra: Floats, lit: Floats) -> Floats:
    """CIELAB under the light, its own white."""
    weights = observer() * lit
    xyz = spectra @ weights.T / weights.sum(axis=1)
    t = np.where(xyz > (6 / 29) ** 3, np.cbrt(xyz), xyz * (29 / 6) ** 2 / 3 + 4 / 29)
    return np.stack([116 * t[..., 1] - 16, 500 * (t[..., 0] - t[..., 1]), 200 * (t[..., 1] - t[..., 2])], axis=-1)


def landmarks(pair: Pair) -> Floats:
    """Physical nm of: first b* = 0, second b* = 0, the second yellow's greatest b*, the second purple (b* = 0 again)."""
    b = lab(reflectance(pair, film_nm=PHYSICAL_NM, angle_rad=0.0), light("D65"))[:, 2]
    top = int(np.argmax(b[: int(60 / STEP_NM)]))  # the first yellow
    marks = []
    down = _crossing(b, top, falling=True)
    up = _crossing(b, int(down) + 1, falling=False)
    again = _crossing(b, int(up) + 1, falling=True)
    marks = [down, up, float(int(up) + np.argmax(b[int(up) : int(again) + 1])), again]
    return np.asarray(marks) * STEP_NM


def _crossing(b: Floats, start: int, *, falling: bool) -> float:
    sign = -1.0 if falling else 1.0
    for i in range(start, len(b) - 1):
        if sign * b[i] < 0 <= sign * b[i + 1]:
            return float(i + b[i] / (b[i] - b[i + 1]))
    return float(len(b) - 1)


def equivalent_nm(pair: Pair, film_nm: Floats) -> Floats:
    """What film of the reference pair stands at the same place in the sequence; beyond the last landmark, in proportion."""
    here = np.concatenate([[0.0], landmarks(pair)])
    there = np.concatenate([[0.0], landmarks(published(*REFERENCE))])
    return _through(film_nm, here, there)


def physical_nm(pair: Pair, equivalent: Floats) -> Floats:
    """The other way."""
    here = np.concatenate([[0.0], landmarks(pair)])
    there = np.concatenate([[0.0], landmarks(published(*REFERENCE))])
    return _through(equivalent, there, here)


def _through(x: Floats, xs: Floats, ys: Floats) -> Floats:
    slope = ys[-1] / xs[-1]
    return np.where(x > xs[-1], ys[-1] + (x - xs[-1]) * slope, np.interp(x, xs, ys))
