"""Every card of these folders can be filled in on paper, and every argument of every formula moves its result."""

import importlib
import inspect
import pkgutil
import re

import pytest

from brightroot.base.errors import Refused
from brightroot.base.formula import FORMULAS, _band
from brightroot.base.show import fill_hand
from brightroot.base.units import PLAIN_SUFFIXES, dimension_of

FOLDERS = ("joint", "purge", "weld")
for folder in FOLDERS:
    package = importlib.import_module(f"brightroot.physics.{folder}")
    for found in pkgutil.iter_modules(package.__path__):
        importlib.import_module(f"{package.__name__}.{found.name}")
MINE = [card for name, card in sorted(FORMULAS.items()) if name.startswith(tuple(f"{f}." for f in FOLDERS))]
SOURCES = {
    "derivation/geometry",
    "derivation/mass-balance",
    "derivation/orifice",
    "derivation/diffusion",
    "derivation/buoyancy",
    "derivation/room-air",
    "derivation/real-gas",
    "paper/purge-study",
    "standard/en-1011-1",
    "handbook/gas-density",
}
# a working point for every argument name; where a formula wants another, below
POINT = {
    "added_frac": 2e-5, "air_density_kg_m3": 1.2046, "allowance_m": 0.02, "arc_time_s": 40.0, "area_m2": 13.3e-6,
    "argon_density_kg_m3": 1.6618, "argon_flow_m3_s": 3e-4, "back_diffusion_flow_m3_s": 2e-5, "bore_m": 0.1,
    "cap_height_m": 0.001, "cap_width_m": 0.008, "centroid_height_m": 0.002, "current_A": 70.0, "cylinder_K": 293.15,
    "cylinder_pressure_Pa": 150e5, "density_kg_m3": 1.66, "depth_m": 0.0015, "diffusivity_m2_s": 1.9e-5,
    "discharge_1": 0.61, "efficiency_frac": 0.6, "elapsed_s": 1000.0, "feed_m_s": 0.002, "fill_height_m": 0.0131,
    "first_bore_m": 0.1, "first_length_m": 0.3, "flooding_flow_m3_s": 2e-5, "flow_m3_s": 2e-4, "from_height_m": 0.001,
    "from_rad": 0.5, "fused_area_m2": 1e-5, "gap_area_m2": 2e-5, "gap_m": 0.0024, "gas_K": 293.15,
    "gas_pressure_Pa": 101325.0, "groove_width_m": 0.006, "heel_pressure_Pa": 70e5, "height_m": 0.003,
    "hot_length_m": 0.036, "in_leak_m3_s": 5e-8, "included_angle_rad": 1.047, "land_m": 0.0005, "last_frac": 1e-5,
    "largest_bead_m2": 6e-6, "layer_area_m2": 5e-6, "layer_height_m": 0.002, "length_m": 6.0, "limit_frac": 0.195,
    "margin_1": 2.0, "melt_enthalpy_J_kg": 1.4e6, "melt_in_m": 0.0008, "melting_frac": 0.25, "metal_m3": 6e-6,
    "offset_m": 0.0003, "one_rod_m": 0.9, "open_area_m2": 1e-4, "opening_diameter_m": 0.005, "outer_diameter_m": 0.1,
    "outflow_speed_m_s": 0.06, "overlap_m": 0.001, "overpressure_Pa": 25.0, "overpressure_top_Pa": 1.0,
    "plateau_frac": 6e-5, "protrusion_m": 0.001, "reference_K": 288.15, "reference_pressure_Pa": 101325.0,
    "ring_diameter_m": 0.1, "rod_diameter_m": 0.0024, "rod_length_m": 8.55, "room_m3": 30.0, "run_length_m": 0.06,
    "second_bore_m": 0.09, "second_length_m": 0.2, "set_up": "unknown", "share_frac": 0.7, "shield_in_hand_m": 0.06,
    "shield_length_m": 0.05, "silent_s": 300.0, "start_frac": 0.2, "stub_m": 0.05, "supply_frac": 3e-6,
    "tanks_count": 3, "target_frac": 2e-5, "time_above_s": 24.0, "to_height_m": 0.003, "to_rad": 1.5,
    "total_argon_m3": 30.2, "travel_m_s": 0.0015, "usable_argon_m3": 7.0, "vent_area_m2": 3e-5, "vent_frac": 1e-5,
    "ventilation_m3_s": 0.005, "voltage_V": 10.0, "volume_m3": 0.012, "volumes_1": 6.0, "wall_m": 0.0034,
    "water_volume_m3": 0.05, "wind_m_s": 2.0, "argon_m3": 1.0, "backing_m3": 0.3, "bottom_m2": 4.0,
    "cylinder_argon_frac": 4e-6, "drawn_argon_m3": 0.75, "exchange_m3_s": 2e-5, "filled_argon_m3": 2.0, "hose_end_frac": 95e-6,
    "least_flow_m3_s": 4e-5, "lip_m": 0.5, "other_flow_m3_s": 3.57e-4, "other_plateau_frac": 44.4e-6, "reserve_1": 1.25,
    "torch_m3": 0.1, "trail_m3": 0.2,
}  # fmt: skip
OTHER = {"joint.weld_volume.deposit_kg": {"density_kg_m3": 4510.0}}


def at_work(card):
    names = inspect.signature(card.function).parameters
    return {name: POINT[name] for name in names} | OTHER.get(card.id, {})


@pytest.mark.parametrize("card", MINE, ids=lambda c: c.id)
def test_the_hand_sentence_fills_in(card):
    point = at_work(card)
    text = fill_hand(card.hand, point | {card.result: _band(card.function(**point)).value})
    assert "{" not in text and "nan" not in text
    for name, unit in re.findall(r"\{(\w+):([^}.]+)", card.hand):
        assert dimension_of(name), f"{card.id}: {name} has no dimension to show in {unit}"


@pytest.mark.parametrize("card", MINE, ids=lambda c: c.id)
def test_the_card_is_whole(card):
    assert card.source in SOURCES
    assert dimension_of(card.result) or card.result.endswith(PLAIN_SUFFIXES)
    assert ">>>" in (card.function.__doc__ or "")
    point = at_work(card)
    for name, (low, high) in card.holds.items():
        assert low <= point[name] <= high


@pytest.mark.parametrize("card", MINE, ids=lambda c: c.id)
def test_every_argument_moves_the_result(card):
    point = at_work(card)
    here = card.function(**point)
    for name, value in point.items():
        if isinstance(value, str):
            continue
        # large enough to turn a ceiling or a maximum over, one way or the other
        steps = (value + 1,) if isinstance(value, int) else (value * 1.5, value * 1.02, value * 0.6, value * 0.98)
        assert any(moved(card, point | {name: step}) != here for step in steps), f"{card.id} ignores {name}"


def moved(card, point):
    try:
        return card.function(**point)
    except Refused:  # a step past what the formula takes says nothing about the argument
        return card.function(**at_work(card))
