"""A joint's plan by search: found on the modal heat, then planned whole with the full heat engine; how far the two differ."""

from __future__ import annotations

from dataclasses import dataclass

from brightroot.model.joint import Joint
from brightroot.model.library import Library
from brightroot.model.plan import Arc, Plan, PlannedRun
from brightroot.planner.heat import Progress
from brightroot.planner.plan import ChosenWay, make_plan
from brightroot.planner.search.feasible import searched
from brightroot.planner.search.task import TIME, Effort, Found
from brightroot.planner.search.tasks import Setting, setting_of
from brightroot.planner.search.ways import arc_named


@dataclass(frozen=True, slots=True)
class Difference:
    """One run's pause and hold as the search had it and as the full engine has it; None: does not come about there."""

    run: int
    searched_wait_s: float
    full_wait_s: float | None
    searched_hold_s: float
    full_hold_s: float | None


@dataclass(frozen=True, slots=True)
class Fastest:
    """What was found, the whole plan made of it, and where the full engine differs."""

    setting: Setting
    found: Found
    plan: Plan
    differences: tuple[Difference, ...]

    @property
    def full_time_s(self) -> float | None:
        """The whole time with the full engine's pauses and holds, counted as the search counts. None where one is missing."""
        move_s = self.setting.task.hands.move_s
        total = self.found.time_s
        for difference, after in zip(self.differences, self.found.runs[1:], strict=True):
            if difference.full_wait_s is None or difference.full_hold_s is None:
                return None
            taped = after.least_pause_s - difference.searched_hold_s - move_s
            hands = difference.full_hold_s + move_s + max(taped, 0.0)
            total += max(difference.full_wait_s, hands) - after.pause_s
        return total


def fastest(
    joint: Joint,
    *,
    library: Library,
    objective: str = TIME,
    hand: str = "right",
    effort: Effort | None = None,
    progress: Progress = lambda done, of: None,
) -> Fastest:
    """The plan that ends soonest, takes the least argon, or has the fewest restarts.

    Raises Refused where no plan keeps the limits.
    """
    setting = setting_of(joint, library=library, objective=objective, hand=hand)
    found = searched(setting, effort=effort, progress=progress)
    plan = make_plan(joint, library=library, chosen_way=chosen_way(setting, found), progress=progress)
    return Fastest(setting, found, plan, differences(found, plan))


def chosen_way(setting: Setting, found: Found) -> ChosenWay:
    """The runs as a plan takes them."""
    task = setting.task
    root = task.layers[0].ways[found.runs[0].way]
    arcs = tuple(Arc(name, start, sweep, k + 1) for k, (name, start, sweep) in enumerate(root.opened)) or setting.arcs
    runs, currents = [], {}
    for number, run in enumerate(found.runs, 1):
        layer = task.layers[run.layer]
        way = layer.ways[run.way]
        stretch = way.stretches[run.stretch]
        currents[layer.number] = (way.current_A, way.travel_m_s)
        name = stretch.arc if run.layer == 0 else arc_named(arcs, stretch.from_rad, stretch.sweep_rad)
        runs.append(PlannedRun(number, layer.number, layer.name, name, stretch.from_rad, stretch.sweep_rad))
    return ChosenWay(arcs, tuple(runs), currents)


def differences(found: Found, plan: Plan) -> tuple[Difference, ...]:
    """Run by run: the pause that limits ask for after it, and its hold."""
    made = []
    for k, run in enumerate(found.runs[:-1]):
        key = f"runs.{k + 1}"
        wait, hold = plan.figures.get(f"{key}.wait_s"), plan.figures.get(f"{key}.hold_s")
        after = found.runs[k + 1]
        made.append(
            Difference(k + 1, after.pause_s, wait.value if wait else None, run.hold_s, hold.value if hold else None)
        )
    return tuple(made)
