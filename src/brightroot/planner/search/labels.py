"""A label: how far the joint is made, when, and what heat it holds; and the labels that one run makes of it."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from brightroot.base.clock import TURN_RAD
from brightroot.planner.search.heat import HORIZON_S, Array, State, Tables, WayHeat, heat_of, tables, turned
from brightroot.planner.search.task import ARGON, RESTARTS, FoundRun, Task

ROUND = 12  # places round the pipe that tell how much a finished layer's heat will cost
DEEPER = 9


@dataclass(frozen=True, eq=False, slots=True)
class Label:
    """`done` has a bit for each stretch of the layer's way; `ready_s` is the arc-off before; `state` is the heat then."""

    done: int
    ready_s: float
    hold_s: float
    state: State
    runs: tuple[FoundRun, ...]
    open_arc: str
    shielded_s: float
    waits: Array  # of each stretch not yet made: pause until its place is under the limit, -1 never
    places: tuple[int, ...]
    owed_s: float = 0.0
    cost: float = 0.0
    fresh: bool = True  # nothing was welded yet
    floor_s: float = 0.0  # of the next pause: so much of it is over
    off_hand: bool = False  # whether its first run lies away from the welder's hand


@dataclass(frozen=True, eq=False, slots=True)
class Field:
    """One way of one layer with its tables."""

    task: Task
    layer: int
    way: int
    tables: Tables
    heat: WayHeat

    @property
    def count(self) -> int:
        """Runs of the way."""
        return len(self.task.layers[self.layer].ways[self.way].stretches)


def field_of(task: Task, layer: int, way: int) -> Field:
    """The field of a way."""
    return Field(task, layer, way, tables(task.ring, task.limits.reading_m), heat_of(task, task.layers[layer], way))


def may_follow(field: Field, label: Label) -> tuple[int, ...]:
    """The stretches that may come next by order and by what is still open."""
    layer = field.task.layers[field.layer]
    stretches = layer.ways[field.way].stretches
    left = [k for k in range(field.count) if not label.done >> k & 1]
    left = [k for k in left if k not in layer.last] or left
    if layer.in_turn:
        left = left[:1]
    for arc in layer.first:
        own = [k for k in left if stretches[k].arc == arc]
        if own:
            left = own
            break
    return tuple(k for k in left if stretches[k].after < 0 or label.done >> stretches[k].after & 1)


def hands_s(field: Field, label: Label, stretch: int) -> tuple[float, str]:
    """The pause that hands and shield alone make, and which of them it is."""
    task, layer = field.task, field.task.layers[field.layer]
    if label.fresh:
        return 0.0, "hands"
    own = layer.ways[field.way].stretches
    tape = task.hands.tape_s * own[stretch].tacks
    left_open = layer.taped and label.open_arc and own[stretch].arc != label.open_arc
    if left_open and any(s.arc == label.open_arc and not label.done >> k & 1 for k, s in enumerate(own)):
        tape += task.hands.tape_s
    hold = label.hold_s if task.limits.hold else 0.0
    pause = max(hold + task.hands.move_s + tape, label.floor_s)
    return pause, "tape" if tape > hold + task.hands.move_s else "hold" if hold > task.hands.move_s else "hands"


def pause_of(field: Field, label: Label, stretch: int) -> tuple[float, float, str] | None:
    """(pause, what hands alone take, what binds) before a stretch; None where it never cools."""
    least, binds = hands_s(field, label, stretch)
    if stretch not in label.places:
        return least, least, binds
    cool = float(label.waits[label.places.index(stretch)])
    if cool < 0:
        return None
    return (cool, least, "interpass") if cool > least + 1e-9 else (least, least, binds)


def off_hand(field: Field, stretch: int) -> bool:
    """Whether a run lies on the side away from the welder's hand. Clockwise is seen from the welding side: right is up to six."""
    there = field.task.layers[field.layer].ways[field.way].stretches[stretch]
    right = (there.from_rad + there.sweep_rad / 2) % TURN_RAD < math.pi
    return right != (field.task.hand == "right")


def looked_ahead(field: Field, state: State, done: int, least_s: float) -> tuple[Array, tuple[int, ...]]:
    """Pauses, from a least one on, until each stretch that is not made yet could be begun by temperature alone."""
    from brightroot.planner.search import kernel

    limit = field.task.limits.interpass_K
    left = tuple(k for k in range(field.count) if not done >> k & 1)
    if limit is None:
        return np.full(len(left), least_s), left
    rise = limit - field.task.ring.ambient_K
    if rise <= 0:
        return np.full(len(left), -1.0), left
    t, h = field.tables, field.heat
    wanted = np.array(left, dtype=np.int64)
    if not left:
        ring = turned(t.own, np.linspace(0.0, 2 * np.pi, ROUND, endpoint=False))
        gates = np.arange(ROUND + 1)
        return kernel.until_under(
            state, least_s, HORIZON_S, rise, ring, gates, np.arange(ROUND), t.wave, t.rate, t.loss, t.probe
        ), ()
    return kernel.until_under(
        state, least_s, HORIZON_S, rise, h.gates, h.gate_of, wanted, t.wave, t.rate, t.loss, t.probe
    ), left


