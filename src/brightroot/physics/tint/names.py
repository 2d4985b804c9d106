"""What a film of titanium oxide looks like: colour names in order of thickness, as a table, and how far a dose can say."""

from __future__ import annotations

from dataclasses import dataclass

from brightroot.base.formula import Band
from brightroot.physics.tint.dose import BEYOND_FRAC_S, film_m


@dataclass(frozen=True, slots=True)
class Tint:
    """One step of the sequence: its name, the film where it ends, and the name it is easily taken for."""

    name: str
    below_m: float
    taken_for: str = ""


# Our optics' sequence for titanium under its oxide, in equivalent thickness; published constants move an edge by 25 %.
TINTS: tuple[Tint, ...] = (
    Tint("silver", 8e-9),
    Tint("light straw", 16e-9),
    Tint("gold or bronze", 31e-9),
    Tint("purple", 40e-9),
    Tint("dark blue", 56e-9),
    Tint("light blue", 78e-9),
    Tint("pale", 92e-9, taken_for="silver"),
    Tint("second yellow", 125e-9, taken_for="straw"),
    Tint("magenta", 155e-9),
)
LAST = Tint("teal, green or thicker", float("inf"))
BEYOND = "purple, blue or thicker"


@dataclass(frozen=True, slots=True)
class TintForecast:
    """Names at the low, middle and high film of a dose; past 7,000 ppm·s all three say the same."""

    low: str
    value: str
    high: str


def tint_at(*, film_m: float) -> Tint:
    """The step of the sequence that a film lies in.

    >>> tint_at(film_m=85e-9).name, tint_at(film_m=85e-9).taken_for
    ('pale', 'silver')
    """
    return next((tint for tint in TINTS if film_m < tint.below_m), LAST)


def tint_forecast(*, dose_frac_s: float, family: str) -> TintForecast | None:
    """Colour expected after an oxygen dose, with the factor of three; None for anything but titanium: not predicted.

    >>> tint_forecast(dose_frac_s=200e-6, family="titanium")
    TintForecast(low='silver', value='silver', high='silver')
    >>> tint_forecast(dose_frac_s=200e-6, family="zirconium") is None
    True
    """
    if family != "titanium":
        return None
    if dose_frac_s > BEYOND_FRAC_S:
        return TintForecast(BEYOND, BEYOND, BEYOND)
    return tint_forecast_of(film_m(dose_frac_s=dose_frac_s))


def tint_forecast_of(film_m: Band) -> TintForecast:
    """Names at the three films of a band.

    >>> tint_forecast_of(Band(3e-9, 12e-9, 60e-9))
    TintForecast(low='silver', value='light straw', high='purple, blue or thicker')
    """
    return TintForecast(*(_said(film) for film in film_m))


def _said(film: float) -> str:
    """Past the first blues the sequence repeats itself, and a dose cannot say where in it the film is."""
    tint = tint_at(film_m=film)
    return tint.name if tint in TINTS[:5] else BEYOND
