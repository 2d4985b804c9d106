"""Mixing by mass and the relations of interstitials: hand-worked, published, and refused outside their range."""

import math

import pytest

from brightroot.base.errors import OutOfRange, Refused
from brightroot.base.formula import Assumed, estimate
from brightroot.physics.metal.interstitials import (
    sponge_hardness_HB,
    strength_oxygen_equivalent_frac,
    weld_oxygen_equivalent_frac,
)
from brightroot.physics.metal.mixing import dilution_frac, layer_frac, melted_area_m2, mixed_frac

TI = {"base_density_kg_m3": 4510, "rod_density_kg_m3": 4510}


def test_a_published_mixture_of_two():
    """A public tutorial's second example: 40 g of base at 0.3 % and 60 g of filler at 1.0 % chromium give 0.72 %."""
    assert mixed_frac(base_frac=0.003, rod_frac=0.010, dilution_frac=0.4) == pytest.approx(0.0072, abs=1e-12)


def test_a_published_mixture_of_three():
    """Its first: 60 g base at 0.2 %, 30 g filler at 0.1 % and 10 g at 0.05 % carbon give 0.155 %."""
    found = layer_frac(base_frac=0.002, below_frac=0.0005, rod_frac=0.001, dilution_frac=0.6, remelted_frac=0.1)
    assert found == pytest.approx(0.00155, abs=1e-12)


def test_a_dilution_worked_by_hand():
    """168.3 x 3.40 mm, 60 degrees, 0.5 mm land, 2.4 mm gap, 1 mm melt-in.

    Groove 2.4 x 3.40 + 2.9^2 x 0.57735 = 8.16 + 4.856 = 13.016 mm2 of rod. Faces 0.5 + 2.9 / 0.86603 = 3.849 mm, two of
    them 1 mm deep: 7.697 mm2 of base. Of equal density: 7.697 / 20.713 = 37.16 %. Base at 0.16 % and rod at 0.12 %
    oxygen: 0.3716 x 0.16 + 0.6284 x 0.12 = 0.1349 %.
    """
    melted = melted_area_m2(wall_m=0.0034, land_m=0.0005, included_angle_rad=math.radians(60), melt_in_m=0.001)
    assert melted * 1e6 == pytest.approx(7.697, abs=0.001)
    share = dilution_frac(melted_area_m2=melted, added_area_m2=13.016e-6, **TI)
    assert share == pytest.approx(0.3716, abs=0.0001)
    assert mixed_frac(base_frac=0.0016, rod_frac=0.0012, dilution_frac=share) == pytest.approx(0.001349, abs=1e-6)


def test_mass_counts_and_not_area():
    """Zirconium base under titanium rod by equal areas: 6510 / (6510 + 4510) = 59.07 % by mass."""
    found = dilution_frac(melted_area_m2=1e-6, added_area_m2=1e-6, base_density_kg_m3=6510, rod_density_kg_m3=4510)
    assert found == pytest.approx(0.59074, abs=1e-5)


@pytest.mark.parametrize("share", [0.0, 0.25, 1.0])
def test_a_mixture_lies_between_its_parts_and_conserves_mass(share):
    found = mixed_frac(base_frac=0.002, rod_frac=0.001, dilution_frac=share)
    assert 0.001 <= found <= 0.002
    assert found == pytest.approx(share * 0.002 + (1 - share) * 0.001)


def test_without_rod_the_weld_is_base_and_without_metal_it_is_refused():
    assert dilution_frac(melted_area_m2=1e-6, added_area_m2=0.0, **TI) == 1.0
    with pytest.raises(Refused):
        dilution_frac(melted_area_m2=0.0, added_area_m2=0.0, **TI)


def test_layers_forget_the_base():
    below = 0.002
    for _ in range(12):
        below = layer_frac(base_frac=0.002, below_frac=below, rod_frac=0.001, dilution_frac=0.0, remelted_frac=0.3)
    assert below == pytest.approx(0.001, abs=1e-8)
    with pytest.raises(Refused):
        layer_frac(base_frac=0.002, below_frac=0.001, rod_frac=0.001, dilution_frac=0.7, remelted_frac=0.4)


def test_oxygen_equivalent_by_hand():
    """0.12 + 2 x 0.015 + 0.67 x 0.02 = 0.1634 %; with 0.75 it is 0.165 % (coefficients from memory)."""
    given = {"oxygen_frac": 0.0012, "nitrogen_frac": 0.00015, "carbon_frac": 0.0002}
    assert weld_oxygen_equivalent_frac(**given) == pytest.approx(0.001634, abs=1e-9)
    assert strength_oxygen_equivalent_frac(**given) == pytest.approx(0.00165, abs=1e-9)


def test_sponge_hardness_by_hand():
    """57 + 196 x 0.1 + 158 x 0.4 + 45 x 0.1 + 20 x 0.3 = 150.3 (relation from memory)."""
    given = {"oxygen_frac": 0.0016, "nitrogen_frac": 0.0001, "carbon_frac": 0.0001, "iron_frac": 0.0009}
    assert sponge_hardness_HB(**given) == pytest.approx(150.3, abs=0.01)


@pytest.mark.parametrize("name, value", [("oxygen_frac", 0.0041), ("nitrogen_frac", 0.0011), ("iron_frac", 0.0051)])
def test_a_relation_is_not_stretched(name, value):
    given = {"oxygen_frac": 0.001, "nitrogen_frac": 0.0001, "carbon_frac": 0.0001, "iron_frac": 0.0005}
    with pytest.raises(OutOfRange):
        sponge_hardness_HB(**given | {name: value})


def test_doubt_in_the_dilution_reaches_the_weld():
    share = Assumed(0.3, 0.2, 0.45, "case")
    found = estimate(mixed_frac, base_frac=0.002, rod_frac=0.001, dilution_frac=share)
    assert (round(found.low, 6), round(found.value, 6), round(found.high, 6)) == (0.0012, 0.0013, 0.00145)
