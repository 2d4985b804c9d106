"""Fit-up: how far the insides stand apart, and what the gap does round the clock.

Physics says how much; a limit, and whether it is kept, belongs to a clause.
"""

from __future__ import annotations

from dataclasses import dataclass

from brightroot.base.clock import TURN_RAD
from brightroot.base.errors import Refused
from brightroot.base.formula import formula
from brightroot.base.source import Standing
from brightroot.physics.demand import not_negative, positive

ClockGap = tuple[float, float]  # at_rad, gap_m


@formula(
    result="hilo_m",
    equation="hi-lo = |bore₁ − bore₂|/2 + offset",
    hand="|{first_bore_m:mm.2} − {second_bore_m:mm.2}| / 2 + {offset_m:mm.2} = {hilo_m:mm.2} mm",
    source="derivation/geometry",
    standing=Standing.DERIVED,
    holds={"first_bore_m": (0.004, 1.5), "second_bore_m": (0.004, 1.5), "offset_m": (0.0, 0.005)},
)
def hilo_m(*, first_bore_m: float, second_bore_m: float, offset_m: float) -> float:
    """Largest step between the insides, round pipe on axes that lie an offset apart; aligned pipe has offset zero.

    Out-of-round pipe can be worse by half the ovality of each end: measure it at the clock positions.

    >>> round(hilo_m(first_bore_m=0.1615, second_bore_m=0.1605, offset_m=0.0003) * 1000, 6)
    0.8
    """
    positive(first_bore_m=first_bore_m, second_bore_m=second_bore_m)
    not_negative(offset_m=offset_m)
    return abs(first_bore_m - second_bore_m) / 2 + offset_m


@dataclass(frozen=True, slots=True)
class GapRound:
    """The gap once round: least and largest as measured with their clock positions, and the mean round the joint."""

    least_m: float
    least_at_rad: float
    mean_m: float
    largest_m: float
    largest_at_rad: float


def gap_round(gaps: tuple[ClockGap, ...]) -> GapRound:
    """Least, mean and largest gap from measurements at clock positions, in any order, evenly spaced or not.

    The mean weighs each gap by half the arc to either neighbour, so four crowded readings count no more than one.
    Fewer than two positions, or the same position twice, are refused.

    >>> g = gap_round(((0.0, 0.0024), (3.14159, 0.0020)))
    >>> round(g.mean_m * 1000, 3), g.least_m, g.largest_m
    (2.2, 0.002, 0.0024)
    """
    ring = _in_order(gaps)
    ends = (*ring[1:], (ring[0][0] + TURN_RAD, ring[0][1]))
    mean_m = sum((b[0] - a[0]) * (a[1] + b[1]) / 2 for a, b in zip(ring, ends, strict=True)) / TURN_RAD
    least = min(ring, key=lambda g: g[1])
    largest = max(ring, key=lambda g: g[1])
    return GapRound(least[1], least[0], mean_m, largest[1], largest[0])


def gap_at_m(gaps: tuple[ClockGap, ...], *, at_rad: float) -> float:
    """The gap at a clock position, straight between the two measured neighbours.

    >>> round(gap_at_m(((0.0, 0.0024), (3.141592653589793, 0.0020)), at_rad=4.71238898038469) * 1000, 3)
    2.2
    """
    ring = _in_order(gaps)
    ends = (*ring[1:], (ring[0][0] + TURN_RAD, ring[0][1]))
    at = at_rad % TURN_RAD
    at = at if at >= ring[0][0] else at + TURN_RAD
    before, after = next((a, b) for a, b in zip(ring, ends, strict=True) if a[0] <= at <= b[0])
    return before[1] + (after[1] - before[1]) * (at - before[0]) / (after[0] - before[0])


def _in_order(gaps: tuple[ClockGap, ...]) -> tuple[ClockGap, ...]:
    for _, gap_m in gaps:
        not_negative(gap_m=gap_m)
    ring = tuple(sorted((at_rad % TURN_RAD, gap_m) for at_rad, gap_m in gaps))
    positions = {at_rad for at_rad, _ in ring}
    if len(ring) < 2 or len(positions) < len(ring):
        raise Refused(field="gap_m", wanted="gaps at two or more different clock positions", got=f"{len(positions)}")
    return ring
