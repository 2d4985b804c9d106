"""What oxygen, nitrogen and carbon together do to unalloyed titanium: oxygen equivalent, and hardness after it.

Both relations are from memory and hold for commercially pure titanium only; each refuses contents outside the range in
which it is used here. Neither says anything of an alloy, and a hardness worked out is no hardness measured.
"""

from __future__ import annotations

import math

from brightroot.base.formula import formula
from brightroot.base.source import Standing
from brightroot.physics.demand import fraction

# commercially pure weld metal from clean to badly contaminated; wider than any grade's limits, from memory
RANGE = {"oxygen_frac": (0.0, 0.006), "nitrogen_frac": (0.0, 0.002), "carbon_frac": (0.0, 0.002)}
# the sponge relation was made for sponge: grade 4 is about where it ends; from memory
SPONGE = {
    "oxygen_frac": (0.0, 0.004),
    "nitrogen_frac": (0.0, 0.001),
    "carbon_frac": (0.0, 0.001),
    "iron_frac": (0.0, 0.005),
}


@formula(
    result="oxygen_equivalent_frac",
    equation="OE = O + 2·N + 0.67·C",
    hand="{oxygen_frac:ppm.0} + 2 × {nitrogen_frac:ppm.0} + 0.67 × {carbon_frac:ppm.0}"
    " = {oxygen_equivalent_frac:ppm.0} ppm",
    source="paper/harwig-2000",
    where="coefficients from memory",
    standing=Standing.MEMORY,
    holds=RANGE,
)
def weld_oxygen_equivalent_frac(*, oxygen_frac: float, nitrogen_frac: float, carbon_frac: float) -> float:
    """Oxygen that would strengthen commercially pure weld metal as much as its oxygen, nitrogen and carbon do together.

    The title page of the paper was read: hardness on the face of unalloyed welds follows such a figure, that of
    Ti-6Al-4V hardly does. The coefficients are those that are handed down with it; the paper's own were not read.

    >>> oe = weld_oxygen_equivalent_frac(oxygen_frac=0.0012, nitrogen_frac=0.0001, carbon_frac=0.0001)
    >>> round(oe * 1e6)
    1467
    """
    fraction(oxygen_frac=oxygen_frac, nitrogen_frac=nitrogen_frac, carbon_frac=carbon_frac)
    return oxygen_frac + 2 * nitrogen_frac + 0.67 * carbon_frac


@formula(
    result="oxygen_equivalent_frac",
    equation="OE = O + 2·N + 0.75·C",
    hand="{oxygen_frac:ppm.0} + 2 × {nitrogen_frac:ppm.0} + 0.75 × {carbon_frac:ppm.0}"
    " = {oxygen_equivalent_frac:ppm.0} ppm",
    source="paper/conrad-1981",
    where="from memory",
    standing=Standing.MEMORY,
    holds=RANGE,
)
def strength_oxygen_equivalent_frac(*, oxygen_frac: float, nitrogen_frac: float, carbon_frac: float) -> float:
    """The same after the older strength data, which count carbon a little higher.

    >>> oe = strength_oxygen_equivalent_frac(oxygen_frac=0.0012, nitrogen_frac=0.0001, carbon_frac=0.0001)
    >>> round(oe * 1e6)
    1475
    """
    fraction(oxygen_frac=oxygen_frac, nitrogen_frac=nitrogen_frac, carbon_frac=carbon_frac)
    return oxygen_frac + 2 * nitrogen_frac + 0.75 * carbon_frac


@formula(
    result="sponge_hardness_HB",
    equation="HB = 57 + 196·√N + 158·√O + 45·√C + 20·√Fe, each in percent by mass",
    hand="57 + 196·√{nitrogen_frac:%.3} + 158·√{oxygen_frac:%.3} + 45·√{carbon_frac:%.3} + 20·√{iron_frac:%.3}"
    " = {sponge_hardness_HB:.0} HB",
    source="memory/recalled",
    where="sponge hardness relation",
    standing=Standing.MEMORY,
    holds=SPONGE,
)
def sponge_hardness_HB(*, oxygen_frac: float, nitrogen_frac: float, carbon_frac: float, iron_frac: float) -> float:
    """Brinell hardness of melted titanium sponge of that composition; a guide to which element makes a weld hard.

    Contents beyond unalloyed titanium are refused. A weld that cooled fast is harder than the relation says.

    >>> hb = sponge_hardness_HB(oxygen_frac=0.0016, nitrogen_frac=0.0001, carbon_frac=0.0001, iron_frac=0.0009)
    >>> round(hb, 1)
    150.3
    """
    fraction(oxygen_frac=oxygen_frac, nitrogen_frac=nitrogen_frac, carbon_frac=carbon_frac, iron_frac=iron_frac)
    percent = (100 * x for x in (nitrogen_frac, oxygen_frac, carbon_frac, iron_frac))
    return 57 + sum(factor * math.sqrt(p) for factor, p in zip((196, 158, 45, 20), percent, strict=True))
