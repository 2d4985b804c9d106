"""The joint's minutes: purge, arcs, holds, waits and hands."""

from __future__ import annotations

from brightroot.base.formula import Estimate, estimate
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
    between = _total("time.between_s", {f"run_{n}_s": _longer(n, figures, cells["move_s"].value) for n in numbers[:-1]})
    hands = estimate(product_time_s, key="time.tape_s", each_s=cells["tape_s"], times_1=float(len(tacks)))
    shielded = estimate(total_time_s, key="time.shielded_s", arc_s=arc, hold_s=hold)
    joint_time = estimate(
        total_time_s, key="time.total_s", purge_s=figures["purge.time_s"], arc_s=arc, between_s=between, hands_s=hands
    )
    backing = estimate(total_time_s, key="time.backing_s", arc_s=arc, between_s=between, hands_s=hands)
    return {f.key: f for f in (arc, hold, between, hands, shielded, joint_time, backing)}


def _longer(number: int, figures: Figures, move_s: float) -> Estimate:
    """The pause after a run: its wait, or its hold and the move, whichever is longer."""
    wait, hold = figures.get(f"runs.{number}.wait_s"), figures.get(f"runs.{number}.hold_s")
    candidates = [f for f in (wait, hold) if f is not None]
    if not candidates:
        return Estimate("wait_s", move_s, move_s, move_s, "", key="")
    return max(candidates, key=lambda f: f.value + (move_s if f is hold else 0.0))


def _total(key: str, parts: Figures) -> Estimate:
    return estimate(total_time_s, key=key, **parts)
