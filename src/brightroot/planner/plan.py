"""Joint and library in, plan out: the parts composed, nothing computed here."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from brightroot import __version__
from brightroot.base.formula import Estimate, estimate
from brightroot.base.source import Datum
from brightroot.model.joint import POSITIONS, Joint, Position
from brightroot.model.library import Library
from brightroot.model.plan import Arc, Plan, PlannedPass, PlannedRun
from brightroot.physics.weld.shield_length import shield_length_m
from brightroot.planner.arcs import plan_arcs, plan_runs, plan_tacks
from brightroot.planner.choose import chosen, family_cells
from brightroot.planner.concerns import plan_concerns
from brightroot.planner.gas import plan_gas
from brightroot.planner.heat import Progress, plan_heat
from brightroot.planner.passes import filler_of, plan_passes
from brightroot.planner.purge import plan_purge
from brightroot.planner.purge_dams import plan_dams
from brightroot.planner.purge_stop import plan_stop
from brightroot.planner.set_up import plan_set_up
from brightroot.planner.steps import plan_steps
from brightroot.planner.times import plan_times
from brightroot.planner.tint import plan_tint


@dataclass(frozen=True, slots=True)
class ChosenWay:
    """Arcs, runs in the order in which they are made, and (current, travel) by pass."""

    arcs: tuple[Arc, ...]
    runs: tuple[PlannedRun, ...]
    currents: Mapping[int, tuple[float, float]]


def make_plan(
    joint: Joint, *, library: Library, chosen_way: ChosenWay | None = None, progress: Progress = lambda done, of: None
) -> Plan:
    """The whole plan of one joint. Pure: the same joint and library give the same plan.

    `progress` hears (runs done, runs in all); it stops the planning by raising. `chosen_way` has the arcs, the runs in their order
    and the currents that a search chose; without it, all are laid out by rule.

    Raises Refused where a limit cannot be met at all, for instance a supply that is no better than the start limit.
    """
    cells = family_cells(joint, library)
    family = library.families[library.alloys[joint.end_a.alloy].family]
    position = POSITIONS[joint.position]
    around = math.pi * joint.end_a.outer_diameter_m.value
    filler = filler_of(joint, library)
    passes, figures = plan_passes(joint, library=library)
    way = chosen_way or _by_rule(joint, cells, passes, position, around)
    arcs, runs = way.arcs, way.runs
    tacks = plan_tacks(runs=runs, circumference_m=around, spacing_m=cells["tack_spacing_m"].value)
    purge, purge_concerns = plan_purge(joint, library=library, arcs=arcs)
    heat = plan_heat(joint, library=library, passes=passes, runs=runs, chosen_ways=way.currents, progress=progress)
    figures |= {**purge, **heat.figures}
    dams, dam_concerns = plan_dams(joint, library=library, heat=heat, figures=figures)
    figures |= {**dams, **plan_stop(joint, library=library, figures=figures)}
    figures |= _shield(runs, figures, cells["shield_allowance_m"])
    figures |= plan_tint(joint, library=library, passes=passes, runs=runs, heats=heat.heats)
    figures |= plan_times(joint, library=library, runs=runs, tacks=tacks, figures=figures)
    figures |= plan_gas(joint, library=library, figures=figures)
    set_up, own = plan_set_up(joint, library=library, passes=passes, filler=filler, figures=figures)
    figures |= own
    concerns = (
        *purge_concerns,
        *dam_concerns,
        *plan_concerns(joint, library=library, passes=passes, runs=runs, figures=figures),
    )
    return Plan(
        joint=joint, library_digest=library.digest, made_with=__version__, filler=filler, arcs=arcs, tacks=tacks,
        passes=passes, runs=runs, set_up=set_up,
        steps=plan_steps(
            joint, family=family, arcs=arcs, tacks=tacks, passes=passes, runs=runs,
            steps_down=any(c.name == "concern.step_down" for c in concerns),
        ),
        concerns=concerns, figures=figures,
    )  # fmt: skip


def _by_rule(
    joint: Joint, cells: Mapping[str, Datum], passes: tuple[PlannedPass, ...], position: Position, around_m: float
) -> ChosenWay:
    arcs = plan_arcs(position=position, circumference_m=around_m, longest_arc_m=cells["longest_arc_m"].value)
    runs = plan_runs(
        arcs=arcs, passes=passes, position=position, radius_m=joint.end_a.outer_diameter_m.value / 2,
        longest_run_m=chosen(joint.longest_run_m, cells["longest_run_m"]).value, stagger_m=cells["stagger_m"].value,
    )  # fmt: skip
    return ChosenWay(arcs, runs, {})


def _shield(runs: tuple[PlannedRun, ...], figures: dict[str, Estimate], allowance: object) -> dict[str, Estimate]:
    """The longest hot length of any run decides; where one run stays hot all the way round no shield is long enough."""
    lengths = [figures.get(f"runs.{run.number}.hot_length_outer_m") for run in runs]
    known = [length for length in lengths if length is not None]
    if not known:
        return {}
    longest = max(known, key=lambda figure: figure.value)
    needed = estimate(shield_length_m, key="heat.shield_length_m", hot_length_m=longest, allowance_m=allowance)
    return {needed.key: needed}