def welded(field: Field, label: Label, stretch: int) -> Label | None:
    """The label after one more run at its earliest start; None where a limit cannot be kept."""
    from brightroot.planner.search import kernel

    found = pause_of(field, label, stretch)
    if found is None:
        return None
    pause, least, binds = found
    task, t = field.task, field.tables
    way = task.layers[field.layer].ways[field.way]
    own, duration, gain = way.stretches[stretch], float(field.heat.durations_s[stretch]), field.heat.gains[stretch]
    release = task.limits.release_K - task.ring.ambient_K

    def made(at_s: float) -> State:
        return np.asarray(kernel.after(label.state, at_s + duration, way.power_W, gain, t.wave, t.rate, t.loss))

    def hot_m(state: State) -> float:
        turn = 1.0 if own.sweep_rad > 0 else -1.0
        radius = task.ring.outer_diameter_m / 2
        end = own.from_rad + own.sweep_rad
        return float(kernel.hot_length(state, end, turn, radius, release, t.wave, t.rate, t.loss, t.weld))

    state = made(pause)
    hot = hot_m(state)
    shield = task.limits.hot_length_m
    if shield is not None and hot > shield:
        deeper = _later(lambda at: hot_m(made(at)) <= shield, pause)
        if deeper is None:
            return None
        pause, binds = deeper, "hot_length"
        state = made(pause)
        hot = hot_m(state)
    hold = kernel.hold(state, field.heat.along[stretch], release, HORIZON_S, t.wave, t.rate, t.loss, t.weld)
    if hold < 0:
        return None
    strike = float(
        kernel.rises(
            label.state, pause, field.heat.gates[field.heat.gate_of[stretch] : field.heat.gate_of[stretch + 1]],
            t.wave, t.rate, t.loss, t.probe,
        ).max()
    )  # fmt: skip
    start = label.ready_s + pause
    run = FoundRun(
        field.layer, field.way, stretch, start, duration, pause, least, hold, hot, task.ring.ambient_K + strike, binds
    )
    done = label.done | 1 << stretch
    least_next = (hold if task.limits.hold else 0.0) + task.hands.move_s
    waits, places = looked_ahead(field, state, done, least_next)
    made_label = Label(
        done, start + duration, hold, state, (*label.runs, run), own.arc, label.shielded_s + duration + hold, waits,
        places, off_hand=label.off_hand if label.runs else off_hand(field, stretch),
    )  # fmt: skip
    return _scored(field, made_label)


def _later(enough: object, least_s: float) -> float | None:
    """The shortest pause beyond the least one at which the hot length is short enough."""
    low, high = least_s, max(2 * least_s, 60.0)
    while not enough(high):  # type: ignore[operator]
        low, high = high, 2 * high
        if high > HORIZON_S:
            return None
    for _ in range(DEEPER):
        middle = 0.5 * (low + high)
        low, high = (low, middle) if enough(middle) else (middle, high)  # type: ignore[operator]
    return high


def cost_of(task: Task, *, time_s: float, shielded_s: float, runs: int) -> float:
    """What is made small: seconds, litres, or starts with seconds to break ties."""
    hands = task.hands
    if task.objective == ARGON:
        return 1000 * (hands.before_m3 + hands.shielded_m3_s * shielded_s + hands.backing_m3_s * time_s)
    if task.objective == RESTARTS:
        return runs * 1e5 + time_s
    return time_s


def _scored(field: Field, label: Label) -> Label:
    """The cost so far, and what the heat will still ask beyond hands."""
    task = field.task
    hands = label.hold_s + task.hands.move_s
    owed = hands
    if label.waits.size:
        owed = _in_turn(np.sort(label.waits), hands, field) if label.places else float(label.waits.mean())
    if bool((label.waits < 0).any()):
        owed += HORIZON_S
    # what is left is not the same everywhere: arcs of another length, tacks to cut
    stretches = task.layers[field.layer].ways[field.way].stretches
    owed += sum(float(field.heat.durations_s[k]) + task.hands.tape_s * stretches[k].tacks for k in label.places)
    return Label(
        label.done, label.ready_s, label.hold_s, label.state, label.runs, label.open_arc, label.shielded_s,
        label.waits, label.places, owed,
        cost_of(task, time_s=label.ready_s + label.hold_s, shielded_s=label.shielded_s, runs=len(label.runs)),
        fresh=False, off_hand=label.off_hand,
    )  # fmt: skip


def _in_turn(waits: Array, hands_s: float, field: Field) -> float:
    """What is left of the layer, coolest first, beyond the arcs and hands that it takes anyway: each begins when the last is done
    and its own place is cool. What the arcs themselves will add is not known yet."""
    each = float(field.heat.durations_s.mean()) + hands_s
    begun = 0.0
    for place, wait in enumerate(waits):
        begun = max(begun, float(wait) - place * each)
    return max(begun, hands_s)


def score(label: Label, task: Task) -> float:
    """By which labels of one depth are ranked."""
    owed = cost_of(task, time_s=label.owed_s - label.hold_s, shielded_s=0.0, runs=0)
    return label.cost + (owed - (1000 * task.hands.before_m3 if task.objective == ARGON else 0.0))
