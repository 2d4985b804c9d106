"""Pass by pass: for every way of a layer the labels that are worth keeping, run by run; of all ways the best labels go on.

Starts are the earliest that keep the limits; nothing waits on purpose. Dropped are labels that break a limit, and labels
that are no sooner and nowhere cooler than another with the same runs made.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from brightroot.planner.search.heat import State, nothing_yet
from brightroot.planner.search.labels import (
    Field,
    Label,
    cost_of,
    field_of,
    looked_ahead,
    may_follow,
    off_hand,
    pause_of,
    score,
    welded,
)
from brightroot.planner.search.task import Effort, Found, Hands, Task

Progress = Callable[[int, int], None]
NEAR_S, NEAR_1 = 0.5, 0.002


@dataclass(frozen=True, eq=False, slots=True)
class Begun:
    """Where a search sets in: the heat that is there, how long since the arc went out, and what of the first layer is made."""

    state: State
    since_s: float = 0.0
    hold_s: float = 0.0
    done: int = 0
    open_arc: str = ""
    runs: int = 0  # made before


class Stuck(Exception):
    """No way of a layer keeps the limits."""

    def __init__(self, layer: int) -> None:
        super().__init__(f"layer {layer}")
        self.layer = layer


def search(
    task: Task, *, effort: Effort | None = None, begun: Begun | None = None, progress: Progress = lambda done, of: None
) -> Found:
    """The best way round that was found. Raises Stuck where no way of a layer keeps the limits."""
    effort = effort or Effort.of(task)
    entries = [entry_of(task, begun)]
    looked = 0
    for number, layer in enumerate(task.layers):
        progress(number, len(task.layers))
        fields = [field_of(task, number, way) for way in range(len(layer.ways))]
        fields = [field for field in fields if any(_same_pass(field, entry) for entry in entries)]
        if begun is None and len(fields) > effort.ways:
            ranked = []
            for place, field in enumerate(fields):
                out, count = _round(
                    field, [e for e in entries if _same_pass(field, e)][:1], replace(effort, beam=1, children=2)
                )
                looked += count
                ranked += [(score(out[0], task), place)] if out else []
            fields = [fields[place] for _, place in sorted(ranked)[: effort.ways]]
        exits: list[Label] = []
        for field in fields:
            out, count = _round(field, [e for e in entries if _same_pass(field, e)], effort)
            exits += out
            looked += count
        if not exits:
            raise Stuck(number)
        entries = _kept(exits, task, effort.kept)
    best = _found(task, min(entries, key=lambda label: (round(label.cost, 1), label.off_hand)), looked)
    return best if begun is not None else min((best, *_plain(task, best)), key=lambda found: round(found.cost, 1))


def _plain(task: Task, best: Found) -> list[Found]:
    """What always taking the next that can start soonest makes of the plan's own ways, and of the best ones."""
    best_ways = [next(run.way for run in best.runs if run.layer == k) for k in range(len(task.layers))]
    made = []
    for ways in ([0] * len(task.layers), best_ways):
        for greedy in (False, True):
            try:
                made.append(replace(one_order(task, ways=ways, greedy=greedy), looked_at=best.looked_at))
            except Stuck:
                continue
    return made


def entry_of(task: Task, begun: Begun | None) -> Label:
    """The label that a search sets in with."""
    state = nothing_yet(task.ring) if begun is None else begun.state
    none = np.zeros(0)
    if begun is None:
        return Label(0, 0.0, 0.0, state, (), "", 0.0, none, ())
    # the arc went out `since_s` ago: the pause counts from there
    return Label(
        begun.done, -begun.since_s, begun.hold_s, state, (), begun.open_arc, 0.0, none, (), fresh=False,
        floor_s=begun.since_s,
    )  # fmt: skip


def _same_pass(field: Field, entry: Label) -> bool:
    """All beads of a pass are made with one current."""
    if field.layer == 0 or not entry.runs or entry.runs[-1].layer != field.layer - 1:
        return True
    own, before = field.task.layers[field.layer], field.task.layers[field.layer - 1]
    return own.number != before.number or own.ways[field.way].current_A == before.ways[entry.runs[-1].way].current_A


def least_s(label: Label, hands: Hands) -> float:
    """No pause is shorter."""
    return 0.0 if label.fresh else max(label.hold_s + hands.move_s, label.floor_s)


