"""The groove filled layer by layer: areas, metal, rod and beads of root, hot, fill and cap."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from brightroot.base.formula import Assumed, Estimate, Known, estimate
from brightroot.base.source import Datum
from brightroot.model.joint import Joint
from brightroot.model.library import AmpsRow, Family, Library
from brightroot.model.plan import PlannedPass
from brightroot.physics.joint.bead import rod_length_m, rods_count
from brightroot.physics.joint.cap import (
    cap_area_m2,
    cap_centroid_height_m,
    cap_width_m,
    root_area_m2,
    root_centroid_height_m,
)
from brightroot.physics.joint.groove import groove_area_m2, groove_width_m, layer_area_m2
from brightroot.physics.joint.weld_volume import deposit_kg, layer_metal_m3, swept_metal_m3
from brightroot.physics.totals import total_deposit_kg, total_metal_m3
from brightroot.planner.choose import family_cells

Figures = dict[str, Estimate]
# of a thin wall the root takes so much and leaves the rest to the cap: common practice, no source
ROOT_SHARE_1 = 2 / 3


def plan_passes(joint: Joint, *, library: Library) -> tuple[tuple[PlannedPass, ...], Figures]:
    """The passes and every figure of groove, layers, deposit and rod."""
    cells = family_cells(joint, library)
    family = library.families[library.alloys[joint.end_a.alloy].family]
    density = library.fillers[filler_of(joint, library)].cells["density_kg_m3"]
    shape: dict[str, Known] = {
        "gap_m": joint.groove.gap_m,
        "land_m": joint.groove.land_m,
        "included_angle_rad": joint.groove.included_angle_rad,
    }
    wall = thinner_wall(joint)
    bore = joint.end_a.bore
    figures = _groove(shape, wall=wall, bore=bore, density=density, cells=cells)
    layers = layers_of(wall.value, cells)
    passes = []
    for number, (name, bottom, top) in enumerate(layers, 1):
        made, own = _pass(
            number,
            name,
            bottom,
            top,
            shape=shape,
            bore=bore,
            density=density,
            cells=cells,
            family=family,
            figures=figures,
            last=number == len(layers),
            gap=joint.groove.gap_m.value,
        )
        passes.append(made)
        figures |= own
    figures["groove.deposit_kg"] = estimate(
        total_deposit_kg,
        key="groove.deposit_kg",
        **{f"pass_{p.number}_kg": figures[f"passes.{p.number}.deposit_kg"] for p in passes},
    )
    return tuple(passes), figures


def thinner_wall(joint: Joint) -> Known:
    """The weld is as thick as the thinner of the two walls."""
    return min(joint.end_a.wall_m, joint.end_b.wall_m, key=lambda wall: wall.value)


def filler_of(joint: Joint, library: Library) -> str:
    """The rod that was named, or the first choice for the metal."""
    return joint.filler or library.alloys[joint.end_a.alloy].fillers[0]


def amps_row(family: Family, wall_m: float) -> AmpsRow:
    """The practice currents for a wall; beyond the last row the last row, whose caveat the plan shows."""
    return next((row for row in family.amps if wall_m <= row.wall_max_m), family.amps[-1])


def _groove(
    shape: Mapping[str, Known], *, wall: Known, bore: float, density: Datum, cells: Mapping[str, Datum]
) -> Figures:
    area = estimate(groove_area_m2, key="groove.area_m2", wall_m=wall, **shape)
    width = estimate(groove_width_m, key="groove.width_m", height_m=wall, **shape)
    # closed square edges leave nothing to fill: there is then no bare groove to weigh
    bare: Figures = {}
    if area.value > 0:
        metal = estimate(
            layer_metal_m3, key="groove.metal_m3", bore_m=bore, from_height_m=0.0, to_height_m=wall, **shape
        )
        kilos = estimate(deposit_kg, key="groove.bare_deposit_kg", metal_m3=metal, density_kg_m3=density)
        bare = {metal.key: metal, kilos.key: kilos}
    cap_width = estimate(cap_width_m, key="cap.width_m", groove_width_m=width, overlap_m=cells["cap_overlap_m"])
    return {
        "groove.area_m2": area,
        "groove.width_m": width,
        **bare,
        "cap.width_m": cap_width,
        "cap.area_m2": estimate(
            cap_area_m2, key="cap.area_m2", cap_width_m=cap_width, cap_height_m=cells["cap_height_m"]
        ),
        "cap.middle_m": estimate(
            cap_centroid_height_m, key="cap.middle_m", wall_m=wall, cap_height_m=cells["cap_height_m"]
        ),
        "root.area_m2": estimate(
            root_area_m2, key="root.area_m2", gap_m=shape["gap_m"], melt_in_m=cells["root_melt_in_m"],
            protrusion_m=cells["root_protrusion_m"],
        ),
        "root.middle_m": estimate(
            root_centroid_height_m, key="root.middle_m", protrusion_m=cells["root_protrusion_m"]
        ),
    }  # fmt: skip


def layers_of(wall_m: float, cells: Mapping[str, Datum]) -> list[tuple[str, float, float]]:
    """(name, from, to) heights above the inside; the thinnest walls are one pass, all others have a root and a cap."""
    root_top = min(wall_m * ROOT_SHARE_1, cells["root_layer_m"].value)
    rest = wall_m - root_top
    count = max(1, round(rest / cells["fill_layer_m"].value + 0.3))
    heights = [root_top + rest * k / count for k in range(count + 1)]
    if wall_m <= cells["one_pass_wall_m"].value:
        return [("root", 0.0, wall_m)]
    names = ["cap"] if count == 1 else ["hot", *["fill"] * (count - 2), "cap"]
    return [
        ("root", 0.0, root_top),
        *((name, low, high) for name, low, high in zip(names, heights, heights[1:], strict=False)),
    ]


def _pass(
    number: int, name: str, bottom: float, top: float, *, shape: Mapping[str, Known], bore: float, density: Datum,
    cells: Mapping[str, Datum], family: Family, figures: Figures, last: bool, gap: float,
) -> tuple[PlannedPass, Figures]:  # fmt: skip
    key = f"passes.{number}"
    heights: dict[str, Any] = {"from_height_m": bottom, "to_height_m": top}
    own: Figures = {f"{key}.layer_area_m2": estimate(layer_area_m2, key=f"{key}.layer_area_m2", **heights, **shape)}
    metal: Figures = {}
    if own[f"{key}.layer_area_m2"].value > 0:
        metal["layer_m3"] = estimate(layer_metal_m3, key=f"{key}.layer_metal_m3", bore_m=bore, **heights, **shape)
    if name == "root":
        metal["root_m3"] = estimate(
            swept_metal_m3, key=f"{key}.root_metal_m3", area_m2=figures["root.area_m2"], bore_m=bore,
            centroid_height_m=figures["root.middle_m"],
        )  # fmt: skip
    if last:
        metal["cap_m3"] = estimate(
            swept_metal_m3, key=f"{key}.cap_metal_m3", area_m2=figures["cap.area_m2"], bore_m=bore,
            centroid_height_m=figures["cap.middle_m"],
        )  # fmt: skip
    own |= {figure.key: figure for figure in metal.values()}
    total = estimate(total_metal_m3, key=f"{key}.metal_m3", **metal)
    rod = _rod(name, gap=gap, top=top, family=family)
    length = estimate(rod_length_m, key=f"{key}.rod_length_m", metal_m3=total, rod_diameter_m=rod)
    width = figures["cap.width_m"].value if last else own[f"{key}.layer_area_m2"].value / max(top - bottom, 1e-6)
    beads = 1 if name == "root" else math.ceil(width / cells["widest_bead_m"].value - 1e-9)
    own |= {
        f"{key}.metal_m3": total,
        f"{key}.deposit_kg": estimate(deposit_kg, key=f"{key}.deposit_kg", metal_m3=total, density_kg_m3=density),
        f"{key}.rod_length_m": length,
        f"{key}.rods_count": estimate(
            rods_count,
            key=f"{key}.rods_count",
            rod_length_m=length,
            one_rod_m=cells["rod_length_m"],
            stub_m=cells["stub_m"],
        ),
    }
    return PlannedPass(number, name, beads, rod.value, tuple(own)), own


def _rod(name: str, *, gap: float, top: float, family: Family) -> Assumed:
    """Root: the largest rod that is not wider than the gap (laid in), else the smallest. Above: by the layer's top."""
    sizes = sorted(cell.value for cell in family.rods_m)
    if name == "root":
        size = max((s for s in sizes if s <= gap * (1 + 1e-9)), default=sizes[0])
    else:
        size = max((s for s in sizes if s <= max(top * 0.75, sizes[0])), default=sizes[0])
    cell = next(c for c in family.rods_m if c.value == size)
    return Assumed(cell.value, cell.low, cell.high, cell.source, cell.standing)
