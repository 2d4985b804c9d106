"""The bare groove: single V with a land, or square, its width and its area at any height above the inside."""

from __future__ import annotations

import math

from brightroot.base.errors import Refused
from brightroot.base.formula import formula
from brightroot.base.source import Standing
from brightroot.physics.demand import not_negative, positive, said

WIDEST_INCLUDED_RAD = math.radians(120)
HOLDS = {
    "gap_m": (0.0, 0.008),
    "land_m": (0.0, 0.004),
    "included_angle_rad": (0.0, WIDEST_INCLUDED_RAD),
    "wall_m": (0.0005, 0.04),
}


@formula(
    result="groove_width_m",
    equation="w(z) = gap + 2 (z − land) tan(α/2) above the land, gap below it",
    hand="{gap_m:mm.2} mm + 2 × ({height_m:mm.2} − {land_m:mm.2}) mm × tan(half of {included_angle_rad:°.0}°)"
    " = {groove_width_m:mm.2} mm",
    source="derivation/geometry",
    standing=Standing.DERIVED,
    holds={k: v for k, v in HOLDS.items() if k != "wall_m"},
)
def groove_width_m(*, height_m: float, gap_m: float, land_m: float, included_angle_rad: float) -> float:
    """Width between the faces at a height above the inside; at the wall, the width at the outer face.

    An included angle of zero is a square groove. Below the land the width is the gap.

    >>> round(groove_width_m(height_m=0.0034, gap_m=0.0024, land_m=0.0005, included_angle_rad=math.radians(60)), 5)
    0.00575
    """
    slope = _slope(gap_m=gap_m, land_m=land_m, included_angle_rad=included_angle_rad)
    not_negative(height_m=height_m)
    return gap_m + 2 * max(0.0, height_m - land_m) * slope


@formula(
    result="groove_area_m2",
    equation="A = gap·t + (t − land)²·tan(α/2)",
    hand="{gap_m:mm.2} × {wall_m:mm.2} + ({wall_m:mm.2} − {land_m:mm.2})² × tan(half of {included_angle_rad:°.0}°)"
    " = {groove_area_m2:mm².1} mm²",
    source="derivation/geometry",
    standing=Standing.DERIVED,
    holds=HOLDS,
)
def groove_area_m2(*, gap_m: float, land_m: float, included_angle_rad: float, wall_m: float) -> float:
    """Cross-section of the empty groove, inside to outside, without cap or root.

    A square groove (angle zero) is gap × wall. A land thicker than the wall is refused. Of two unequal walls the
    caller gives the thinner one where the weld is finished flush with it.

    >>> a = groove_area_m2(gap_m=0.0024, land_m=0.0005, included_angle_rad=math.radians(60), wall_m=0.0034)
    >>> round(a * 1e6, 1)
    13.0
    """
    positive(wall_m=wall_m)
    slope = _slope(gap_m=gap_m, land_m=land_m, included_angle_rad=included_angle_rad)
    if land_m > wall_m:
        raise Refused(
            field="land_m",
            wanted=f"no more than the wall, {said(wall_m, name='wall_m')}",
            got=said(land_m, name="land_m"),
        )
    return gap_m * wall_m + (wall_m - land_m) ** 2 * slope


@formula(
    result="layer_area_m2",
    equation="A(z₁, z₂) = F(z₂) − F(z₁), F(z) = gap·z + max(0, z − land)²·tan(α/2)",
    hand="groove filled to {to_height_m:mm.2} mm less groove filled to {from_height_m:mm.2} mm"
    " = {layer_area_m2:mm².2} mm²",
    source="derivation/geometry",
    standing=Standing.DERIVED,
    holds={k: v for k, v in HOLDS.items() if k != "wall_m"},
)
def layer_area_m2(
    *, from_height_m: float, to_height_m: float, gap_m: float, land_m: float, included_angle_rad: float
) -> float:
    """Area between two heights above the inside, so that passes can fill the groove layer by layer.

    Layers that meet add up to the whole groove exactly. A top below the bottom is refused.

    >>> a = layer_area_m2(from_height_m=0, to_height_m=0.0015, gap_m=0.0024, land_m=0.0005,
    ...                   included_angle_rad=math.radians(60))
    >>> round(a * 1e6, 2)
    4.18
    """
    return slice_m2(
        from_height_m=from_height_m,
        to_height_m=to_height_m,
        gap_m=gap_m,
        land_m=land_m,
        included_angle_rad=included_angle_rad,
    )


