"""Metal round the pipe: an area swept about the axis at the radius of its own centroid (Pappus), and its mass."""

from __future__ import annotations

import math

from brightroot.base.errors import Refused
from brightroot.base.formula import formula
from brightroot.base.source import Standing
from brightroot.physics.demand import not_negative, positive, said
from brightroot.physics.joint.groove import HOLDS, slice_m2


@formula(
    result="centroid_height_m",
    equation="z̄ = ∫ z·w(z) dz / ∫ w(z) dz between the two heights",
    hand="the middle of the area between {from_height_m:mm.2} and {to_height_m:mm.2} mm, weighed by the groove's width,"
    " lies {centroid_height_m:mm.2} mm above the inside",
    source="derivation/geometry",
    standing=Standing.DERIVED,
    holds={k: v for k, v in HOLDS.items() if k != "wall_m"},
)
def centroid_height_m(
    *, from_height_m: float, to_height_m: float, gap_m: float, land_m: float, included_angle_rad: float
) -> float:
    """Height of the centroid of a slice of the groove above the inside.

    A slice without area (no height, or a closed groove) is refused: it has no centroid.

    >>> z = centroid_height_m(from_height_m=0, to_height_m=0.003, gap_m=0.002, land_m=0, included_angle_rad=0)
    >>> round(z * 1000, 9)
    1.5
    """
    return _area_and_centroid(
        from_height_m=from_height_m,
        to_height_m=to_height_m,
        gap_m=gap_m,
        land_m=land_m,
        included_angle_rad=included_angle_rad,
    )[1]


@formula(
    result="metal_m3",
    equation="V = 2π·(bore/2 + z̄)·A",
    hand="2π × ({bore_m:mm.2} / 2 + {centroid_height_m:mm.2}) mm × {area_m2:mm².2} mm² = {metal_m3:mL.2} cm³",
    source="derivation/geometry",
    where="Pappus' second theorem",
    standing=Standing.DERIVED,
    holds={"bore_m": (0.004, 1.5), "area_m2": (0.0, 0.002)},
)
def swept_metal_m3(*, area_m2: float, bore_m: float, centroid_height_m: float) -> float:
    """Volume of an area carried once round the pipe; exact, not mean-diameter.

    The height of a root protrusion's centroid is negative: it lies inside the bore.

    >>> round(swept_metal_m3(area_m2=13.02e-6, bore_m=0.1615, centroid_height_m=0.00205) * 1e9)
    6774
    """
    return _swept_m3(area_m2=area_m2, bore_m=bore_m, centroid_height_m=centroid_height_m)


@formula(
    result="metal_m3",
    equation="V = 2π·(bore/2 + z̄)·A of the groove between two heights",
    hand="the groove of a {bore_m:mm.1} mm bore between {from_height_m:mm.2} and {to_height_m:mm.2} mm, once round"
    " = {metal_m3:mL.2} cm³",
    source="derivation/geometry",
    where="Pappus' second theorem",
    standing=Standing.DERIVED,
    holds={**{k: v for k, v in HOLDS.items() if k != "wall_m"}, "bore_m": (0.004, 1.5)},
)
def layer_metal_m3(
    *,
    bore_m: float,
    from_height_m: float,
    to_height_m: float,
    gap_m: float,
    land_m: float,
    included_angle_rad: float,
) -> float:
    """Metal that fills the groove between two heights above the inside, once round; 0 to the wall is the whole groove.

    >>> v = layer_metal_m3(bore_m=0.1615, from_height_m=0, to_height_m=0.0034, gap_m=0.0024, land_m=0.0005,
    ...                    included_angle_rad=math.radians(60))
    >>> round(v * 4510 * 1000, 1)
    30.5
    """
    area_m2, centroid_m = _area_and_centroid(
        from_height_m=from_height_m,
        to_height_m=to_height_m,
        gap_m=gap_m,
        land_m=land_m,
        included_angle_rad=included_angle_rad,
    )
    return _swept_m3(area_m2=area_m2, bore_m=bore_m, centroid_height_m=centroid_m)


@formula(
    result="deposit_kg",
    equation="m = ρ·V",
    hand="{density_kg_m3} kg/m³ × {metal_m3:mL.2} cm³ / 1000 = {deposit_kg:g.1} g",
    source="derivation/geometry",
    standing=Standing.DERIVED,
    holds={"density_kg_m3": (1500, 20000)},
)
def deposit_kg(*, metal_m3: float, density_kg_m3: float) -> float:
    """Mass of metal of a volume; spatter and evaporation are nothing to speak of in GTAW and are left out.

    >>> round(deposit_kg(metal_m3=6.77e-6, density_kg_m3=4510) * 1000, 1)
    30.5
    """
    not_negative(metal_m3=metal_m3)
    positive(density_kg_m3=density_kg_m3)
    return metal_m3 * density_kg_m3


def _area_and_centroid(
    *, from_height_m: float, to_height_m: float, gap_m: float, land_m: float, included_angle_rad: float
) -> tuple[float, float]:
    area_m2 = slice_m2(
        from_height_m=from_height_m,
        to_height_m=to_height_m,
        gap_m=gap_m,
        land_m=land_m,
        included_angle_rad=included_angle_rad,
    )
    if area_m2 <= 0:
        raise Refused(field="to_height_m", wanted="a slice with some area", got=said(to_height_m, name="to_height_m"))
    slope = math.tan(included_angle_rad / 2)

    def moment_m3(height_m: float) -> float:
        above = max(0.0, height_m - land_m)
        return gap_m * height_m * height_m / 2 + slope * above * above * (2 * above / 3 + land_m)

    return area_m2, (moment_m3(to_height_m) - moment_m3(from_height_m)) / area_m2


def _swept_m3(*, area_m2: float, bore_m: float, centroid_height_m: float) -> float:
    not_negative(area_m2=area_m2)
    positive(bore_m=bore_m)
    if not bore_m / 2 + centroid_height_m > 0:
        got = said(centroid_height_m, name="centroid_height_m")
        raise Refused(field="centroid_height_m", wanted="a centroid outside the pipe's axis", got=got)
    return 2 * math.pi * (bore_m / 2 + centroid_height_m) * area_m2
