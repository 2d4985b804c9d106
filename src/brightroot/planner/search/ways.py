"""The ways of making a layer: how it is cut into runs, with which current, and how fast the arc then melts the bead."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

from brightroot.base.clock import TURN_RAD
from brightroot.model.joint import POSITIONS, Joint, Position
from brightroot.model.library import Library
from brightroot.model.plan import Arc, PlannedPass, PlannedRun
from brightroot.physics.heat.properties import mean_over
from brightroot.physics.weld.travel import travel_from_melt_m_s
from brightroot.planner.arcs import COMFORT, plan_arcs, plan_runs, plan_tacks
from brightroot.planner.choose import chosen, family_cells, within
from brightroot.planner.passes import amps_row, thinner_wall
from brightroot.planner.purge import plan_purge
from brightroot.planner.search.task import Stretch, Way

MORE_RUNS = 2  # the fewest runs, and one more
SHORTEST_M = 0.012
MOST_ARCS = 12


def ways_of(
    joint: Joint, library: Library, layer: PlannedPass, arcs: tuple[Arc, ...], area_m2: float, dropped: frozenset[str]
) -> tuple[Way, ...]:
    """The plan's own way first; then runs a layer × currents, each as fast as its arc melts the bead within the window.

    What melts is told by the heat balance or by the usual current and travel, whichever is faster.
    """
    power, windows = _power(joint, library, layer, dropped)
    plain = _stretches(joint, library, _own_cut(joint, library, layer, arcs), arcs)
    opened = opened_of(arcs) if layer.number == 1 else ()
    usual = power(windows.usual_A) / windows.usual_m_s
    # the usual current and travel are themselves a sign of what melts: they ask for no less heat than is needed
    melted_J_m = min(melt_W_s_m(joint, library, area_m2), usual)
    ways = [Way(plain, windows.usual_A, power(windows.usual_A), windows.usual_m_s, usual, opened)]
    for runs, over in _cuts(joint, library, layer, arcs, dropped):
        stretches = _stretches(joint, library, runs, over)
        opened = opened_of(over) if layer.number == 1 else ()
        for current in windows.currents(melted_J_m):
            speed = windows.travel_m_s(power(current) / melted_J_m)
            ways.append(Way(stretches, current, power(current), speed, power(current) / speed, opened))
    limit = joint.procedure.heat_input_max_J_m
    if limit is None or "heat_input" in dropped:
        return tuple(ways)
    return tuple(way for way in ways if way.heat_input_J_m <= limit.value * (1 + 1e-9))


@dataclass(frozen=True, slots=True)
class Windows:
    """Current and travel: what is usual, and what the procedure's window (or practice) allows."""

    usual_A: float
    low_A: float
    high_A: float
    usual_m_s: float
    low_m_s: float
    high_m_s: float
    watt_A: float  # into the pipe, an ampere

    def currents(self, melt_J_m: float) -> tuple[float, ...]:
        """Top, middle, low, and where the bead is melted just at the top of travel: less than that is cooler, not slower."""
        knee = self.high_m_s * melt_J_m / self.watt_A
        tried = {round(a, 1): a for a in (self.high_A, self.usual_A, self.low_A)}
        if self.low_A < knee < self.high_A:
            tried = {k: a for k, a in tried.items() if a <= knee} | {round(knee, 1): knee}
        return tuple(sorted(tried.values(), reverse=True))

    def travel_m_s(self, melted_m_s: float) -> float:
        """What the arc melts, inside the window."""
        return min(max(melted_m_s, self.low_m_s), self.high_m_s)


def _power(
    joint: Joint, library: Library, layer: PlannedPass, dropped: frozenset[str]
) -> tuple[Callable[[float], float], Windows]:
    cells = family_cells(joint, library)
    row = amps_row(library.families[library.alloys[joint.end_a.alloy].family], thinner_wall(joint).value)
    own = joint.procedure
    amps = within(row.root if layer.name == "root" else row.fill, own.current_min_A, own.current_max_A)
    travel = within(cells["travel_m_s"], own.travel_min_m_s, own.travel_max_m_s)
    watt_A = cells["efficiency_frac"].value * cells["arc_voltage_V"].value
    top_A = amps.high * (1.5 if "current" in dropped else 1.0)
    top_m_s = travel.high * (1.5 if "travel" in dropped else 1.0)
    windows = Windows(amps.value, amps.low, top_A, travel.value, travel.low, top_m_s, watt_A)
    return lambda current: watt_A * current, windows


