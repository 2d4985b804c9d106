"""Appearance-equivalent thickness: the film on the reference pair that looks as this film does on this pair."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from brightroot.base.spectrum import Complexes, Floats
from brightroot.physics.tint.table import lab_table

REFERENCE = ("Ti/Johnson", "TiO2/Siefke")
SPREAD_FRAC = 0.25  # published constants move a colour this far; so far is a physical thickness known
STEP_NM = 0.25
SEARCHED_NM: Floats = np.arange(0.0, 400.0, STEP_NM)


@dataclass(frozen=True, slots=True)
class Landmarks:
    """Films at which a pair passes the same points of the colour sequence, under one light and straight above."""

    first_purple_nm: float  # b* first falls through nothing: straw has become purple
    first_pale_nm: float  # b* climbs back through nothing: light blue has become pale
    second_yellow_nm: float  # b* is largest in the second order
    second_purple_nm: float  # b* falls through nothing again

    def points(self) -> tuple[float, ...]:
        """The four films in rising order."""
        return (self.first_purple_nm, self.first_pale_nm, self.second_yellow_nm, self.second_purple_nm)


def landmarks(*, substrate: Complexes, film: Complexes, illuminant: Floats, observer: Floats) -> Landmarks | None:
    """The landmarks of a pair, to a hundredth of a nanometre; None where it does not go through such a sequence."""
    table = lab_table(
        substrate=substrate, film=film, illuminant=illuminant, observer=observer, thickness_nm=SEARCHED_NM
    )  # fmt: skip
    b = table[:, 2]
    falls = [i for i, (one, two) in enumerate(pairwise(b)) if one > 0 >= two]
    climbs = [i for i, (one, two) in enumerate(pairwise(b)) if one < 0 <= two and falls and i > falls[0]]
    if len(falls) < 2 or not climbs or not falls[0] < climbs[0] < falls[1]:
        return None
    top = climbs[0] + int(np.argmax(b[climbs[0] : falls[1] + 1]))
    left, mid, right = b[top - 1 : top + 2]
    bend = left - 2 * mid + right
    yellow = SEARCHED_NM[top] + (STEP_NM * (left - right) / (2 * bend) if bend else 0.0)
    return Landmarks(_zero(b, falls[0]), _zero(b, climbs[0]), float(yellow), _zero(b, falls[1]))


def _zero(b: Floats, index: int) -> float:
    return float(SEARCHED_NM[index] + STEP_NM * b[index] / (b[index] - b[index + 1]))


def equivalent_nm(*, thickness_nm: float, own: Landmarks, reference: Landmarks) -> float:
    """The reference pair's film of the same place in the sequence: straight between landmarks, from nothing at nothing.

    Past the last landmark it goes on at the pace of the second order. A bare metal's own hue is not carried over.

    >>> pair = Landmarks(30.0, 75.0, 104.0, 121.5)
    >>> reference = Landmarks(34.8, 82.5, 116.2, 134.7)
    >>> [round(equivalent_nm(thickness_nm=nm, own=pair, reference=reference), 1) for nm in (15.0, 30.0, 104.0, 200.0)]
    [17.4, 34.8, 116.2, 222.8]
    """
    return _moved(thickness_nm, own.points(), reference.points())


def physical_nm(*, equivalent_nm: float, own: Landmarks, reference: Landmarks) -> float:
    """The film on this pair that looks as an equivalent thickness does; only as good as ±25 %."""
    return _moved(equivalent_nm, reference.points(), own.points())


def _moved(value_nm: float, from_nm: tuple[float, ...], to_nm: tuple[float, ...]) -> float:
    if value_nm > from_nm[-1]:
        pace = (to_nm[-1] - to_nm[1]) / (from_nm[-1] - from_nm[1])
        return to_nm[-1] + (value_nm - from_nm[-1]) * pace
    return float(np.interp(value_nm, (0.0, *from_nm), (0.0, *to_nm)))
