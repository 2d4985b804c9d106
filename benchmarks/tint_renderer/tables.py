"""The renderer's own tables: optical constants, the observer, and lights, on 380 to 780 nm in steps of 5 nm."""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

LAMBDA_NM: Floats = np.arange(380.0, 781.0, 5.0)


@cache
def _document() -> dict[str, Any]:
    found: dict[str, Any] = json.loads((Path(__file__).parent / "tables.json").read_text(encoding="utf-8"))
    return found


def constants(name: str) -> NDArray[np.complex128]:
    """n + ik of a material; where its table ends, the end value holds."""
    row = _document()["materials"][name]
    return np.asarray(row["n"]) + 1j * np.asarray(row["k"])


def observer() -> Floats:
    """CIE 1931, 2 degrees: rows x, y, z."""
    return np.asarray(_document()["cmf"])


def light(name: str) -> Floats:
    """A published light, its highest value 1."""
    return np.asarray(_document()["lights"][name])


def glowing(kelvin: float) -> Floats:
    """A black body's spectrum, 1 at 560 nm."""
    lam = LAMBDA_NM * 1e-9
    radiance = lam**-5 / np.expm1(1.4388e-2 / (lam * kelvin))
    return np.asarray(radiance / np.interp(560.0, LAMBDA_NM, radiance))


def daylight(kelvin: float) -> Floats:
    """Daylight by a stretch of D65 towards warmer or colder, good enough to be a light nobody has in a table."""
    return np.asarray(light("D65") * glowing(kelvin) / glowing(6504.0))
