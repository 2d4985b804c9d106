"""The space to purge: inside area, the volume between dams, the volume of a whole run."""

from __future__ import annotations

import math

from brightroot.base.formula import formula
from brightroot.base.source import Standing
from brightroot.physics.demand import not_negative, positive

HOLDS = {"bore_m": (0.004, 2.0)}


@formula(
    result="bore_area_m2",
    equation="A = π/4·bore²",
    hand="π/4 × {bore_m:mm.1}² = {bore_area_m2:mm².0} mm²",
    source="derivation/geometry",
    standing=Standing.DERIVED,
    holds=HOLDS,
)
def bore_area_m2(*, bore_m: float) -> float:
    """Area of the pipe's inside.

    >>> round(bore_area_m2(bore_m=0.1615) * 1e6)
    20485
    """
    positive(bore_m=bore_m)
    return math.pi / 4 * bore_m**2


@formula(
    result="run_volume_m3",
    equation="V = π/4·bore²·length",
    hand="π/4 × {bore_m:mm.1}² mm² × {length_m:m.2} m = {run_volume_m3:L.2} L",
    source="derivation/geometry",
    standing=Standing.DERIVED,
    holds={**HOLDS, "length_m": (0.0, 500.0)},
)
def run_volume_m3(*, bore_m: float, length_m: float) -> float:
    """Volume of one length of pipe: a whole run without dams, or the space between two dams in one bore.

    >>> round(run_volume_m3(bore_m=0.1615, length_m=6.2) * 1000)
    127
    """
    positive(bore_m=bore_m)
    not_negative(length_m=length_m)
    return math.pi / 4 * bore_m**2 * length_m


@formula(
    result="purged_volume_m3",
    equation="V = π/4·(bore₁²·l₁ + bore₂²·l₂)",
    hand="π/4 × ({first_bore_m:mm.1}² × {first_length_m:mm.0} + {second_bore_m:mm.1}² × {second_length_m:mm.0}) mm³"
    " = {purged_volume_m3:L.2} L",
    source="derivation/geometry",
    standing=Standing.DERIVED,
    holds={
        "first_bore_m": HOLDS["bore_m"],
        "second_bore_m": HOLDS["bore_m"],
        "first_length_m": (0.0, 500.0),
        "second_length_m": (0.0, 500.0),
    },
)
def purged_volume_m3(
    *, first_bore_m: float, first_length_m: float, second_bore_m: float, second_length_m: float
) -> float:
    """Volume between the dams, from each dam to the root; the two bores may differ.

    Elbows count by their centreline; a branch is a third length that `run_volume_m3` gives.

    >>> v = purged_volume_m3(first_bore_m=0.1615, first_length_m=0.3, second_bore_m=0.1615, second_length_m=0.3)
    >>> round(v * 1000, 2)
    12.29
    """
    positive(first_bore_m=first_bore_m, second_bore_m=second_bore_m)
    not_negative(first_length_m=first_length_m, second_length_m=second_length_m)
    return math.pi / 4 * (first_bore_m**2 * first_length_m + second_bore_m**2 * second_length_m)
