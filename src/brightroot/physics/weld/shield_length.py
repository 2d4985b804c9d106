"""The trailing gas shield: the least length that keeps the metal covered until it is cold enough to let go."""

from __future__ import annotations

import math

from brightroot.base.formula import formula
from brightroot.base.source import Standing
from brightroot.physics.demand import not_negative, positive


@formula(
    result="hot_length_m",
    equation="L_hot = v·t_above",
    hand="{travel_m_s:mm/min.0} mm/min × {time_above_s:s.0} s / 60 = {hot_length_m:mm.0} mm",
    source="derivation/geometry",
    standing=Standing.DERIVED,
    holds={"travel_m_s": (0.0002, 0.02), "time_above_s": (0.0, 600.0)},
)
def hot_length_m(*, travel_m_s: float, time_above_s: float) -> float:
    """Length behind the arc that is still above the release temperature, in steady travel.

    On a short run it is never longer than the run itself plus the pool: the thermal engine knows, this rule does not.

    >>> round(hot_length_m(travel_m_s=0.0015, time_above_s=24), 4)
    0.036
    """
    positive(travel_m_s=travel_m_s)
    not_negative(time_above_s=time_above_s)
    return travel_m_s * time_above_s


@formula(
    result="shield_length_m",
    equation="L = L_hot + allowance",
    hand="{hot_length_m:mm.0} + {allowance_m:mm.0} = {shield_length_m:mm.0} mm",
    source="derivation/geometry",
    standing=Standing.DERIVED,
    holds={"hot_length_m": (0.0, 1.0), "allowance_m": (0.0, 0.1)},
)
def shield_length_m(*, hot_length_m: float, allowance_m: float) -> float:
    """Least length of shield behind the cup: the hot length and an allowance for the shield's own poor end.

    >>> round(shield_length_m(hot_length_m=0.036, allowance_m=0.02), 3)
    0.056
    """
    not_negative(hot_length_m=hot_length_m, allowance_m=allowance_m)
    return hot_length_m + allowance_m


@formula(
    result="shield_spare_m",
    equation="spare = L_in_hand − L_needed",
    hand="{shield_in_hand_m:mm.0} − {shield_length_m:mm.0} = {shield_spare_m:mm.0} mm",
    source="derivation/geometry",
    standing=Standing.DERIVED,
)
def shield_spare_m(*, shield_in_hand_m: float, shield_length_m: float) -> float:
    """How much longer the shield in hand is than the one needed; negative is too short by that much.

    >>> round(shield_spare_m(shield_in_hand_m=0.05, shield_length_m=0.056), 3)
    -0.006
    """
    positive(shield_in_hand_m=shield_in_hand_m, shield_length_m=shield_length_m)
    return shield_in_hand_m - shield_length_m


@formula(
    result="travel_m_s",
    equation="v = (L_in_hand − allowance)/t_above",
    hand="({shield_in_hand_m:mm.0} − {allowance_m:mm.0}) mm / {time_above_s:s.0} s × 60 = {travel_m_s:mm/min.0} mm/min",
    source="derivation/geometry",
    standing=Standing.DERIVED,
    holds={"time_above_s": (0.5, 600.0)},
)
def travel_for_shield_m_s(*, shield_in_hand_m: float, allowance_m: float, time_above_s: float) -> float:
    """Fastest travel that the shield in hand still covers; zero where it is no longer than its allowance.

    Faster travel also heats less, which shortens the time above: taking that time as fixed errs on the long side.

    >>> round(travel_for_shield_m_s(shield_in_hand_m=0.06, allowance_m=0.02, time_above_s=24) * 60000)
    100
    """
    positive(shield_in_hand_m=shield_in_hand_m, time_above_s=time_above_s)
    not_negative(allowance_m=allowance_m)
    return max(0.0, shield_in_hand_m - allowance_m) / time_above_s


@formula(
    result="lift_m",
    equation="lift = √(R² + (L/2)²) − R, R = OD/2",
    hand="a straight {shield_in_hand_m:mm.0} mm shield on {outer_diameter_m:mm.1} mm pipe stands {lift_m:mm.1} mm off"
    " at each end",
    source="derivation/geometry",
    standing=Standing.DERIVED,
    holds={"outer_diameter_m": (0.006, 2.0), "shield_in_hand_m": (0.0, 0.3)},
)
def lift_m(*, shield_in_hand_m: float, outer_diameter_m: float) -> float:
    """How far the ends of a straight shield stand off the pipe when its middle touches.

    More than a few millimetres lets air under it (common practice, no source): use a curved shield. Laid along the
    weld of a small pipe, a long straight shield gives less cover than a short one.

    >>> round(lift_m(shield_in_hand_m=0.06, outer_diameter_m=0.0889) * 1000, 1)
    9.2
    """
    positive(shield_in_hand_m=shield_in_hand_m, outer_diameter_m=outer_diameter_m)
    return math.hypot(outer_diameter_m / 2, shield_in_hand_m / 2) - outer_diameter_m / 2
