"""The joint's minutes: purge, arcs, holds, waits and hands."""

from __future__ import annotations

from collections.abc import Mapping

from brightroot.base.formula import Estimate, Known, estimate
from brightroot.base.source import Datum
from brightroot.model.joint import Joint
from brightroot.model.library import Library
from brightroot.model.plan import PlannedRun, PlannedTack
from brightroot.physics.totals import product_time_s, total_time_s
from brightroot.planner.choose import family_cells

Figures = dict[str, Estimate]


def plan_times(
    joint: Joint, *, library: Library, runs: tuple[PlannedRun, ...], tacks: tuple[PlannedTack, ...], figures: Figures
) -> Figures:
    """Totals by kind. Between two arcs the longer of wait and hold-and-move counts, as it does at the pipe."""
    cells = family_cells(joint, library)
    numbers = [run.number for run in runs]
    arc = _total("time.arc_s", {f"run_{n}_s": figures[f"runs.{n}.arc_time_s"] for n in numbers})
    hold = _total(
        "time.hold_s", {f"run_{n}_s": figures[f"runs.{n}.hold_s"] for n in numbers if f"runs.{n}.hold_s" in figures}
    )
    pauses = {name: part for n in numbers[:-1] for name, part in _pause(n, figures, cells["move_s"]).items()}
    between = _total("time.between_s", pauses)
    hands = estimate(product_time_s, key="time.tape_s", each_s=cells["tape_s"], times_1=float(len(tacks)))
    shielded = estimate(total_time_s, key="time.shielded_s", arc_s=arc, hold_s=hold)
    # the gas stays on, and the welder with it, until the last bead is cold
    last = {"hold_s": found} if numbers and (found := figures.get(f"runs.{numbers[-1]}.hold_s")) else {}
    parts: dict[str, Known] = {"arc_s": arc, "between_s": between, "hands_s": hands, **last}
    joint_time = _total("time.total_s", {"purge_s": figures["purge.time_s"], **parts})
    backing = _total("time.backing_s", parts)
    return {f.key: f for f in (arc, hold, between, hands, shielded, joint_time, backing)}


def _pause(number: int, figures: Figures, move: Datum) -> dict[str, Known]:
    """The parts of the pause after a run: its wait, or its hold and the move, whichever is longer."""
    wait, hold = figures.get(f"runs.{number}.wait_s"), figures.get(f"runs.{number}.hold_s")
    if wait is not None and (hold is None or wait.value >= hold.value + move.value):
        return {f"run_{number}_s": wait}
    moved: dict[str, Known] = {f"move_{number}_s": move}
    return moved if hold is None else {f"run_{number}_s": hold, **moved}


def _total(key: str, parts: Mapping[str, Known]) -> Estimate:
    return estimate(total_time_s, key=key, **parts)
