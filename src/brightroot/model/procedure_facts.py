"""What a written procedure and a test record are typed from: the forms, the CLI and the pages are made from these."""

from __future__ import annotations

from brightroot.model.event import Field
from brightroot.model.facts import Fact
from brightroot.model.procedure import PROCEDURE_KINDS

UNTOLD = ""  # a choice in which nothing is chosen is not recorded, never the first of the list
# the group that each variable stands in, in the order in which a procedure is read; whatever is left stands in the last
GROUPS: dict[str, tuple[str, ...]] = {
    "which": ("revision", "test_record", "toughness", "worked"),
    "metal": (
        "p_number", "group_number", "metal_thickness_m", "metal_thickness_min_m", "metal_thickness_max_m", "deposit_m",
        "toughness_thickness_m", "groove_form", "gap_min_m", "gap_max_m", "backing_strip", "retainer", "preparation",
        "thermal_cutting", "back_gouging", "preheat_K", "interpass_K", "pwht", "pwht_range",
    ),
    "rod": (
        "filler", "f_number", "a_number", "filler_added", "filler_form", "rod_diameter_min_m", "rod_diameter_max_m",
        "insert", "flux",
    ),
    "gas": (
        "torch_gas", "torch_flow_min_m3_s", "torch_flow_max_m3_s", "backing_gas", "backing_flow_min_m3_s",
        "backing_flow_max_m3_s", "trail_gas", "trail_flow_m3_s", "trail_flow_min_m3_s", "trail_flow_max_m3_s",
        "welded_in",
    ),
    "arc": (
        "position", "progression", "polarity", "pulse", "current_min_A", "current_max_A", "voltage_min_V",
        "voltage_max_V", "travel_min_m_s", "travel_max_m_s", "heat_input_J_m", "heat_input_max_J_m", "tungsten",
        "tungsten_diameter_min_m", "tungsten_diameter_max_m",
    ),
    "bead": (),
}  # fmt: skip
EXAMPLES = {
    "revision": "3", "test_record": "PQR-31", "p_number": "51", "group_number": "1", "f_number": "51", "a_number": "–",
    "filler": "ERTi-2", "position": "5G, 2G", "groove_form": "single V", "preparation": "degreased, oxide off",
    "tungsten": "EWLa-1.5", "torch_gas": "argon", "backing_gas": "argon", "trail_gas": "argon", "pwht": "none",
    "metal_thickness_m": "5.54 mm", "metal_thickness_min_m": "1.5 mm", "metal_thickness_max_m": "11 mm",
    "deposit_m": "5.54 mm", "gap_min_m": "1.6 mm", "gap_max_m": "3.2 mm", "rod_diameter_min_m": "1.6 mm",
    "rod_diameter_max_m": "3/32 in", "torch_flow_min_m3_s": "8 L/min", "torch_flow_max_m3_s": "15 L/min",
    "backing_flow_min_m3_s": "5 L/min", "backing_flow_max_m3_s": "40 cfh", "trail_flow_m3_s": "20 L/min",
    "trail_flow_min_m3_s": "18 L/min", "trail_flow_max_m3_s": "30 L/min", "current_min_A": "65 A",
    "current_max_A": "110 A", "voltage_min_V": "9 V", "voltage_max_V": "12 V", "travel_min_m_s": "60 mm/min",
    "travel_max_m_s": "5 in/min", "heat_input_J_m": "0.8 kJ/mm", "heat_input_max_J_m": "0.8 kJ/mm",
    "tungsten_diameter_min_m": "2.4 mm", "tungsten_diameter_max_m": "1/8 in", "cup_bore_min_m": "12 mm",
    "cup_bore_max_m": "3/4 in", "preheat_K": "15 °C", "interpass_K": "120 °C", "toughness_thickness_m": "5.54 mm",
    "electrode_spacing_min_m": "10 mm", "electrode_spacing_max_m": "20 mm",
}  # fmt: skip


def _fact(field: Field) -> Fact:
    choices = ("yes", "no") if field.kind == "yes_no" else field.choices
    return Fact(
        name=field.name,
        group=next((group for group, names in GROUPS.items() if field.name in names), "bead"),
        kind="choice" if choices else field.kind,
        required=field.required,
        choices=(UNTOLD, *choices) if choices else (),
        example=EXAMPLES.get(field.name, ""),
    )


def _facts(kind: str) -> tuple[Fact, ...]:
    order = [name for names in GROUPS.values() for name in names]
    found = [_fact(field) for field in PROCEDURE_KINDS[kind].fields]
    return tuple(sorted(found, key=lambda fact: order.index(fact.name) if fact.name in order else len(order)))


WRITTEN_FACTS = _facts("procedure.written")
TESTED_FACTS = _facts("procedure.tested")
