"""The root as it was fitted up: gap, step and land at points of the clock change rod, current, travel and order where they lie.

Only what depends on a measured place moves; every change is listed. Between two points the gap is taken to run straight.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from brightroot.base.clock import TURN_RAD
from brightroot.base.errors import Refused
from brightroot.model.library import Library
from brightroot.model.plan import Plan, PlannedRun
from brightroot.planner.choose import family_cells, within
from brightroot.planner.passes import amps_row, thinner_wall

LEAST_POINTS, MOST_POINTS = 4, 8
LOOKS = 9  # along a run
SAME_1 = 1e-9


@dataclass(frozen=True, slots=True)
class FitUp:
    """One measured place. None: not measured there."""

    at_rad: float
    gap_m: float
    hi_lo_m: float = 0.0
    land_m: float | None = None


@dataclass(frozen=True, slots=True)
class Change:
    """One value of one run that moves: its figure, what was planned, what it becomes."""

    run: int
    name: str
    planned: float
    becomes: float


@dataclass(frozen=True, slots=True)
class Mend:
    """What has to be put right at a place before it is welded: the id of a sentence, what was measured, what would do."""

    name: str  # gap_closed | gap_wide | hi_lo | land_thick
    at_rad: float
    measured: float
    limit: float


@dataclass(frozen=True, slots=True)
class AsFitted:
    """The changes run by run, what to mend first, and the runs that wait for it."""

    changes: tuple[Change, ...]
    mends: tuple[Mend, ...]
    last: tuple[int, ...]


def as_fitted(plan: Plan, points: Sequence[FitUp], *, library: Library) -> AsFitted:
    """What measured fit-up does to a plan. Raises Refused for fewer than four points, more than eight, or two at one place.

    Travel falls as the bead that the gap asks for grows, so that the same current melts it; beyond the window's end the current
    follows. The rod is the largest that the narrowest gap of a run lets through. A gap under the smallest rod, one so wide that no
    current of the window fills it, a step over the limit, and a land thicker than planned by half are put right first.
    """
    placed = sorted(points, key=lambda point: point.at_rad % TURN_RAD)
    if not LEAST_POINTS <= len(placed) <= MOST_POINTS:
        raise Refused(field="fit_up", wanted=f"{LEAST_POINTS} to {MOST_POINTS} places", got=str(len(placed)))
    angles = [point.at_rad % TURN_RAD for point in placed]
    if len({round(angle, 4) for angle in angles}) < len(angles):
        raise Refused(field="fit_up", wanted="each place once", got="one place twice")
    gaps = [point.gap_m for point in placed]
    changes, mends = [], list(_mends(plan, placed, library))
    for run in plan.runs:
        if run.pass_number == 1:
            found, wide = _run(plan, run, angles, gaps, library)
            changes += found
            mends += wide
    bad = [mend.at_rad for mend in mends if mend.name in ("gap_closed", "gap_wide")]
    last = tuple(run.number for run in plan.runs if run.pass_number == 1 and any(_over(run, at) for at in bad))
    return AsFitted(tuple(changes), tuple(mends), last)


def _over(run: PlannedRun, at_rad: float) -> bool:
    along = (at_rad - min(run.from_rad, run.from_rad + run.sweep_rad)) % TURN_RAD
    return along <= abs(run.sweep_rad)


def _mends(plan: Plan, points: Sequence[FitUp], library: Library) -> list[Mend]:
    cells = family_cells(plan.joint, library)
    family = library.families[library.alloys[plan.joint.end_a.alloy].family]
    smallest = min(cell.value for cell in family.rods_m)
    step, land = cells["hi_lo_max_m"].value, plan.joint.groove.land_m.value
    found = []
    for point in points:
        if plan.joint.groove.gap_m.value > 0 and point.gap_m < smallest * (1 - SAME_1):
            found.append(Mend("gap_closed", point.at_rad, point.gap_m, smallest))
        if point.hi_lo_m > step * (1 + SAME_1):
            found.append(Mend("hi_lo", point.at_rad, point.hi_lo_m, step))
        if point.land_m is not None and point.land_m > max(1.5 * land, land + 0.0005):
            found.append(Mend("land_thick", point.at_rad, point.land_m, 1.5 * land))
    return found


def _run(
    plan: Plan, run: PlannedRun, angles: Sequence[float], gaps: Sequence[float], library: Library
) -> tuple[list[Change], list[Mend]]:
    """One root run under the gap along it."""
    joint, figures = plan.joint, plan.figures
    along = run.from_rad + run.sweep_rad * np.linspace(0.0, 1.0, LOOKS)
    here = np.interp(along % TURN_RAD, angles, gaps, period=TURN_RAD)
    planned_gap = joint.groove.gap_m.value
    mean = float(here.mean())
    if bool((np.abs(here - planned_gap) <= planned_gap * SAME_1).all()):
        return [], []
    around = np.pi * joint.end_a.outer_diameter_m.value
    area = figures["passes.1.metal_m3"].value / around
    grown = max(1.0 + (mean - planned_gap) * _root_top_m(plan, library) / area, 0.1)
    travel, amps = _windows(plan, library)
    speed, current = figures["passes.1.travel_m_s"].value, figures["passes.1.current_A"].value
    wanted = speed / grown
    becomes = min(max(wanted, travel[0]), travel[1])
    # the same metal melts: what travel cannot take, the current does
    stronger = current * becomes / wanted
    held = min(max(stronger, amps[0]), amps[1])
    length = abs(run.sweep_rad) * joint.end_a.outer_diameter_m.value / 2
    rod = _rod_m(plan, float(here.min()), library)
    rows = (
        ("gap_m", planned_gap, mean),
        ("travel_m_s", speed, becomes),
        ("arc_time_s", length / speed, length / becomes),
        ("current_A", current, held),
        ("rod_diameter_m", plan.passes[0].rod_diameter_m, rod),
    )
    changes = [Change(run.number, name, old, new) for name, old, new in rows if abs(new - old) > SAME_1 * abs(old)]
    widest = int(here.argmax())
    wide = (
        [Mend("gap_wide", float(along[widest]), float(here[widest]), planned_gap)]
        if held < stronger * (1 - 1e-6)
        else []
    )
    return changes, wide


def _root_top_m(plan: Plan, library: Library) -> float:
    from brightroot.planner.passes import layers_of

    return layers_of(thinner_wall(plan.joint).value, family_cells(plan.joint, library))[0][2]


def _windows(plan: Plan, library: Library) -> tuple[tuple[float, float], tuple[float, float]]:
    joint, cells = plan.joint, family_cells(plan.joint, library)
    own = joint.procedure
    row = amps_row(library.families[library.alloys[joint.end_a.alloy].family], thinner_wall(joint).value)
    travel = within(cells["travel_m_s"], own.travel_min_m_s, own.travel_max_m_s)
    amps = within(row.root, own.current_min_A, own.current_max_A)
    return (travel.low, travel.high), (amps.low, amps.high)


def _rod_m(plan: Plan, gap_m: float, library: Library) -> float:
    family = library.families[library.alloys[plan.joint.end_a.alloy].family]
    sizes = sorted(cell.value for cell in family.rods_m)
    return max((size for size in sizes if size <= gap_m * (1 + SAME_1)), default=sizes[0])