def melt_W_s_m(joint: Joint, library: Library, area_m2: float) -> float:
    """Heat into the pipe that a metre of bead asks for: its fused section, over the share of the heat that melts."""
    cells, alloy = family_cells(joint, library), library.alloys[joint.end_a.alloy]
    ambient = chosen(joint.ambient_K, cells["ambient_K"]).value
    curve, melting = alloy.curves["specific_heat_J_kgK"], alloy.cells["melting_K"].value
    _, mean, _ = mean_over(temperature_K=curve.temperature_K, value=curve.value, from_K=ambient, to_K=melting)
    enthalpy = mean * (melting - ambient) + alloy.cells["latent_heat_J_kg"].value
    speed = travel_from_melt_m_s(
        efficiency_frac=1.0, melting_frac=cells["melting_frac"].value, voltage_V=10.0, current_A=100.0,
        density_kg_m3=alloy.cells["density_kg_m3"].value, melt_enthalpy_J_kg=enthalpy,
        fused_area_m2=area_m2 / (1 - cells["dilution_frac"].value),
    )  # fmt: skip
    return float(1000.0 / speed)


def _own_cut(joint: Joint, library: Library, layer: PlannedPass, arcs: tuple[Arc, ...]) -> tuple[PlannedRun, ...]:
    """The runs of a layer as a plan without a search cuts them."""
    cells = family_cells(joint, library)
    return plan_runs(
        arcs=arcs, passes=(replace(layer, beads=1),), position=POSITIONS[joint.position],
        radius_m=joint.end_a.outer_diameter_m.value / 2,
        longest_run_m=chosen(joint.longest_run_m, cells["longest_run_m"]).value, stagger_m=cells["stagger_m"].value,
    )  # fmt: skip


def _cuts(
    joint: Joint, library: Library, layer: PlannedPass, arcs: tuple[Arc, ...], dropped: frozenset[str]
) -> list[tuple[tuple[PlannedRun, ...], tuple[Arc, ...]]]:
    """The root arc by arc, in the plan's arcs or fewer and longer ones; the layers over it in halves from six to twelve, or all
    the way round. In as few runs as the welder likes, and in one more."""
    cells = family_cells(joint, library)
    comfort = chosen(joint.longest_run_m, cells["longest_run_m"]).value * (2.0 if "longest_run" in dropped else 1.0)
    position = POSITIONS[joint.position]
    whole = position.rolled or position.axis == "vertical"
    if layer.number > 1:
        over = _wholes(1 if whole else 2)
        return [(runs, arcs) for runs in _counted(joint, library, layer, over, comfort, halved=False)]
    found = []
    for over in root_arcs(joint, library, arcs, dropped):
        found += [(runs, over) for runs in _counted(joint, library, layer, over, comfort, halved=not whole)]
    return found


def root_arcs(
    joint: Joint, library: Library, arcs: tuple[Arc, ...], dropped: frozenset[str] = frozenset()
) -> tuple[tuple[Arc, ...], ...]:
    """The plan's arcs, and two long ones where the flow keeps the air out of them; more and shorter ones where it does not
    keep it out of the plan's. The plan's own where no arcs would do."""
    cells, position = family_cells(joint, library), POSITIONS[joint.position]
    around = math.pi * joint.end_a.outer_diameter_m.value
    longest = cells["longest_arc_m"].value
    if "purge" in dropped or around / 2 <= longest:
        tried = [_arcs_of(2, position, around), arcs]
    else:
        tried = [arcs]
    held = [over for over in tried if "purge" in dropped or purge_holds(joint, library, over)]
    for count in range(len(arcs) + 2, MOST_ARCS + 1, 2):
        if held:
            break
        over = _arcs_of(count, position, around)
        held = [over] if purge_holds(joint, library, over) else []
    return tuple(held) or (arcs,)


