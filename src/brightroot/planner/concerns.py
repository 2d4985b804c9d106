"""What the plan wants the person to know before the first arc: too hot, too short, too much, not named."""

from __future__ import annotations

from brightroot.base.formula import Estimate
from brightroot.model.joint import Joint
from brightroot.model.library import Library
from brightroot.model.plan import Concern, PlannedPass, PlannedRun
from brightroot.planner.choose import family_cells
from brightroot.planner.passes import thinner_wall

Figures = dict[str, Estimate]


def plan_concerns(
    joint: Joint, *, library: Library, passes: tuple[PlannedPass, ...], runs: tuple[PlannedRun, ...], figures: Figures
) -> tuple[Concern, ...]:
    """Concerns of heat, shield, current and criteria. Each names the figures that it stands on."""
    family = library.families[library.alloys[joint.end_a.alloy].family]
    found = [
        *_heat_input(joint, passes, figures),
        *_shield(joint, family.trailing_required, runs, figures),
        *_never_cool(runs, figures),
    ]
    cells = family_cells(joint, library)
    wall = thinner_wall(joint).value
    if wall > family.amps[-1].wall_max_m:
        found.append(Concern("warn", "concern.wall_beyond_amps"))
    if abs(joint.end_a.bore - joint.end_b.bore) / 2 > cells["hi_lo_max_m"].value * (1 + 1e-9):
        found.append(Concern("warn", "concern.bores_differ"))
    if joint.end_a.alloy != joint.end_b.alloy:
        found.append(
            Concern("note", "concern.grades_differ", (), (("first", joint.end_a.alloy), ("second", joint.end_b.alloy)))
        )
    if not joint.procedure.tint_criterion:
        found.append(Concern("note", "concern.no_tint_criterion"))
    if not joint.procedure.name:
        found.append(Concern("note", "concern.no_procedure"))
    distance = (
        joint.procedure.reading_distance_m.value
        if joint.procedure.reading_distance_m
        else cells["reading_distance_m"].value
    )
    short = [
        side for side, end in (("a", joint.end_a), ("b", joint.end_b)) if end.reach_m and end.reach_m.value < distance
    ]
    if short:
        found.append(Concern("warn", "concern.reach", (), (("end", ", ".join(short)),)))
    return tuple(found)


def _heat_input(joint: Joint, passes: tuple[PlannedPass, ...], figures: Figures) -> list[Concern]:
    limit = joint.procedure.heat_input_max_J_m
    if limit is None:
        return []
    over = tuple(
        f"passes.{p.number}.heat_input_J_m"
        for p in passes
        if figures[f"passes.{p.number}.heat_input_J_m"].high > limit.value
    )
    return [Concern("warn", "concern.heat_input", over)] if over else []


def _shield(joint: Joint, needed: bool, runs: tuple[PlannedRun, ...], figures: Figures) -> list[Concern]:
    if not needed:
        return []
    if joint.shield_length_m is None:
        return [
            Concern("note", "concern.no_shield", ("heat.shield_length_m",) if "heat.shield_length_m" in figures else ())
        ]
    if any(f"runs.{run.number}.hot_length_outer_m" not in figures for run in runs):
        # hot all the way round: no shield is long enough
        short = (("shield_length_m", joint.shield_length_m.as_entered),)
        return [Concern("block", "concern.shield_short", (), short)]
    if figures["heat.shield_length_m"].high > joint.shield_length_m.value:
        level = "warn" if figures["heat.shield_length_m"].value <= joint.shield_length_m.value else "block"
        return [
            Concern(
                level,
                "concern.shield_short",
                ("heat.shield_length_m",),
                (("shield_length_m", joint.shield_length_m.as_entered),),
            )
        ]
    return []


def _never_cool(runs: tuple[PlannedRun, ...], figures: Figures) -> list[Concern]:
    stuck = [str(r.number) for r in runs if f"runs.{r.number}.wait_s" not in figures]
    return [Concern("block", "concern.never_cool", (), (("runs", ", ".join(stuck)),))] if stuck else []
