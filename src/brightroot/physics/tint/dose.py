"""Oxygen dose and the film it grows: what the gas did to hot titanium, in nanometres, good to a factor of three."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from brightroot.base.formula import Band, formula
from brightroot.base.source import Standing
from brightroot.physics.demand import not_negative

HOT_K = 873.15
FIRST_FILM_NM = 3.0
NM_PER_PPM_S = 0.0075
FACTOR = 3.0
BEYOND_FRAC_S = 7000e-6  # above this dose only "purple/blue or thicker" can be said


def hot_time_s(history_s_K: Sequence[tuple[float, float]], *, over_K: float = HOT_K) -> float:
    """Seconds that a temperature history spends above a temperature, straight between its points.

    >>> hot_time_s([(0.0, 300.0), (10.0, 1300.0), (20.0, 300.0)], over_K=800.0)
    10.0
    """
    total = 0.0
    for (t0, k0), (t1, k1) in pairwise(history_s_K):
        low, high = sorted((k0, k1))
        if high > over_K:
            total += (t1 - t0) * (1.0 if low >= over_K else (high - over_K) / (high - low))
    return total


@formula(
    result="dose_frac_s",
    equation="dose = (ppm O₂ + ½ ppm H₂O) · seconds above 600 °C",
    hand="({oxygen_frac:ppm.0} + {moisture_frac:ppm.0}/2) ppm × {hot_s:s.1} s = {dose_frac_s:ppm·s.0} ppm·s",
    source="derivation/oxygen-supply",
    standing=Standing.DERIVED,
    holds={"oxygen_frac": (0.0, 0.001), "moisture_frac": (0.0, 0.001), "hot_s": (0.0, 3600.0)},
)
def dose_frac_s(*, oxygen_frac: float, moisture_frac: float, hot_s: float) -> float:
    """Oxygen dose of hot metal: what the gas carried while the metal was over 600 °C.

    >>> round(dose_frac_s(oxygen_frac=20e-6, moisture_frac=0.0, hot_s=10.0) * 1e6)
    200
    """
    not_negative(oxygen_frac=oxygen_frac, moisture_frac=moisture_frac, hot_s=hot_s)
    return (oxygen_frac + moisture_frac / 2) * hot_s


@formula(
    result="film_m",
    equation="d = 3 nm + 0.0075 nm/(ppm·s) · dose, good to a factor of three",
    hand="3 nm + 0.0075 × {dose_frac_s:ppm·s.0} ppm·s = {film_m:nm.1} nm, a third to three times that",
    source="derivation/oxygen-supply",
    where="boundary layer with Sh 5.2 over 20 mm",
    standing=Standing.DERIVED,
    holds={"dose_frac_s": (0.0, BEYOND_FRAC_S)},
)
def film_m(*, dose_frac_s: float) -> Band:
    """Film grown by a dose under a trailing shield or at the root, titanium only.

    The coefficient runs from 0.0066 at 600 °C to 0.0089 at 1227 °C. Not compared with real beads yet.

    >>> [round(end * 1e9, 1) for end in film_m(dose_frac_s=200e-6)]
    [3.5, 4.5, 7.5]
    """
    not_negative(dose_frac_s=dose_frac_s)
    grown = NM_PER_PPM_S * dose_frac_s * 1e6
    return Band(*((FIRST_FILM_NM + grown * k) * 1e-9 for k in (1 / FACTOR, 1.0, FACTOR)))


def likely_film_m(*, low_frac_s: float, value_frac_s: float, high_frac_s: float) -> Band:
    """Film of a dose that is itself a range: the dose's factor and the model's three, taken as independent.

    Factors multiply, so their logarithms combine in quadrature; the card's own range takes both at their ends at once.

    >>> film = likely_film_m(low_frac_s=100e-6, value_frac_s=500e-6, high_frac_s=2500e-6)
    >>> [round(end * 1e9, 1) for end in film]
    [3.5, 6.8, 29.3]
    """
    if value_frac_s <= 0:
        return Band(*(FIRST_FILM_NM * 1e-9,) * 3)

    def together(end_frac_s: float) -> float:
        return math.exp(math.hypot(math.log(max(end_frac_s, 1e-12) / value_frac_s), math.log(FACTOR)))

    grown_m = NM_PER_PPM_S * value_frac_s * 1e6 * 1e-9
    first_m = FIRST_FILM_NM * 1e-9
    return Band(first_m + grown_m / together(low_frac_s), first_m + grown_m, first_m + grown_m * together(high_frac_s))