def _arcs_of(count: int, position: Position, around_m: float) -> tuple[Arc, ...]:
    if count >= 4:
        return plan_arcs(position=position, circumference_m=around_m, longest_arc_m=around_m / count * (1 + 1e-9))
    # the lower half and the upper one; on pipe that has no lower half, one and then its opposite
    start = math.pi / 2 if position.axis != "vertical" and not position.rolled else 0.0
    return (Arc("A", start, math.pi, 1), Arc("B", (start + math.pi) % TURN_RAD, math.pi, 2))


def purge_holds(joint: Joint, library: Library, arcs: tuple[Arc, ...]) -> bool:
    """Whether the backing flow keeps the air out of each arc while it stands open."""
    flow = chosen(joint.purge.backing_flow_m3_s, family_cells(joint, library)["backing_flow_m3_s"]).value
    figures, _ = plan_purge(joint, library=library, arcs=arcs)
    needed = [figures.get(f"arcs.{arc.name}.backing_flow_m3_s") for arc in arcs]
    return all(figure is None or figure.value <= flow for figure in needed)


def opened_of(arcs: tuple[Arc, ...]) -> tuple[tuple[str, float, float], ...]:
    """Name, begin and sweep of each arc."""
    return tuple((arc.name, arc.from_rad, arc.sweep_rad) for arc in arcs)


def _counted(
    joint: Joint, library: Library, layer: PlannedPass, over: tuple[Arc, ...], comfort_m: float, *, halved: bool
) -> list[tuple[PlannedRun, ...]]:
    """The arcs in the fewest runs that are comfortable, and in one more each."""
    cells = family_cells(joint, library)
    radius = joint.end_a.outer_diameter_m.value / 2
    longest = max(arc.sweep_rad for arc in over) * radius / (2 if halved else 1)
    fewest = max(1, math.ceil(longest / (comfort_m * COMFORT) - 1e-9))
    found: dict[int, tuple[PlannedRun, ...]] = {}
    for count in range(fewest, fewest + MORE_RUNS):
        runs = plan_runs(
            arcs=over, passes=(replace(layer, beads=1),), position=POSITIONS[joint.position], radius_m=radius,
            longest_run_m=longest / count / COMFORT * (1 + 1e-9), stagger_m=cells["stagger_m"].value,
        )  # fmt: skip
        if not found or all(abs(run.sweep_rad) * radius >= SHORTEST_M for run in runs):
            found.setdefault(len(runs), runs)
    return list(found.values())


def _wholes(count: int) -> tuple[Arc, ...]:
    """The ring in two halves from twelve o'clock to six and back, or in one."""
    sweep = TURN_RAD / count
    return tuple(Arc("", k * sweep, sweep, k + 1) for k in range(count))


def _stretches(
    joint: Joint, library: Library, runs: tuple[PlannedRun, ...], arcs: tuple[Arc, ...]
) -> tuple[Stretch, ...]:
    """Runs as stretches: each after the one that it goes on from, with the tacks of the root that it reaches."""
    cells = family_cells(joint, library)
    around = math.pi * joint.end_a.outer_diameter_m.value
    root = runs[0].pass_number == 1
    tacks = plan_tacks(runs=runs, circumference_m=around, spacing_m=cells["tack_spacing_m"].value) if root else ()
    made = []
    for k, run in enumerate(runs):
        before = next(
            (j for j, other in enumerate(runs[:k]) if root and other.arc == run.arc and _goes_on(other, run)), -1
        )
        reached = sum(t.cut_before_run == run.number for t in tacks)
        made.append(
            Stretch(
                run.arc or arc_named(arcs, run.from_rad, run.sweep_rad), run.from_rad, run.sweep_rad, before, reached
            )
        )
    return tuple(made)


def _goes_on(one: PlannedRun, other: PlannedRun) -> bool:
    gap = (one.from_rad + one.sweep_rad - other.from_rad) % TURN_RAD
    return min(gap, TURN_RAD - gap) < 1e-6 and one.sweep_rad * other.sweep_rad > 0


def arc_named(arcs: tuple[Arc, ...], from_rad: float, sweep_rad: float) -> str:
    """The arc of the clock in which a run begins."""
    inside = from_rad + sweep_rad * 1e-3
    return next((a.name for a in arcs if (inside - a.from_rad) % TURN_RAD <= a.sweep_rad), arcs[0].name)
