"""Kinds of event about material, tools, defects, repairs and waivers."""

from __future__ import annotations

from brightroot.model.event_field import Field, Kind, choice, maybe

PARTS = ("end a", "end b", "rod", "weld")
FAMILIES = ("titanium", "zirconium", "stainless", "nickel", "not marked")
# certificates print them in percent by mass
ELEMENTS = (
    "oxygen", "nitrogen", "carbon", "hydrogen", "iron", "chromium", "hafnium", "aluminium", "vanadium", "palladium",
    "ruthenium", "molybdenum", "nickel", "tin", "niobium",
)  # fmt: skip
DEFECTS = (
    "crack", "lack of fusion", "incomplete penetration", "undercut", "porosity", "tungsten inclusion",
    "linear indication", "rounded indication", "concavity", "protrusion", "reinforcement", "burn-through", "arc strike",
    "colour", "hard spot",
)  # fmt: skip
LAYERS = ("root", "hot", "fill", "cap")
ACTIONS = ("polish", "remove", "cut out", "ask the engineer", "accept")
# what a waiver can name: the variables that a record tells
GUARDED = (
    "metal_thickness_m", "deposit_m", "p_number", "position", "groove_form", "gap_m", "filler", "f_number",
    "rod_diameter_m", "current_A", "voltage_V", "travel_m_s", "arc_energy_J_m", "heat_input_J_m",
    "torch_gas", "trail_gas", "backing_gas",
    "torch_flow_m3_s", "trail_flow_m3_s", "backing_flow_m3_s",
)  # fmt: skip

_STAMP = Field("stamp", "stamp")
_AT = maybe("at_rad", "clock")

MATERIAL_KINDS: tuple[Kind, ...] = (
    Kind(
        "composition.recorded",
        "prepare",
        (
            choice("part", *PARTS),
            choice("told_by", "certificate", "analysis"),
            maybe("edition", "text"),
            *(maybe(f"{element}_frac") for element in ELEMENTS),
        ),
    ),
    Kind(
        "pmi.read",
        "prepare",
        (
            choice("part", *PARTS),
            Field("grade", "text"),
            choice("match", "matches", "differs", "no reading"),
            maybe("tag", "text"),
        ),
    ),
    Kind(
        "tool.taken",
        "prepare",
        (
            choice("tool", "brush", "burr", "file", "disc", "clamp", "gloves", "bench"),
            Field("tag", "text"),
            choice("kept_for", *FAMILIES),
        ),
    ),
    Kind(
        "defect.found",
        "look",
        (
            choice("defect", *DEFECTS),
            choice("found_by", "visual", "camera", "penetrant", "radiography", "ultrasonics", "hardness", "bend"),
            choice("in_layer", *LAYERS),
            Field("at_rad", "clock"),
            maybe("depth_m"),
            maybe("length_m"),
            maybe("width_m"),
            maybe("run_count", "count"),
            _STAMP,
        ),
    ),
    Kind(
        "nde.reported",
        "look",
        (
            choice("nde", "radiography", "ultrasonics", "penetrant", "eddy current"),
            choice("finding", "nothing reportable", "indications", "not readable"),
            Field("report", "text"),
            _STAMP,
        ),
    ),
    Kind(
        "hardness.measured",
        "look",
        (
            choice("zone", "weld", "heat-affected", "base"),
            choice("scale", "HV", "HRB", "HK"),
            Field("hardness_1", "count"),
            choice("tester", "portable", "laboratory"),
            _AT,
        ),
    ),
    Kind(
        "bend.tested",
        "look",
        (choice("specimen", "face", "root", "side"), Field("opening_m"), maybe("bend_radius_m"), _STAMP),
    ),
    Kind(
        "repair.decided",
        "look",
        (
            Field("defect_event", "text"),
            choice("action", *ACTIONS),
            Field("why", "text"),
            _STAMP,
            choice("role", "welder", "inspector", "engineer", "owner"),
        ),
    ),
    Kind(
        "repair.made",
        "look",
        (Field("defect_event", "text"), choice("action", *ACTIONS[:3]), maybe("depth_m"), _STAMP),
    ),
    Kind(
        "samples.kept",
        "purge",
        (
            Field("instrument", "text"),
            choice("measures", "oxygen_frac", "room_oxygen_frac", "temperature_K"),
            Field("samples_count", "count"),
            Field("from_utc", "text"),
            Field("until_utc", "text"),
            Field("samples_sha256", "text"),
            maybe("doubted", "text"),  # stretches that are not believed
            maybe("doubtful", "text"),  # why the stream is not believed at the end of the block
        ),
        by_hand=False,
    ),
    Kind(
        "concession.signed",
        "record",
        (
            Field("clause", "text"),
            Field("why", "text"),
            _STAMP,
            choice("role", "engineer", "owner"),
            maybe("paper", "text"),
        ),
    ),
    Kind(
        "procedure.waived",
        "record",
        (choice("variable", *GUARDED), Field("why", "text"), _STAMP, choice("role", "engineer", "owner")),
    ),
)
