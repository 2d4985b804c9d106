"""Argon, air and oxygen in argon as the purge's formulas use them, against two libraries of other make.

Nothing in the purge's formulas uses a viscosity, so none is checked.
"""

import cantera
import pytest
from CoolProp.CoolProp import PropsSI

from brightroot.physics.purge.cylinder import compressibility_1
from brightroot.physics.purge.gas_properties import (
    AIR_OXYGEN_FRAC,
    AIR_kg_mol,
    ARGON_kg_mol,
    GAS_J_molK,
    air_density_kg_m3,
    argon_density_kg_m3,
    oxygen_diffusivity_m2_s,
)  # fmt: skip

ATM = 101325.0
AIR = {"O2": AIR_OXYGEN_FRAC, "N2": 0.78084, "AR": 0.00934, "CO2": 0.0004}  # ISO 2533 but for the traces
TEMPERATURES_K = (253.15, 273.15, 293.15, 313.15, 353.15)


@pytest.fixture(scope="module")
def gas():
    """GRI-Mech 3.0 as Cantera carries it: ideal gas; Lennard-Jones transport by kinetic theory."""
    return cantera.Solution("gri30.yaml", transport_model="mixture-averaged")


@pytest.mark.parametrize("gas_K", TEMPERATURES_K)
@pytest.mark.parametrize("pressure_Pa", [80e3, ATM, 110e3])
def test_densities_against_an_ideal_gas_of_other_make(gas, gas_K, pressure_Pa):
    # Cantera 3.2, gri30.yaml: the same law, its own molar masses. 0.02 %: ours of air is humidity-free and rounded.
    gas.TPX = gas_K, pressure_Pa, {"AR": 1.0}
    assert argon_density_kg_m3(gas_K=gas_K, gas_pressure_Pa=pressure_Pa) == pytest.approx(gas.density, rel=2e-4)
    gas.TPX = gas_K, pressure_Pa, AIR
    assert air_density_kg_m3(gas_K=gas_K, gas_pressure_Pa=pressure_Pa) == pytest.approx(gas.density, rel=2e-4)


@pytest.mark.parametrize("gas_K", TEMPERATURES_K)
def test_densities_against_equations_of_state(gas_K):
    # CoolProp 8.0.0: Tegeler, Span & Wagner 1999 (argon), Lemmon et al. 2000 (air). Real gas: up to 0.12 % denser when cold.
    for ours, name in ((argon_density_kg_m3, "Argon"), (air_density_kg_m3, "Air")):
        real = PropsSI("D", "T", gas_K, "P", ATM, name)
        assert ours(gas_K=gas_K, gas_pressure_Pa=ATM) == pytest.approx(real, rel=1.3e-3), name


def test_molar_masses(gas):
    # Cantera 3.2 (IUPAC 2021 atomic weights) and CoolProp 8.0.0
    gas.TPX = 293.15, ATM, AIR
    assert pytest.approx(gas.mean_molecular_weight / 1000, rel=2e-4) == AIR_kg_mol
    assert pytest.approx(PropsSI("M", "Argon"), rel=1e-5) == ARGON_kg_mol
    assert pytest.approx(cantera.gas_constant / 1000, rel=1e-9) == GAS_J_molK


@pytest.mark.parametrize("gas_K", TEMPERATURES_K)
@pytest.mark.parametrize("pressure_Pa", [80e3, ATM])
def test_oxygen_diffuses_in_argon_as_kinetic_theory_has_it(gas, gas_K, pressure_Pa):
    # Cantera 3.2, gri30.yaml: Chapman-Enskog with Lennard-Jones O2 and Ar. Ours is a power law through three temperatures.
    gas.TPX = gas_K, pressure_Pa, {"AR": 1.0}
    theirs = gas.binary_diff_coeffs[gas.species_index("O2"), gas.species_index("AR")]
    assert oxygen_diffusivity_m2_s(gas_K=gas_K, gas_pressure_Pa=pressure_Pa) == pytest.approx(theirs, rel=5e-3)


def test_a_change_of_a_hundredth_would_be_seen(gas):
    gas.TPX = 293.15, ATM, {"AR": 1.0}
    theirs = gas.binary_diff_coeffs[gas.species_index("O2"), gas.species_index("AR")]
    assert 1.01 * oxygen_diffusivity_m2_s(gas_K=293.15, gas_pressure_Pa=ATM) != pytest.approx(theirs, rel=5e-3)


@pytest.mark.parametrize("pressure_bar", [1, 20, 50, 100, 150, 200])
@pytest.mark.parametrize("cylinder_K", [263.15, 293.15, 313.15])
def test_argon_in_a_cylinder_against_its_equation_of_state(pressure_bar, cylinder_K):
    # CoolProp 8.0.0, Tegeler, Span & Wagner 1999
    real = PropsSI("Z", "T", cylinder_K, "P", pressure_bar * 1e5, "Argon")
    ours = compressibility_1(cylinder_pressure_Pa=pressure_bar * 1e5, cylinder_K=cylinder_K)
    assert ours == pytest.approx(real, rel=5e-3)
