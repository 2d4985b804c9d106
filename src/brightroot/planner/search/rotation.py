"""Two to four joints in turn: while one cools another is welded. Worth it or not, how, and the argon that it takes more."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from brightroot.base.errors import Refused
from brightroot.planner.search.labels import Field, Label, field_of, hands_s, looked_ahead, welded
from brightroot.planner.search.search import entry_of, least_s
from brightroot.planner.search.task import Found, Task

WORTH_1 = 0.03  # of the time: less is not worth the walking
MOST = 4


@dataclass(frozen=True, slots=True)
class Turn:
    """One run of one joint, on the welder's clock."""

    joint: int
    run: int  # from 0, in the joint's own order
    start_s: float
    stop_s: float


@dataclass(frozen=True, slots=True)
class Rotation:
    """In turn against one after another. `worth` only where it saves more than the walking is worth."""

    turns: tuple[Turn, ...]
    time_s: float
    apart_s: float  # one after another
    argon_m3: float
    apart_m3: float
    worth: bool

    @property
    def saved_s(self) -> float:
        """What it saves; below nothing where it costs."""
        return self.apart_s - self.time_s

    @property
    def extra_argon_m3(self) -> float:
        """What it takes more."""
        return self.argon_m3 - self.apart_m3


def rotated(tasks: Sequence[Task], founds: Sequence[Found], *, shift_s: float, rigs: int = 1) -> Rotation:
    """The joints' own orders woven together: always the run that can start soonest.

    One rig: one torch, trail and backing line; going to another joint means carrying them (`shift_s`), and the backing of a joint
    left standing comes from a split line, so that all purges are made before the first arc. Several rigs: all joints are purged
    at once. Backing flows in every joint from its purge to its end. Raises Refused for fewer than two joints or too many.
    """
    if not 2 <= len(tasks) <= MOST:
        raise Refused(field="joints", wanted=f"two to {MOST} joints", got=str(len(tasks)))
    apart_s = sum(found.time_s for found in founds) + shift_s * (len(founds) - 1)
    apart_m3 = sum(found.argon_m3 for found in founds)
    turns, ends, shielded = _woven(tasks, founds, shift_s, rigs)
    began = _purged(tasks, rigs)
    time_s = max(ends)
    argon = sum(
        task.hands.before_m3 + task.hands.shielded_m3_s * own + task.hands.backing_m3_s * (end - start)
        for task, own, end, start in zip(tasks, shielded, ends, began, strict=True)
    )
    worth = apart_s - time_s > WORTH_1 * apart_s
    return Rotation(turns, time_s, apart_s, argon, apart_m3, worth)


def _purged(tasks: Sequence[Task], rigs: int) -> list[float]:
    """When each joint's purge is over: one after another on one line, at once on several."""
    if rigs >= len(tasks):
        return [task.hands.before_s for task in tasks]
    return [sum(task.hands.before_s for task in tasks[: k + 1]) for k in range(len(tasks))]


def _woven(
    tasks: Sequence[Task], founds: Sequence[Found], shift_s: float, rigs: int
) -> tuple[tuple[Turn, ...], list[float], list[float]]:
    labels: list[Label] = [entry_of(task, None) for task in tasks]
    fields: list[Field | None] = [None] * len(tasks)
    next_run = [0] * len(tasks)
    purged = _purged(tasks, rigs)
    begins = list(purged) if rigs >= len(tasks) else [max(purged)] * len(tasks)
    free, at = 0.0, -1
    turns: list[Turn] = []
    while any(next_run[j] < len(founds[j].runs) for j in range(len(tasks))):
        best: tuple[float, int, Field, Label] | None = None
        for j, found in enumerate(founds):
            if next_run[j] == len(found.runs):
                continue
            field, label = _ready(tasks[j], found, labels[j], fields[j], next_run[j])
            ready = label.ready_s + begins[j]
            tape = hands_s(field, replace(label, floor_s=0.0), found.runs[next_run[j]].stretch)[0]
            tape = max(tape - label.hold_s - tasks[j].hands.move_s, 0.0) if not label.fresh else 0.0
            walked = free + (tape + (shift_s if at >= 0 and at != j else 0.0) if at != j else 0.0)
            floor = max(walked - ready, 0.0) if at >= 0 else 0.0
            after = _struck(field, replace(label, floor_s=floor), found.runs[next_run[j]].stretch)
            if after is not None:
                start = after.runs[-1].start_s + begins[j]
                if best is None or start < best[0]:
                    best = (start, j, field, after)
        if best is None:
            raise Refused(field="joints", wanted="joints whose limits a rotation keeps", got="none can go on")
        start, j, field, after = best
        labels[j], fields[j], at = replace(after, floor_s=0.0), field, j
        next_run[j] += 1
        stop = after.ready_s + begins[j]
        turns.append(Turn(j, next_run[j] - 1, start, stop))
        free = stop + after.hold_s
    ends = [label.ready_s + label.hold_s + begin for label, begin in zip(labels, begins, strict=True)]
    return tuple(turns), ends, [label.shielded_s for label in labels]


def _struck(field: Field, label: Label, stretch: int) -> Label | None:
    """A first run may be made to wait as well."""
    if label.fresh and label.floor_s:
        label = replace(label, ready_s=label.ready_s + label.floor_s, floor_s=0.0)
    return welded(field, label, stretch)


def _ready(task: Task, found: Found, label: Label, field: Field | None, number: int) -> tuple[Field, Label]:
    """The field of the next run; where a new layer begins, the label is looked at afresh."""
    run = found.runs[number]
    if field is not None and field.layer == run.layer and field.way == run.way:
        return field, label
    new = field_of(task, run.layer, run.way)
    waits, places = looked_ahead(new, label.state, 0, least_s(label, task.hands))
    return new, replace(label, done=0, waits=waits, places=places, open_arc="")
