"""The sequence of film colours as a picture: named stretches of thickness, and the colour of each nanometre."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class TintStretch:
    """One name: from where to where in nanometres (`high_nm` None: and beyond), and a word more about it."""

    name: str
    low_nm: float
    high_nm: float | None
    told: str  # `8–16 nm`
    note: str = ""  # what it is taken for


@dataclass(frozen=True, slots=True)
class TintShade:
    """The colour of one film: eight-bit sRGB, and CIELAB lightness."""

    film_nm: float
    red: int
    green: int
    blue: int
    lightness_1: float


@dataclass(frozen=True, slots=True)
class TintCore:
    """The whole sequence from bare metal down. Names, nanometres and hatches stand beside the colour."""

    title: str
    stretches: tuple[TintStretch, ...]
    shades: tuple[TintShade, ...]
    length_label: str  # what the length of a bar is
    unit_label: str
