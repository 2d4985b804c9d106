"""Metal beyond the wall: the cap outside and the root inside, both as a parabolic segment.

Why a parabola: a shallow pool held by surface tension has nearly even curvature, and a flat arc is a parabola to
within 2 % of its area while its height is below a sixth of its width. A triangle (1/2) would be too little, a box too
much; the true bead lies within about ±10 % of 2/3 · width · height.
"""

from __future__ import annotations

from brightroot.base.formula import formula
from brightroot.base.source import Standing
from brightroot.physics.demand import not_negative

SEGMENT = 2 / 3  # area of a parabolic segment over width × height
SEGMENT_CENTROID = 2 / 5  # its centroid above the chord, over the height


@formula(
    result="cap_width_m",
    equation="w_cap = w_groove + 2·overlap",
    hand="{groove_width_m:mm.1} + 2 × {overlap_m:mm.1} = {cap_width_m:mm.1} mm",
    source="derivation/geometry",
    standing=Standing.DERIVED,
    holds={"groove_width_m": (0.0, 0.06), "overlap_m": (0.0, 0.005)},
)
def cap_width_m(*, groove_width_m: float, overlap_m: float) -> float:
    """Width of the cap: the groove's at the outer face and the stated overlap on each side.

    >>> round(cap_width_m(groove_width_m=0.00575, overlap_m=0.001), 5)
    0.00775
    """
    not_negative(groove_width_m=groove_width_m, overlap_m=overlap_m)
    return groove_width_m + 2 * overlap_m


@formula(
    result="cap_area_m2",
    equation="A = 2/3·w·h",
    hand="2/3 × {cap_width_m:mm.1} × {cap_height_m:mm.2} = {cap_area_m2:mm².2} mm²",
    source="derivation/geometry",
    where="parabolic segment",
    standing=Standing.DERIVED,
    holds={"cap_width_m": (0.0, 0.06), "cap_height_m": (0.0, 0.006)},
)
def cap_area_m2(*, cap_width_m: float, cap_height_m: float) -> float:
    """Area of the cap (reinforcement) above the outer face, as a parabolic segment.

    >>> round(cap_area_m2(cap_width_m=0.00775, cap_height_m=0.001) * 1e6, 2)
    5.17
    """
    not_negative(cap_width_m=cap_width_m, cap_height_m=cap_height_m)
    return SEGMENT * cap_width_m * cap_height_m


@formula(
    result="root_area_m2",
    equation="A = 2/3·(gap + 2·melt_in)·h",
    hand="2/3 × ({gap_m:mm.1} + 2 × {melt_in_m:mm.1}) × {protrusion_m:mm.2} = {root_area_m2:mm².2} mm²",
    source="derivation/geometry",
    where="parabolic segment",
    standing=Standing.DERIVED,
    holds={"gap_m": (0.0, 0.008), "melt_in_m": (0.0, 0.004), "protrusion_m": (0.0, 0.004)},
)
def root_area_m2(*, gap_m: float, melt_in_m: float, protrusion_m: float) -> float:
    """Area of the root inside the bore: the gap and the edge melted in on each side wide, the protrusion high.

    >>> round(root_area_m2(gap_m=0.0024, melt_in_m=0.0008, protrusion_m=0.0008) * 1e6, 2)
    2.13
    """
    not_negative(gap_m=gap_m, melt_in_m=melt_in_m, protrusion_m=protrusion_m)
    return SEGMENT * (gap_m + 2 * melt_in_m) * protrusion_m


@formula(
    result="centroid_height_m",
    equation="z̄ = wall + 2/5·h",
    hand="{wall_m:mm.2} + 2/5 × {cap_height_m:mm.2} = {centroid_height_m:mm.2} mm above the inside",
    source="derivation/geometry",
    where="parabolic segment",
    standing=Standing.DERIVED,
    holds={"wall_m": (0.0005, 0.04), "cap_height_m": (0.0, 0.006)},
)
def cap_centroid_height_m(*, wall_m: float, cap_height_m: float) -> float:
    """Where the cap's area has its middle, measured from the inside of the pipe (for Pappus).

    >>> round(cap_centroid_height_m(wall_m=0.0034, cap_height_m=0.001), 6)
    0.0038
    """
    not_negative(wall_m=wall_m, cap_height_m=cap_height_m)
    return wall_m + SEGMENT_CENTROID * cap_height_m


@formula(
    result="centroid_height_m",
    equation="z̄ = −2/5·h",
    hand="−2/5 × {protrusion_m:mm.2} = {centroid_height_m:mm.2} mm: inside the bore",
    source="derivation/geometry",
    where="parabolic segment",
    standing=Standing.DERIVED,
    holds={"protrusion_m": (0.0, 0.004)},
)
def root_centroid_height_m(*, protrusion_m: float) -> float:
    """Where the root's area has its middle; negative, as it lies inside the bore (for Pappus).

    >>> round(root_centroid_height_m(protrusion_m=0.001), 6)
    -0.0004
    """
    not_negative(protrusion_m=protrusion_m)
    return -SEGMENT_CENTROID * protrusion_m
