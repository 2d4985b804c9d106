"""What each rule costs, and what loosening a limit a little would save: the joint is searched again without it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, replace

from brightroot.model.joint import Joint
from brightroot.model.library import Library
from brightroot.planner.search.search import Stuck, search
from brightroot.planner.search.task import RULES, TIME, Effort, Found, Task
from brightroot.planner.search.tasks import setting_of

WARMER_DK, LONGER_M, SOONER_1 = 10.0, 0.02, 2 / 3


@dataclass(frozen=True, slots=True)
class Price:
    """What the joint would gain without a rule: seconds and argon."""

    rule: str
    time_s: float
    argon_m3: float

    def share_frac(self, found: Found) -> float:
        """Of the whole time."""
        return self.time_s / found.time_s


def prices(
    joint: Joint, *, library: Library, found: Found, objective: str = TIME, effort: Effort | None = None
) -> tuple[Price, ...]:
    """The price of each rule, dearest first. A rule that does not bind costs nothing.

    What is dropped: bottom first (or the position's own order), interpass, hot length under the shield, heat input, the longest
    comfortable run, the open arc that the purge holds, the windows of current and travel, the hold. A window is opened by
    half, a run may be twice as long.
    """
    kept = setting_of(joint, library=library, objective=objective).task
    effort = effort or light(kept)
    with_it = min(search(kept, effort=effort), found, key=lambda one: one.cost)
    made = []
    for rule in RULES:
        if not _speaks(joint, rule):
            continue
        free = setting_of(joint, library=library, objective=objective, without=(rule,)).task
        try:
            better = search(free, effort=effort)
        except Stuck:
            continue
        # the plan that keeps the rule is one of those without it
        best = better if better.cost < with_it.cost else with_it
        made.append(Price(rule, with_it.time_s - best.time_s, with_it.argon_m3 - best.argon_m3))
    return tuple(sorted(made, key=lambda price: -price.time_s))


def light(task: Task) -> Effort:
    """A quarter of the usual: a dozen searches in the time of three."""
    usual = Effort.of(task)
    return Effort(max(usual.beam // 4, 5), max(usual.beam // 4, 4), 3)


def _speaks(joint: Joint, rule: str) -> bool:
    """Whether the joint has the rule at all."""
    if rule == "hot_length":
        return joint.shield_length_m is not None
    if rule == "heat_input":
        return joint.procedure.heat_input_max_J_m is not None
    return True


def binding(found: Found) -> Mapping[str, int]:
    """How many pauses each thing decides."""
    return Counter(run.binds for run in found.runs[1:])


@dataclass(frozen=True, slots=True)
class Loosened:
    """A limit moved a little, and what that saves."""

    name: str  # interpass | shield | move | tape | hold
    time_s: float
    argon_m3: float


def loosened(task: Task, *, found: Found, effort: Effort | None = None) -> tuple[Loosened, ...]:
    """Interpass 10 K warmer, shield 20 mm longer, hands a third quicker, release 10 K warmer: each alone, most useful first."""
    limits, hands = task.limits, task.hands
    tried: dict[str, Task] = {
        "move": replace(task, hands=replace(hands, move_s=hands.move_s * SOONER_1)),
        "tape": replace(task, hands=replace(hands, tape_s=hands.tape_s * SOONER_1)),
        "hold": replace(task, limits=replace(limits, release_K=limits.release_K + WARMER_DK)),
    }
    if limits.interpass_K is not None:
        tried["interpass"] = replace(task, limits=replace(limits, interpass_K=limits.interpass_K + WARMER_DK))
    if limits.hot_length_m is not None:
        tried["shield"] = replace(task, limits=replace(limits, hot_length_m=limits.hot_length_m + LONGER_M))
    effort = effort or light(task)
    made = []
    for name, other in tried.items():
        try:
            better = search(other, effort=effort)
        except Stuck:
            continue
        best = better if better.cost < found.cost else found
        made.append(Loosened(name, found.time_s - best.time_s, found.argon_m3 - best.argon_m3))
    return tuple(sorted(made, key=lambda one: -one.time_s))
