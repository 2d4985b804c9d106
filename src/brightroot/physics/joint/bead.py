"""One bead and its rod: area from the feed, beads for an area, metres and pieces of rod for a volume."""

from __future__ import annotations

import math

from brightroot.base.errors import Refused
from brightroot.base.formula import formula
from brightroot.base.source import Standing
from brightroot.physics.demand import not_negative, positive, said

SLACK = 1e-9  # so that 3.0000000001 beads are three
ROD_HOLDS = {"rod_diameter_m": (0.0005, 0.006)}


@formula(
    result="bead_area_m2",
    equation="A = (π/4)·d²·feed/travel",
    hand="rod section π/4 × {rod_diameter_m:mm.1}² × {feed_m_s:mm/min.0} / {travel_m_s:mm/min.0} mm/min"
    " = {bead_area_m2:mm².2} mm²",
    source="derivation/mass-balance",
    standing=Standing.DERIVED,
    holds={**ROD_HOLDS, "feed_m_s": (0.0, 0.1), "travel_m_s": (0.0002, 0.02)},
)
def bead_area_m2(*, rod_diameter_m: float, feed_m_s: float, travel_m_s: float) -> float:
    """Area of metal that a bead adds: what is fed in a second over the length welded in it.

    No feed is no metal (autogenous). Base metal that melts is not counted: it was there before.

    >>> a = bead_area_m2(rod_diameter_m=0.0024, feed_m_s=0.002, travel_m_s=0.0015)
    >>> round(a * 1e6, 2)
    6.03
    """
    positive(rod_diameter_m=rod_diameter_m, travel_m_s=travel_m_s)
    not_negative(feed_m_s=feed_m_s)
    return math.pi / 4 * rod_diameter_m**2 * feed_m_s / travel_m_s


@formula(
    result="beads_count",
    equation="n = ⌈A / A_largest⌉",
    hand="{area_m2:mm².1} mm² in beads of at most {largest_bead_m2:mm².1} mm²: {beads_count:.0}",
    source="derivation/geometry",
    standing=Standing.DERIVED,
    holds={"area_m2": (0.0, 0.005), "largest_bead_m2": (1e-6, 1e-4)},
)
def beads_count(*, area_m2: float, largest_bead_m2: float) -> int:
    """Beads needed for an area when none may be larger than the largest sensible one; no area needs none.

    >>> beads_count(area_m2=13.0e-6, largest_bead_m2=6e-6)
    3
    """
    not_negative(area_m2=area_m2)
    positive(largest_bead_m2=largest_bead_m2)
    return math.ceil(area_m2 / largest_bead_m2 - SLACK)


@formula(
    result="layers_count",
    equation="n = ⌈h / h_layer⌉",
    hand="{fill_height_m:mm.1} mm in layers of at most {layer_height_m:mm.1} mm: {layers_count:.0}",
    source="derivation/geometry",
    standing=Standing.DERIVED,
    holds={"fill_height_m": (0.0, 0.05), "layer_height_m": (0.0005, 0.006)},
)
def layers_count(*, fill_height_m: float, layer_height_m: float) -> int:
    """Layers needed to fill a height when none may be thicker than the stated one.

    >>> layers_count(fill_height_m=0.0019, layer_height_m=0.002)
    1
    """
    not_negative(fill_height_m=fill_height_m)
    positive(layer_height_m=layer_height_m)
    return math.ceil(fill_height_m / layer_height_m - SLACK)


@formula(
    result="rod_length_m",
    equation="L = V / (π/4·d²)",
    hand="{metal_m3:mL.2} cm³ over π/4 × {rod_diameter_m:mm.1}² mm² = {rod_length_m:m.2} m",
    source="derivation/mass-balance",
    standing=Standing.DERIVED,
    holds=ROD_HOLDS,
)
def rod_length_m(*, metal_m3: float, rod_diameter_m: float) -> float:
    """Metres of rod that end up in the weld.

    >>> round(rod_length_m(metal_m3=6.77e-6, rod_diameter_m=0.0024), 2)
    1.5
    """
    not_negative(metal_m3=metal_m3)
    positive(rod_diameter_m=rod_diameter_m)
    return metal_m3 / (math.pi / 4 * rod_diameter_m**2)


@formula(
    result="rods_count",
    equation="n = ⌈L / (rod − stub)⌉",
    hand="{rod_length_m:m.2} m from rods that give {one_rod_m:mm.0} − {stub_m:mm.0} mm each: {rods_count:.0}",
    source="derivation/mass-balance",
    standing=Standing.DERIVED,
    holds={"one_rod_m": (0.2, 2.0), "stub_m": (0.0, 0.3)},
)
def rods_count(*, rod_length_m: float, one_rod_m: float, stub_m: float) -> int:
    """Whole rods to take out, when a stub of each (and its clipped tips) cannot be used.

    >>> rods_count(rod_length_m=1.5, one_rod_m=0.914, stub_m=0.1)
    2
    """
    not_negative(rod_length_m=rod_length_m)
    return math.ceil(rod_length_m / _usable_m(one_rod_m=one_rod_m, stub_m=stub_m) - SLACK)


@formula(
    result="drawn_rod_length_m",
    equation="L_drawn = L·rod / (rod − stub)",
    hand="{rod_length_m:m.2} m × {one_rod_m:mm.0} / ({one_rod_m:mm.0} − {stub_m:mm.0}) = {drawn_rod_length_m:m.2} m",
    source="derivation/mass-balance",
    standing=Standing.DERIVED,
    holds={"one_rod_m": (0.2, 2.0), "stub_m": (0.0, 0.3)},
)
def drawn_rod_length_m(*, rod_length_m: float, one_rod_m: float, stub_m: float) -> float:
    """Metres of rod drawn from the store over many joints, stubs included (for buying; `rods_count` is for one joint).

    >>> round(drawn_rod_length_m(rod_length_m=1.5, one_rod_m=1.0, stub_m=0.1), 3)
    1.667
    """
    not_negative(rod_length_m=rod_length_m)
    return rod_length_m * one_rod_m / _usable_m(one_rod_m=one_rod_m, stub_m=stub_m)


def _usable_m(*, one_rod_m: float, stub_m: float) -> float:
    positive(one_rod_m=one_rod_m)
    not_negative(stub_m=stub_m)
    if stub_m >= one_rod_m:
        got = said(stub_m, name="stub_m")
        raise Refused(field="stub_m", wanted=f"shorter than the rod, {said(one_rod_m, name='one_rod_m')}", got=got)
    return one_rod_m - stub_m
