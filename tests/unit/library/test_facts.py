"""Facts beside what was printed or computed elsewhere, and that the check of the library bites."""

from dataclasses import replace

import pytest

from brightroot.base.source import Standing
from brightroot.library.check import check_library
from brightroot.library.load import load_library
from brightroot.physics.purge.gas_properties import oxygen_diffusivity_m2_s

LIBRARY = load_library()


def test_grade_2_as_a_public_data_sheet_prints_it():
    """C 0.08, O 0.25, N 0.03, H 0.015, Fe 0.30 %; 345 and 275 MPa; 20 %; 4.51 g/cm³ (a tube maker's public page, seen)."""
    cells = LIBRARY.alloys["ti-2"].cells
    printed = {
        "carbon_max_frac": 0.0008, "oxygen_max_frac": 0.0025, "nitrogen_max_frac": 0.0003, "hydrogen_max_frac": 0.00015,
        "iron_max_frac": 0.003, "tensile_min_Pa": 345e6, "yield_min_Pa": 275e6, "elongation_min_frac": 0.2,
        "density_kg_m3": 4510.0,
    }  # fmt: skip
    assert {name: cells[name].value for name in printed} == pytest.approx(printed, rel=1e-9)


def test_argon_as_coolprop_has_it():
    cool = pytest.importorskip("CoolProp.CoolProp")
    argon = LIBRARY.gases["argon"]
    for name, key in (
        ("density_kg_m3", "D"), ("viscosity_Pas", "V"), ("conductivity_W_mK", "L"), ("specific_heat_J_kgK", "C"),
    ):  # fmt: skip
        assert argon[name].value == pytest.approx(cool.PropsSI(key, "T", 293.15, "P", 101325.0, "Argon"), rel=2e-4)


def test_the_gas_cell_and_the_formula_tell_the_same_diffusivity():
    at_20 = oxygen_diffusivity_m2_s(gas_K=293.15, gas_pressure_Pa=101325.0)
    cell = LIBRARY.gases["argon"]["oxygen_diffusivity_m2_s"]
    assert cell.low <= at_20 <= cell.high and cell.value == pytest.approx(at_20, rel=1e-3)


def test_the_density_cell_lies_near_its_curve():
    for alloy in LIBRARY.alloys.values():
        curve = alloy.curves.get("density_kg_m3")
        if curve:
            assert alloy.cells["density_kg_m3"].value == pytest.approx(curve.value[0], rel=0.005), alloy.id


def test_fillers_are_no_dirtier_than_the_metal_they_join():
    """A consumable class asks less oxygen, nitrogen and hydrogen than the pipe grade it is the first choice for."""
    for alloy in LIBRARY.alloys.values():
        filler = LIBRARY.fillers[alloy.fillers[0]]
        if alloy.family == "titanium":
            assert filler.cells["oxygen_frac"].high <= alloy.cells["oxygen_max_frac"].value, alloy.id
        for name in {"nitrogen_max_frac", "hydrogen_max_frac"} & set(filler.cells) & set(alloy.cells):
            assert filler.cells[name].value <= alloy.cells[name].value, (alloy.id, name)


def test_only_the_reactive_metals_trail():
    trailing = {name for name, family in LIBRARY.families.items() if family.trailing_required}
    assert trailing == {"titanium", "zirconium"}
    assert all(family.backing_required for family in LIBRARY.families.values())
    assert {name for name, family in LIBRARY.families.items() if family.tint_model} == {"titanium"}


def with_cell(name, **changes):
    alloy = LIBRARY.alloys["ti-2"]
    cells = {**alloy.cells, name: replace(alloy.cells[name], **changes)}
    return replace(LIBRARY, alloys={**LIBRARY.alloys, "ti-2": replace(alloy, cells=cells)})


def with_alloy(**changes):
    return replace(LIBRARY, alloys={**LIBRARY.alloys, "ti-2": replace(LIBRARY.alloys["ti-2"], **changes)})


def with_family(**changes):
    return replace(LIBRARY, families={**LIBRARY.families, "nickel": replace(LIBRARY.families["nickel"], **changes)})


CURVE = LIBRARY.alloys["ti-2"].curves["conductivity_W_mK"]
CELLS = LIBRARY.alloys["ti-2"].cells
PIPE = LIBRARY.pipes[0]


@pytest.mark.parametrize(
    ("library", "problem"),
    [
        (with_cell("melting_K", low=2000.0), "alloys/ti-2, melting_K: low ≤ value ≤ high does not hold"),
        (with_cell("melting_K", source="paper/none"), "alloys/ti-2, melting_K: no source 'paper/none'"),
        (with_cell("emissivity_1", standing=Standing.PUBLISHED), "alloys/ti-2, emissivity_1: published, but its source"),
        (with_cell("density_kg_m3", value=0.45, low=0.45), "alloys/ti-2, density_kg_m3: 0.45 is not between"),
        (with_cell("oxygen_max_frac", value=25.0, low=25.0, high=25.0), "oxygen_max_frac: 25 is not between 0 and 1"),
        (with_alloy(cells={**CELLS, "hardness": CELLS["melting_K"]}), "hardness: the name does not end in a unit"),
        (with_alloy(cells={}), "alloys/ti-2, density_kg_m3: missing"),
        (with_alloy(curves={}), "alloys/ti-2, conductivity_W_mK: missing"),
        (with_alloy(family="tin"), "alloys/ti-2, family: no family 'tin'"),
        (with_alloy(fillers=()), "alloys/ti-2, fillers: none"),
        (with_alloy(fillers=("ERTi-99",)), "alloys/ti-2, fillers: no filler 'ERTi-99'"),
        (with_alloy(fillers=("ER316L",)), "alloys/ti-2, fillers: ER316L is of the stainless family"),
        (with_alloy(aliases=("Gr 7",)), "alloys/ti-7, aliases: 'Gr 7' is a name of ti-2 too"),
        (with_alloy(curves={"conductivity_W_mK": replace(CURVE, temperature_K=CURVE.temperature_K[::-1])}), "do not rise"),
        (with_alloy(curves={"conductivity_W_mK": replace(CURVE, value=CURVE.value[1:])}), "as many values as"),
        (with_alloy(curves={"conductivity_W_mK": replace(CURVE, spread_frac=5.0)}), "spread_frac is not between"),
        (with_family(cells={}), "families/nickel, interpass_max_K: missing"),
        (with_family(words={}), "families/nickel, words, tungsten: missing"),
        (with_family(rods_m=()), "families/nickel, rods: none"),
        (with_family(amps=()), "families/nickel, amps: rows from"),
        (with_family(amps=LIBRARY.families["nickel"].amps[::2]), "families/nickel, amps: each row begins"),
        (replace(LIBRARY, practice={}), "practice, efficiency_frac: missing"),
        (replace(LIBRARY, gases={}), "gases/argon, density_kg_m3: missing"),
        (replace(LIBRARY, pipes=(replace(PIPE, wall_m=1.0),)), "a wall under half the diameter is wanted"),
        (replace(LIBRARY, pipes=(PIPE, replace(PIPE, outer_diameter_m=0.02))), "has two outside diameters"),
        (replace(LIBRARY, sources={}), "no source"),
    ],
)  # fmt: skip
def test_the_check_bites(library, problem):
    assert any(problem in found for found in check_library(library)), check_library(library)[:5]