def _round(field: Field, entries: Sequence[Label], effort: Effort) -> tuple[list[Label], int]:
    """A whole layer one way."""
    looked = 0
    labels = []
    task_hands = field.task.hands
    for entry in entries:
        waits, places = looked_ahead(
            field, entry.state, entry.done if field.layer == 0 else 0, least_s(entry, task_hands)
        )
        done = entry.done if field.layer == 0 else 0
        open_arc = entry.open_arc if field.layer == 0 else ""
        labels.append(replace(entry, done=done, waits=waits, places=places, open_arc=open_arc))
    goal = (1 << field.count) - 1
    while labels and any(label.done != goal for label in labels):
        wanted: list[tuple[float, int, Label, int]] = []
        for label in labels:
            for stretch in may_follow(field, label):
                pause = pause_of(field, label, stretch)
                if pause is not None:
                    duration = float(field.heat.durations_s[stretch])
                    wanted.append((label.ready_s + pause[0] + duration, len(wanted), label, stretch))
        wanted.sort(key=lambda row: (round(row[0], 1), off_hand(field, row[3]), row[1]))
        children = [welded(field, label, stretch) for _, _, label, stretch in wanted[: effort.beam * effort.children]]
        looked += len(children)
        labels = _kept([child for child in children if child is not None], field.task, effort.beam)
    return labels, looked


def _kept(labels: list[Label], task: Task, count: int) -> list[Label]:
    """The best, without those that another one dominates."""
    ranked = sorted(labels, key=lambda label: (round(score(label, task), 1), label.off_hand))
    kept: list[Label] = []
    for label in ranked:
        if len(kept) == count:
            break
        if not any(_dominates(other, label) for other in kept):
            kept.append(label)
    return kept


def _dominates(one: Label, other: Label) -> bool:
    """Same runs made, no later, nowhere a longer pause and no hotter in any wave that lasts: the other cannot win."""
    if one.done != other.done or len(one.runs) != len(other.runs) or one.open_arc != other.open_arc:
        return False
    if one.cost > other.cost + 1e-9 or one.ready_s > other.ready_s + NEAR_S or one.hold_s > other.hold_s + NEAR_S:
        return False
    if one.waits.size != other.waits.size or bool((one.waits > other.waits + NEAR_S).any()):
        return False
    # the same heat in the slow part: otherwise a later layer could tell them apart
    most = float(np.abs(other.state[0]).max())
    return bool((np.abs(one.state[:6] - other.state[:6]) <= NEAR_1 * most).all())


def _found(task: Task, best: Label, looked: int) -> Found:
    hands = task.hands
    end = best.ready_s + best.hold_s
    argon = hands.before_m3 + hands.shielded_m3_s * best.shielded_s + hands.backing_m3_s * max(end, 0.0)
    cost = cost_of(task, time_s=end, shielded_s=best.shielded_s, runs=len(best.runs))
    return Found(best.runs, hands.before_s + end, argon, len(best.runs), cost, looked)


def one_order(
    task: Task,
    *,
    ways: Sequence[int],
    greedy: bool = False,
    until_K: float | None = None,
    begun: Begun | None = None,
) -> Found:
    """No search: each layer's runs in their own order, or always the one that can start soonest. Begins at the earliest moment
    that keeps the limits, or only once all is under `until_K` beside it.

    Raises Stuck where a limit cannot be kept.
    """
    label = entry_of(task, begun)
    for number, way in enumerate(ways):
        field = field_of(task, number, way)
        cool = field if until_K is None else replace(field, task=_until(task, until_K))
        done, open_arc = (label.done, label.open_arc) if number == 0 else (0, "")
        waits, places = looked_ahead(cool, label.state, done, least_s(label, task.hands))
        label = replace(label, done=done, waits=waits, places=places, open_arc=open_arc)
        while label.done != (1 << field.count) - 1:
            open_now = may_follow(field, label)
            timed = [(pause_of(cool, label, k), k) for k in open_now]
            able = [(pause[0], k) for pause, k in timed if pause is not None]
            if not able:
                raise Stuck(number)
            chosen = min(able)[1] if greedy else min(k for _, k in able)
            after = welded(cool, label, chosen)
            if after is None:
                raise Stuck(number)
            label = after
    return _found(task, label, 0)


def _until(task: Task, until_K: float) -> Task:
    return replace(task, limits=replace(task.limits, interpass_K=until_K))
