"""What a weld is made of: rod and melted base metal, mixed by mass."""

from __future__ import annotations

import math

from brightroot.base.errors import Refused
from brightroot.base.formula import formula
from brightroot.base.source import Standing
from brightroot.physics.demand import fraction, not_negative, positive

_DENSITY = (1000.0, 23000.0)


@formula(
    result="melted_area_m2",
    equation="A_base = 2·melt_in·(land + (wall − land)/cos(α/2))",
    hand="two edges melted {melt_in_m:mm.2} mm deep, each {land_m:mm.2} mm of land and"
    " ({wall_m:mm.2} − {land_m:mm.2}) / cos({included_angle_rad:°.0}/2) of bevel: {melted_area_m2:mm².2} mm²",
    source="derivation/geometry",
    standing=Standing.DERIVED,
    holds={
        "wall_m": (0.0004, 0.03),
        "land_m": (0.0, 0.005),
        "included_angle_rad": (0.0, 2.1),
        "melt_in_m": (0.0, 0.004),
    },
)
def melted_area_m2(*, wall_m: float, land_m: float, included_angle_rad: float, melt_in_m: float) -> float:
    """Cross-section of base metal that ends up in a V or square groove whose edges melt to an even depth.

    The depth is measured square to each face. The corner at the foot of the bevel is not counted twice or made up for:
    with a melt-in of a millimetre that is about half a square millimetre. A land thicker than the wall is refused.

    >>> a = melted_area_m2(wall_m=0.003, land_m=0.0, included_angle_rad=0.0, melt_in_m=0.001)
    >>> round(a * 1e6, 9)
    6.0
    """
    positive(wall_m=wall_m)
    not_negative(land_m=land_m, melt_in_m=melt_in_m)
    if land_m > wall_m:
        raise Refused(field="land_m", wanted="a land no thicker than the wall", got=f"{land_m * 1000:.2f} mm")
    return 2 * melt_in_m * (land_m + (wall_m - land_m) / math.cos(included_angle_rad / 2))


@formula(
    result="dilution_frac",
    equation="D = A_base·ρ_base / (A_base·ρ_base + A_rod·ρ_rod)",
    hand="{melted_area_m2:mm².2} mm² of base at {base_density_kg_m3:.0} kg/m³ and {added_area_m2:mm².2} mm² of rod at"
    " {rod_density_kg_m3:.0} kg/m³: {dilution_frac:%.1} % of the weld was base metal",
    source="derivation/mass-balance",
    where="AWS A3.0 defines dilution so, by area or by mass",
    standing=Standing.DERIVED,
    holds={
        "melted_area_m2": (0.0, 0.005),
        "added_area_m2": (0.0, 0.005),
        "base_density_kg_m3": _DENSITY,
        "rod_density_kg_m3": _DENSITY,
    },
)
def dilution_frac(
    *, melted_area_m2: float, added_area_m2: float, base_density_kg_m3: float, rod_density_kg_m3: float
) -> float:
    """Share of the weld metal, by mass, that was base metal. Without rod it is all of it.

    >>> round(dilution_frac(melted_area_m2=4e-6, added_area_m2=12e-6, base_density_kg_m3=4510, rod_density_kg_m3=4510), 9)
    0.25
    """
    not_negative(melted_area_m2=melted_area_m2, added_area_m2=added_area_m2)
    positive(base_density_kg_m3=base_density_kg_m3, rod_density_kg_m3=rod_density_kg_m3)
    base, rod = melted_area_m2 * base_density_kg_m3, added_area_m2 * rod_density_kg_m3
    if base + rod <= 0:
        raise Refused(field="melted_area_m2", wanted="some metal", got="none")
    return base / (base + rod)


@formula(
    result="mixed_frac",
    equation="c = D·c_base + (1 − D)·c_rod",
    hand="{dilution_frac:%.1} % of base at {base_frac:ppm.0} ppm and the rest rod at {rod_frac:ppm.0} ppm:"
    " {mixed_frac:ppm.0} ppm",
    source="derivation/mass-balance",
    standing=Standing.DERIVED,
)
def mixed_frac(*, base_frac: float, rod_frac: float, dilution_frac: float) -> float:
    """Content of one element in a bead of base metal and rod, by mass, if nothing is lost and nothing is picked up.

    What the hot metal takes from the gas comes on top: for oxygen, nitrogen and hydrogen this is the least there can be.

    >>> round(mixed_frac(base_frac=0.0020, rod_frac=0.0010, dilution_frac=0.3), 9)
    0.0013
    """
    fraction(base_frac=base_frac, rod_frac=rod_frac, dilution_frac=dilution_frac)
    return dilution_frac * base_frac + (1 - dilution_frac) * rod_frac


@formula(
    result="layer_frac",
    equation="c_n = D·c_base + R·c_below + (1 − D − R)·c_rod",
    hand="{dilution_frac:%.1} % of base at {base_frac:ppm.0} ppm, {remelted_frac:%.1} % of the bead below at"
    " {below_frac:ppm.0} ppm, the rest rod at {rod_frac:ppm.0} ppm: {layer_frac:ppm.0} ppm",
    source="derivation/mass-balance",
    standing=Standing.DERIVED,
)
def layer_frac(
    *, base_frac: float, below_frac: float, rod_frac: float, dilution_frac: float, remelted_frac: float
) -> float:
    """Content of one element in a bead that melts into base metal and into the bead below it.

    The two shares together are no more than the whole bead; more is refused.

    >>> c = layer_frac(base_frac=0.002, below_frac=0.0013, rod_frac=0.001, dilution_frac=0.1, remelted_frac=0.3)
    >>> round(c, 9)
    0.00119
    """
    fraction(
        base_frac=base_frac,
        below_frac=below_frac,
        rod_frac=rod_frac,
        dilution_frac=dilution_frac,
        remelted_frac=remelted_frac,
    )
    if dilution_frac + remelted_frac > 1 + 1e-12:
        wanted = "no more than what the base metal leaves of the bead"
        raise Refused(field="remelted_frac", wanted=wanted, got=f"{100 * remelted_frac:g} %")
    rest = max(0.0, 1 - dilution_frac - remelted_frac)
    return dilution_frac * base_frac + remelted_frac * below_frac + rest * rod_frac
