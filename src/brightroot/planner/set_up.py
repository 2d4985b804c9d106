"""The set-up card: everything on the bench and the machine, which changes as a whole with the metal."""

from __future__ import annotations

from brightroot.base.formula import Estimate
from brightroot.base.source import Datum
from brightroot.model.joint import Joint
from brightroot.model.library import Library
from brightroot.model.plan import PlannedPass, SetUpRow
from brightroot.planner.choose import chosen, family_cells
from brightroot.planner.heat import plain_figure

Figures = dict[str, Estimate]
CARD = (
    "tungsten_diameter_m", "tip_angle_rad", "stick_out_m", "cup_bore_m", "torch_flow_m3_s", "trail_flow_m3_s",
    "slope_up_s", "slope_down_s", "pre_flow_s", "post_flow_s", "clean_band_m", "prepared_valid_s", "tack_length_m",
)  # fmt: skip


def plan_set_up(
    joint: Joint, *, library: Library, passes: tuple[PlannedPass, ...], filler: str, figures: Figures
) -> tuple[tuple[SetUpRow, ...], Figures]:
    """The rows and their figures. The post-flow is never shorter than the longest hold."""
    family = library.families[library.alloys[joint.end_a.alloy].family]
    cells = family_cells(joint, library)
    own: Figures = {}
    for name in CARD:
        if name == "trail_flow_m3_s" and not family.trailing_required:
            continue
        own[f"set_up.{name}"] = plain_figure(name, f"set_up.{name}", cells[name])
    own["set_up.post_flow_s"] = _post_flow(cells["post_flow_s"], figures)
    for name in ("backing_flow_m3_s", "start_oxygen_frac", "interpass_max_K", "release_K", "reading_distance_m"):
        source = joint.purge if name == "backing_flow_m3_s" else joint.procedure
        own[f"set_up.{name}"] = plain_figure(name, f"set_up.{name}", chosen(getattr(source, name), cells[name]))
    own["set_up.heat_input_max_J_m"] = plain_figure(
        "heat_input_J_m",
        "set_up.heat_input_max_J_m",
        chosen(joint.procedure.heat_input_max_J_m, cells["heat_input_J_m"]),
    )
    words = [SetUpRow(f"set_up.{name}", says=said) for name, said in family.words.items()]
    rods = [
        SetUpRow("set_up.rod", figure=f"passes.{p.number}.rod_length_m", params=(("pass", p.name), ("filler", filler)))
        for p in passes
    ]
    amps = [SetUpRow("set_up.amps", figure=f"passes.{p.number}.current_A", params=(("pass", p.name),)) for p in passes]
    return (*words, *rods, *amps, *(SetUpRow(key, figure=key) for key in own)), own


def _post_flow(cell: Datum, figures: Figures) -> Estimate:
    """At least the crater's hold: the late end of the longest hold of any run."""
    practice = plain_figure("post_flow_s", "set_up.post_flow_s", cell)
    longest = max(
        (f for key, f in figures.items() if key.startswith("runs.") and key.endswith(".hold_s")),
        key=lambda f: f.high,
        default=practice,
    )
    if longest.high <= cell.value:
        return practice
    return Estimate(
        "post_flow_s", longest.high, longest.value, longest.high, longest.formula, longest.inputs, longest.standing,
        longest.caveats, "set_up.post_flow_s",
    )  # fmt: skip
