"""The joint as the heat engine takes it: its metal, its section with the groove and what hangs on, and its losses."""

from __future__ import annotations

from collections.abc import Mapping

from brightroot.base.source import Datum
from brightroot.model.joint import Joint, PipeEnd
from brightroot.model.library import Alloy, Library
from brightroot.model.plan import PlannedPass
from brightroot.physics.heat.volumes.body import Body, Losses, body
from brightroot.physics.heat.volumes.metal import Latent, Metal, metal
from brightroot.physics.heat.volumes.wall import End, Preparation, joint_section
from brightroot.physics.joint.groove import groove_width_m
from brightroot.planner.choose import chosen, family_cells
from brightroot.planner.passes import layers_of, thinner_wall

NARROWEST_dK = 10.0  # a metal that melts at one temperature is taken to melt within so much on either side
LEAST_REACH_M = 0.05
MASSIVE = ("flange", "valve")
GOES_ON = ("elbow", "tee", "reducer")


def body_of(joint: Joint, *, library: Library) -> Body:
    """Both ends with their own walls, the groove, and each layer's metal; at rest at the surroundings' temperature.

    The end with more straight metal comes second: readings are taken on its side. A layer is laid whole by its first bead.
    The penetration bead inside is left out.
    """
    cells = family_cells(joint, library)
    ambient = chosen(joint.ambient_K, cells["ambient_K"]).value
    outer = max(joint.end_a.outer_diameter_m.value, joint.end_b.outer_diameter_m.value)
    return body(
        metal=metal_of(library.alloys[joint.end_a.alloy]),
        section=joint_section(
            ends=_ends(joint, cells), preparation=_preparation(joint, cells)
        ),
        radius_m=outer / 2,
        losses=Losses(
            ambient, *(cells[f"{what}_{face}"].value for face, what in (
                ("outer_W_m2K", "convection"), ("outer_1", "emissivity"), ("inner_W_m2K", "convection"), ("inner_1", "emissivity"),
            )),
        ),
        start_K=ambient,
    )  # fmt: skip


def metal_of(alloy: Alloy) -> Metal:
    """Tables of an alloy: curves as the library has them, and the heat of melting between solidus and liquidus."""
    conducts, warmth = alloy.curves["conductivity_W_mK"], alloy.curves["specific_heat_J_kgK"]
    melting, latent = alloy.cells["melting_K"], alloy.cells["latent_heat_J_kg"]
    return metal(
        density_kg_m3=alloy.cells["density_kg_m3"].value,
        conductivity=(conducts.temperature_K, conducts.value),
        specific_heat=(warmth.temperature_K, warmth.value),
        latent=[Latent(min(melting.low, melting.value - NARROWEST_dK), melting.value + NARROWEST_dK, latent.value)],
    )


def laid_by(layer: PlannedPass) -> int:
    """The number, from 0, under which the section knows what a pass lays."""
    return layer.number - 1


def _ends(joint: Joint, cells: Mapping[str, Datum]) -> tuple[End, End]:
    one, other = _end(joint.end_a, cells), _end(joint.end_b, cells)
    return (one, other) if one.reach_m <= other.reach_m else (other, one)


def _end(end: PipeEnd, cells: Mapping[str, Datum]) -> End:
    """Straight metal as typed; a flange or a valve hangs on as a ring of metal, other fittings go on as pipe does."""
    outer = end.outer_diameter_m.value
    typed = end.reach_m.value if end.reach_m and end.reach_m.value > 0 else None
    if end.fitting in MASSIVE:
        reach = max(typed or cells[f"{end.fitting}_reach_m"].value, LEAST_REACH_M)
        width, length = cells[f"{end.fitting}_wide_1"].value, cells[f"{end.fitting}_long_1"].value
        return End(outer, end.wall_m.value, reach, width * outer, length * outer)
    reach = max(typed or cells["half_length_m"].value, LEAST_REACH_M)
    if typed and end.fitting in GOES_ON:
        reach += cells["fitting_long_1"].value * outer
    return End(outer, end.wall_m.value, reach)


def _preparation(joint: Joint, cells: Mapping[str, Datum]) -> Preparation:
    wall, groove = thinner_wall(joint).value, joint.groove
    width = groove_width_m(
        height_m=wall, gap_m=groove.gap_m.value, land_m=groove.land_m.value,
        included_angle_rad=groove.included_angle_rad.value,
    )  # fmt: skip
    return Preparation(
        gap_m=groove.gap_m.value, land_m=min(groove.land_m.value, wall),
        included_angle_rad=groove.included_angle_rad.value,
        tops_m=tuple(top for _, _, top in layers_of(wall, cells)),
        cap_height_m=cells["cap_height_m"].value, cap_width_m=width + 2 * cells["cap_overlap_m"].value,
    )  # fmt: skip
