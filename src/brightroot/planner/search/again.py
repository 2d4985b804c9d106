"""What is left of a plan, planned again from what was made and what has come up: a new order, earliest starts, one reason.

The clock is a forecast; the thermometer stays the gate.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from brightroot.base.clock import TURN_RAD, beside_rad
from brightroot.model.joint import POSITIONS
from brightroot.model.library import Library
from brightroot.model.plan import Plan, PlannedRun
from brightroot.physics.heat.modal import after_pause, cold, modes, rise_dK, with_run
from brightroot.physics.heat.ring import ArcRun
from brightroot.planner.choose import chosen, family_cells
from brightroot.planner.heat import metal_of_joint, ring_of_joint
from brightroot.planner.search.search import Begun, Stuck, one_order, search
from brightroot.planner.search.task import Effort, Found, Hands, Layer, Limits, Stretch, Task, Way

QUICK = Effort(beam=3, kept=2, ways=1, children=2)
LEAST_SAVED_S, LEAST_SAVED_1 = 60.0, 0.03
MOST_HOTTER_1 = 2.0
# what may come up, and how it is told
TROUBLES = (
    "temperature_over", "gap_closed", "oxygen_rose", "cylinder_swap", "rain", "inspector_late", "tungsten_dip", "power_cut",
    "draught", "silence",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class MadeRun:
    """A run as it was made; `share_1` is how much of it, where it was cut short."""

    number: int
    start_s: float
    stop_s: float
    share_1: float = 1.0


@dataclass(frozen=True, slots=True)
class Trouble:
    """Something that came up. No arc before `until_s`; a place that has to be put right first; what was read, and its limit."""

    kind: str
    until_s: float | None = None  # None: not known, the plan tells what comes once it is over
    at_rad: float | None = None
    value: float | None = None
    limit: float | None = None
    at_s: float | None = None  # when it was read


@dataclass(frozen=True, slots=True)
class Next:
    """One run still to be made: when it could be struck at the earliest, and why not sooner. `sweep_rad` is what is left of it."""

    number: int
    from_rad: float
    sweep_rad: float
    earliest_s: float
    binds: str


@dataclass(frozen=True, slots=True)
class Again:
    """The remaining plan and why: the id of a sentence, what fills it, and whether the order is another one."""

    runs: tuple[Next, ...]
    end_s: float
    why: str
    params: tuple[tuple[str, float], ...]
    reordered: bool
    saved_s: float = 0.0  # by another order than the plan's
    power_1: float = 1.0  # that the forecast takes, over the planned one


def task_of_plan(plan: Plan, library: Library) -> tuple[Task, tuple[tuple[int, ...], ...]]:
    """A plan's own runs as a task with one way a bead, and the numbers of each bead's runs."""
    joint, cells = plan.joint, family_cells(plan.joint, library)
    family = library.families[library.alloys[joint.end_a.alloy].family]
    position = POSITIONS[joint.position]
    shield = joint.shield_length_m
    hot = shield.value - cells["shield_allowance_m"].value if shield and family.trailing_required else None
    at = {name: plan.figures[f"set_up.{name}"].value for name in ("interpass_max_K", "release_K", "reading_distance_m")}
    limits = Limits(at["interpass_max_K"], at["release_K"], at["reading_distance_m"], hot)
    trail = cells["trail_flow_m3_s"].value if family.trailing_required else 0.0
    backing = chosen(joint.purge.backing_flow_m3_s, cells["backing_flow_m3_s"]).value
    hands = Hands(cells["move_s"].value, cells["tape_s"].value, cells["torch_flow_m3_s"].value + trail, backing)
    layers, numbers = [], []
    for bead in _beads(plan.runs):
        root = bead[0].pass_number == 1
        first = tuple(arc.name for arc in plan.arcs[:2]) if root and not position.rolled else ()
        layers.append(
            Layer(bead[0].pass_number, bead[0].pass_name, (_way(plan, bead),), first, position.rolled, taped=root)
        )
        numbers.append(tuple(run.number for run in bead))
    ring = ring_of_joint(joint, metal_of_joint(joint, library, cells), cells)
    return Task(ring, tuple(layers), limits, hands), tuple(numbers)


def _beads(runs: Sequence[PlannedRun]) -> list[list[PlannedRun]]:
    """Runs of a pass, once round at a time."""
    beads: list[list[PlannedRun]] = []
    swept = TURN_RAD
    for run in runs:
        if swept >= TURN_RAD - 1e-6 or beads[-1][-1].pass_number != run.pass_number:
            beads.append([])
            swept = 0.0
        beads[-1].append(run)
        swept += abs(run.sweep_rad)
    return beads


def _way(plan: Plan, bead: Sequence[PlannedRun]) -> Way:
    key = f"passes.{bead[0].pass_number}"
    figures = plan.figures
    stretches = []
    for k, run in enumerate(bead):
        before = -1
        if run.pass_number == 1:
            before = next((j for j, other in enumerate(bead[:k]) if _goes_on(other, run)), -1)
        tacks = sum(tack.cut_before_run == run.number for tack in plan.tacks)
        stretches.append(Stretch(run.arc, run.from_rad, run.sweep_rad, before, tacks))
    amps, watts, speed, heat = (
        figures[f"{key}.{name}"].value for name in ("current_A", "net_power_W", "travel_m_s", "heat_input_J_m")
    )
    return Way(tuple(stretches), amps, watts, speed, heat)


def _goes_on(one: PlannedRun, other: PlannedRun) -> bool:
    gap = abs((one.from_rad + one.sweep_rad - other.from_rad + math.pi) % TURN_RAD - math.pi)
    return gap < 1e-6 and one.sweep_rad * other.sweep_rad > 0


def replanned(
    plan: Plan,
    *,
    library: Library,
    made: Sequence[MadeRun],
    now_s: float,
    troubles: Sequence[Trouble] = (),
    power_1: float = 1.0,
    effort: Effort = QUICK,
) -> Again:
    """The remaining plan. `power_1` is the power that the readings speak for, over the planned one.

    Raises Stuck where what is left can no longer be made within the limits.
    """
    task, numbers = task_of_plan(plan, library)
    made_by = {run.number: run for run in made}
    at = next((k for k, bead in enumerate(numbers) if any(_left(made_by, n) for n in bead)), None)
    main = troubles[0] if troubles else Trouble("none")
    if at is None:
        return Again((), now_s, f"again.{main.kind}", _params(main), False)
    spots = [t.at_rad for t in troubles if t.at_rad is not None and t.kind == "gap_closed"]
    power_1 *= _hotter_1(task, numbers, made, power_1, troubles)
    rest = _rest(task, numbers, at, made_by, power_1, spots)
    last_stop = max((run.stop_s for run in made), default=now_s)
    clear = max([now_s, *(t.until_s for t in troubles if t.until_s is not None)])
    begun = None
    if made:
        done = sum(1 << k for k, n in enumerate(numbers[at]) if not _left(made_by, n))
        arc = (
            task.layers[at].ways[0].stretches[numbers[at].index(made[-1].number)].arc
            if made[-1].number in numbers[at]
            else ""
        )
        begun = Begun(_state(task, numbers, made, power_1), max(clear - last_stop, 0.0), 0.0, done, arc)
    found, saved_s = _kept_or_better(rest, begun, effort, asked=bool(troubles))
    since = last_stop if made else clear
    runs = []
    for run in found.runs:
        stretch = rest.layers[run.layer].ways[0].stretches[run.stretch]
        start = run.start_s + (since if not made else clear)
        runs.append(Next(numbers[at + run.layer][run.stretch], stretch.from_rad, stretch.sweep_rad, start, run.binds))
    planned = [n for bead in numbers for n in bead if _left(made_by, n)]
    end = found.time_s + (since if not made else clear)
    reordered = [run.number for run in runs] != planned
    return Again(tuple(runs), end, f"again.{main.kind}", _params(main), reordered, saved_s, power_1)


def _hotter_1(
    task: Task,
    numbers: tuple[tuple[int, ...], ...],
    made: Sequence[MadeRun],
    power_1: float,
    troubles: Sequence[Trouble],
) -> float:
    """A reading over the limit speaks for more power than was thought, at least for this joint and at most for twice as much."""
    read = next((t for t in troubles if t.kind == "temperature_over"), None)
    if read is None or read.value is None or read.at_rad is None or read.at_s is None or not made:
        return 1.0
    own = modes(task.ring)
    before = [run for run in made if run.stop_s <= read.at_s]
    if not before:
        return 1.0
    state = after_pause(own, _state(task, numbers, before, power_1)[None], pause_s=read.at_s - before[-1].stop_s)
    expected = float(rise_dK(own, state, theta_rad=read.at_rad, z_m=task.limits.reading_m)[0, 0])
    seen = read.value - task.ring.ambient_K
    return min(max(seen / max(expected, 1.0), 1.0), MOST_HOTTER_1)


def _kept_or_better(rest: Task, begun: Begun | None, effort: Effort, *, asked: bool) -> tuple[Found, float]:
    """The plan's own order, unless it no longer keeps the limits or, once something came up, another one saves more than a
    change is worth."""
    found = search(rest, effort=effort, begun=begun)
    try:
        same = one_order(rest, ways=[0] * len(rest.layers), begun=begun)
    except Stuck:
        return found, 0.0
    saved = same.time_s - found.time_s
    return (found, saved) if asked and saved > max(LEAST_SAVED_S, LEAST_SAVED_1 * same.time_s) else (same, 0.0)


def _left(made: dict[int, MadeRun], number: int) -> bool:
    return number not in made or made[number].share_1 < 1.0 - 1e-6


def _params(trouble: Trouble) -> tuple[tuple[str, float], ...]:
    pairs = (
        ("value", trouble.value),
        ("limit", trouble.limit),
        ("at_rad", trouble.at_rad),
        ("until_s", trouble.until_s),
    )
    return tuple((name, value) for name, value in pairs if value is not None)


def _rest(
    task: Task,
    numbers: tuple[tuple[int, ...], ...],
    at: int,
    made: dict[int, MadeRun],
    power_1: float,
    spots: Sequence[float],
) -> Task:
    """The layers that are left, with the power that was seen; what was cut short keeps its remainder; bad places come last."""
    layers = []
    for k in range(at, len(task.layers)):
        way = task.layers[k].ways[0]
        stretches = tuple(_remainder(s, made.get(n)) for s, n in zip(way.stretches, numbers[k], strict=True))
        root = task.layers[k].number == 1
        last = tuple(
            j
            for j, s in enumerate(stretches)
            if root
            and any(beside_rad(from_rad=s.from_rad, sweep_rad=s.sweep_rad, at_rad=spot) == 0.0 for spot in spots)
        )
        # what goes on from a run that waits, waits with it
        for j, s in enumerate(stretches):
            last += (j,) if s.after in last and j not in last else ()
        first = () if last else task.layers[k].first
        own = replace(way, stretches=stretches, power_W=way.power_W * power_1)
        layers.append(replace(task.layers[k], ways=(own,), last=last, first=first))
    return replace(task, layers=tuple(layers))


def _remainder(stretch: Stretch, made: MadeRun | None) -> Stretch:
    if made is None or made.share_1 >= 1.0 - 1e-6:
        return stretch
    done = stretch.sweep_rad * made.share_1
    return replace(stretch, from_rad=stretch.from_rad + done, sweep_rad=stretch.sweep_rad - done, tacks=0)


def _state(task: Task, numbers: tuple[tuple[int, ...], ...], made: Sequence[MadeRun], power_1: float) -> np.ndarray:
    """The heat when the last arc went out."""
    own = modes(task.ring)
    state, clock = cold(own), 0.0
    places = {n: (k, j) for k, bead in enumerate(numbers) for j, n in enumerate(bead)}
    for run in sorted(made, key=lambda one: one.start_s):
        layer, stretch = places[run.number]
        way = task.layers[layer].ways[0]
        there = way.stretches[stretch]
        if clock:
            state = after_pause(own, state, pause_s=max(run.start_s - clock, 0.0))
        arc = ArcRun(
            0.0,
            max(run.stop_s - run.start_s, 0.5),
            there.from_rad,
            there.sweep_rad * run.share_1,
            way.power_W * power_1,
        )
        state = with_run(own, state, arc)
        clock = run.stop_s
    return np.ascontiguousarray(state[0])
