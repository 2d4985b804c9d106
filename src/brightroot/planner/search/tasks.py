"""A joint as a search task: every way of every layer that the procedure's windows allow."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from brightroot.base.formula import Estimate
from brightroot.model.joint import POSITIONS, Joint
from brightroot.model.library import Library
from brightroot.model.plan import Arc, PlannedPass
from brightroot.physics.heat.ring import Ring
from brightroot.planner.arcs import plan_arcs
from brightroot.planner.choose import chosen, family_cells
from brightroot.planner.heat import metal_of_joint, ring_of_joint
from brightroot.planner.passes import plan_passes
from brightroot.planner.purge import plan_purge
from brightroot.planner.search.task import TIME, Hands, Layer, Limits, Task
from brightroot.planner.search.ways import ways_of


@dataclass(frozen=True, slots=True)
class Setting:
    """What a task was made from; the runs of each way as the plan would write them."""

    joint: Joint
    library: Library
    arcs: tuple[Arc, ...]
    passes: tuple[PlannedPass, ...]
    figures: Mapping[str, Estimate]
    task: Task
    beads: tuple[int, ...]  # the pass of each layer


def setting_of(
    joint: Joint,
    *,
    library: Library,
    objective: str = TIME,
    without: Iterable[str] = (),
    ring: Ring | None = None,
    hand: str = "right",
) -> Setting:
    """The task of a joint. `without` names rules that are dropped, to see what they cost. `hand` is the welder's: right | left.

    Bottom first, then its opposite, is kept for the root of pipe that lies fixed and horizontal (or inclined); vertical pipe keeps
    opposite arcs, rolled pipe takes them as they come to the top.
    """
    dropped = frozenset(without)
    cells = family_cells(joint, library)
    position = POSITIONS[joint.position]
    passes, figures = plan_passes(joint, library=library)
    around = math.pi * joint.end_a.outer_diameter_m.value
    arcs = plan_arcs(position=position, circumference_m=around, longest_arc_m=cells["longest_arc_m"].value)
    purge, _ = plan_purge(joint, library=library, arcs=arcs)
    metal = metal_of_joint(joint, library, cells)
    limits = _limits(joint, library, dropped)
    layers, beads = [], []
    for layer in passes:
        area = figures[f"passes.{layer.number}.metal_m3"].value / (around * layer.beads)
        ways = ways_of(joint, library, layer, arcs, area, dropped)
        root = layer.number == 1
        ordered = root and "order" not in dropped
        for _ in range(layer.beads):
            layers.append(
                Layer(
                    layer.number, layer.name, ways,
                    first=tuple(arc.name for arc in arcs[:2]) if ordered and not position.rolled else (),
                    in_turn=position.rolled and "order" not in dropped,
                    taped=root,
                )
            )  # fmt: skip
            beads.append(layer.number)
    task = Task(
        ring or ring_of_joint(joint, metal, cells),
        tuple(layers),
        limits,
        _hands(joint, library, purge),
        objective,
        hand,
    )
    return Setting(joint, library, arcs, passes, figures | purge, task, tuple(beads))


def _limits(joint: Joint, library: Library, dropped: frozenset[str]) -> Limits:
    cells = family_cells(joint, library)
    family = library.families[library.alloys[joint.end_a.alloy].family]
    own = joint.procedure
    shield = joint.shield_length_m
    hot = shield.value - cells["shield_allowance_m"].value if shield and family.trailing_required else None
    return Limits(
        None if "interpass" in dropped else chosen(own.interpass_max_K, cells["interpass_max_K"]).value,
        chosen(own.release_K, cells["release_K"]).value,
        chosen(own.reading_distance_m, cells["reading_distance_m"]).value,
        None if "hot_length" in dropped else hot,
        "hold" not in dropped,
    )


def _hands(joint: Joint, library: Library, purge: Mapping[str, Estimate]) -> Hands:
    cells = family_cells(joint, library)
    family = library.families[library.alloys[joint.end_a.alloy].family]
    trail = cells["trail_flow_m3_s"].value if family.trailing_required else 0.0
    return Hands(
        cells["move_s"].value, cells["tape_s"].value, cells["torch_flow_m3_s"].value + trail,
        chosen(joint.purge.backing_flow_m3_s, cells["backing_flow_m3_s"]).value,
        purge["purge.time_s"].value, purge["purge.argon_m3"].value,
    )  # fmt: skip
