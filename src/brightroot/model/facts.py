"""The handful of facts that a joint is declared from. The form, the CLI, the API and the refusals are made from this."""

from __future__ import annotations

from dataclasses import dataclass

from brightroot.model.joint import DAM_KINDS, FITTINGS, ISO_POSITIONS, OTHER_FORMS, POSITIONS


@dataclass(frozen=True, slots=True)
class Fact:
    """One fact as it is asked for. `kind`: text | number | choice | metal | pipe | filler | yes_no | hold points."""

    name: str
    group: str  # joint | groove | purge | procedure | kit | far end
    kind: str = "number"
    required: bool = False
    choices: tuple[str, ...] = ()
    start: str = ""  # what stands in the field before anybody types
    example: str = ""


FACTS: tuple[Fact, ...] = (
    Fact("id", "joint", "text", required=True, example="J-05"),
    Fact("metal", "joint", "metal", required=True, example="Gr 7"),
    Fact("pipe", "joint", "pipe", required=True, example="NPS 6 Sch 10S"),
    Fact("position", "joint", "choice", required=True, choices=(*POSITIONS, *ISO_POSITIONS), start="5G"),
    Fact("form", "joint", "choice", choices=("girth butt", *OTHER_FORMS), start="girth butt"),
    Fact("closing", "joint", "yes_no", start="no"),
    Fact("included_angle_rad", "groove", required=True, example="60°"),
    Fact("land_m", "groove", required=True, example="0.5 mm"),
    Fact("gap_m", "groove", required=True, example="2.4 mm"),
    Fact("dam_kind", "purge", "choice", required=True, choices=DAM_KINDS, start="foam"),
    Fact("dam_span_m", "purge", required=True, example="600 mm"),
    Fact("feed", "purge", "choice", choices=("low", "high", "unknown"), start="unknown"),
    Fact("vent_diameter_m", "purge", required=True, example="8 mm"),
    Fact("backing_flow_m3_s", "purge", example="15 L/min"),
    Fact("supply_oxygen_frac", "purge", example="3 ppm"),
    Fact("cylinder_volume_m3", "purge", example="50 L"),
    Fact("cylinder_pressure_Pa", "purge", example="200 bar"),
    Fact("heel_pressure_Pa", "purge", example="5 bar"),
    Fact("procedure", "procedure", "text", example="WPS-T14"),
    Fact("interpass_max_K", "procedure", example="100 °C"),
    Fact("start_oxygen_frac", "procedure", example="15 ppm"),
    Fact("release_K", "procedure", example="204 °C"),
    Fact("current_min_A", "procedure", example="65 A"),
    Fact("current_max_A", "procedure", example="110 A"),
    Fact("travel_min_m_s", "procedure", example="60 mm/min"),
    Fact("travel_max_m_s", "procedure", example="120 mm/min"),
    Fact("heat_input_max_J_m", "procedure", example="0.8 kJ/mm"),
    Fact("reading_distance_m", "procedure", example="25.4 mm"),
    Fact(
        "backing_until",
        "procedure",
        "choice",
        choices=("whole joint", "hot pass", "3/16 in deposit", "root temperature"),
        start="whole joint",
    ),
    Fact("tint_criterion", "procedure", "text", example="ISO 9606-5:2000"),
    Fact("hold_points", "procedure", "hold points", example="fit-up, root"),
    Fact("shield_length_m", "kit", example="100 mm"),
    Fact("longest_run_m", "kit", example="60 mm"),
    Fact("filler", "kit", "filler", example="ERTi-7"),
    Fact("ambient_K", "kit", example="20 °C"),
    Fact("drawing", "kit", "text"),
    Fact("fitting_a", "far end", "choice", choices=FITTINGS, start="pipe"),
    Fact("reach_a_m", "far end", example="300 mm"),
    Fact("bore_a_m", "far end", example="161.5 mm"),
    Fact("metal_b", "far end", "metal"),
    Fact("pipe_b", "far end", "pipe"),
    Fact("fitting_b", "far end", "choice", choices=FITTINGS, start="pipe"),
    Fact("reach_b_m", "far end", example="300 mm"),
    Fact("bore_b_m", "far end", example="161.5 mm"),
)

FACTS_BY_NAME = {fact.name: fact for fact in FACTS}