@formula(
    result="height_m",
    equation="solve F(z) = F(z₁) + A for z, F(z) = gap·z + max(0, z − land)²·tan(α/2)",
    hand="from {from_height_m:mm.2} mm up, {layer_area_m2:mm².2} mm² fill the groove to {height_m:mm.2} mm",
    source="derivation/geometry",
    standing=Standing.DERIVED,
    holds={k: v for k, v in HOLDS.items() if k != "wall_m"},
)
def height_reached_m(
    *, layer_area_m2: float, from_height_m: float, gap_m: float, land_m: float, included_angle_rad: float
) -> float:
    """Height above the inside to which an area of metal fills the groove: the inverse of `layer_area_m2`.

    The fill's surface is taken as flat. A groove with no width anywhere (closed square butt) is refused.

    >>> h = height_reached_m(layer_area_m2=4.1774e-6, from_height_m=0, gap_m=0.0024, land_m=0.0005,
    ...                      included_angle_rad=math.radians(60))
    >>> round(h * 1000, 3)
    1.5
    """
    not_negative(layer_area_m2=layer_area_m2, from_height_m=from_height_m)
    slope = _slope(gap_m=gap_m, land_m=land_m, included_angle_rad=included_angle_rad)
    below_m2 = _filled_m2(height_m=from_height_m, gap_m=gap_m, land_m=land_m, slope=slope)
    total_m2 = below_m2 + layer_area_m2
    if total_m2 <= gap_m * land_m or slope == 0:
        if gap_m == 0:
            raise Refused(field="gap_m", wanted="an open groove to fill", got=said(gap_m, name="gap_m"))
        return total_m2 / gap_m
    # slope·y² + gap·y = rest above the land, written so that a small slope loses no digits
    rest_m2 = total_m2 - gap_m * land_m
    return land_m + 2 * rest_m2 / (gap_m + math.sqrt(gap_m**2 + 4 * slope * rest_m2))


def slice_m2(
    *, from_height_m: float, to_height_m: float, gap_m: float, land_m: float, included_angle_rad: float
) -> float:
    """The bare sum behind `layer_area_m2`, for formulas that build on it."""
    slope = _slope(gap_m=gap_m, land_m=land_m, included_angle_rad=included_angle_rad)
    not_negative(from_height_m=from_height_m, to_height_m=to_height_m)
    if to_height_m < from_height_m:
        raise Refused(
            field="to_height_m",
            wanted=f"at or above {said(from_height_m, name='from_height_m')}",
            got=said(to_height_m, name="to_height_m"),
        )
    filled = [_filled_m2(height_m=z, gap_m=gap_m, land_m=land_m, slope=slope) for z in (from_height_m, to_height_m)]
    return filled[1] - filled[0]


def _filled_m2(*, height_m: float, gap_m: float, land_m: float, slope: float) -> float:
    above_m = max(0.0, height_m - land_m)
    return gap_m * height_m + above_m * above_m * slope


def _slope(*, gap_m: float, land_m: float, included_angle_rad: float) -> float:
    not_negative(gap_m=gap_m, land_m=land_m, included_angle_rad=included_angle_rad)
    if included_angle_rad >= math.pi:
        got = said(included_angle_rad, name="included_angle_rad")
        raise Refused(field="included_angle_rad", wanted="an included angle below 180°", got=got)
    return math.tan(included_angle_rad / 2)
