"""Every order and way of a tiny task, tried one by one: the judge of the search. Shares no code with it but the task itself.

Heat is asked of the ring's modes directly (`physics.heat.modal`); the moments are found on a fine net of looks and halved.
"""

from __future__ import annotations

import math
import random
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from brightroot.physics.heat.modal import Modes, State, after_pause, cold, modes, rise_dK, with_run
from brightroot.physics.heat.ring import ArcRun, Ring
from brightroot.planner.search.task import Hands, Layer, Limits, Stretch, Task, Way

LOOKS_S = np.concatenate([np.arange(0.0, 120.0, 4.0), np.geomspace(120.0, 14400.0, 60)])
GATES, ALONG = 5, 7
Move = tuple[int, int, int]  # layer, way, stretch


@dataclass(frozen=True, slots=True)
class Standing:
    """Where a sequence stands: time of the last arc-off, its hold, and the heat."""

    off_s: float
    hold_s: float
    state: State
    begun: bool


def everything(task: Task) -> Iterator[tuple[float, tuple[Move, ...]]]:
    """(whole time without the purge, sequence) of every sequence that keeps the limits."""
    yield from _layers(task, 0, Standing(0.0, 0.0, cold(modes(task.ring)), False), ())


def _layers(task: Task, number: int, at: Standing, made: tuple[Move, ...]) -> Iterator[tuple[float, tuple[Move, ...]]]:
    if number == len(task.layers):
        yield at.off_s + at.hold_s, made
        return
    for way in range(len(task.layers[number].ways)):
        yield from _runs(task, number, way, at, made, frozenset(), "")


def _runs(
    task: Task, number: int, way: int, at: Standing, made: tuple[Move, ...], done: frozenset[int], open_arc: str
) -> Iterator[tuple[float, tuple[Move, ...]]]:
    stretches = task.layers[number].ways[way].stretches
    if len(done) == len(stretches):
        yield from _layers(task, number + 1, at, made)
        return
    for k in range(len(stretches)):
        if allowed(task.layers[number], way, done, k):
            after = step(task, number, way, at, done, open_arc, k)
            if after is not None:
                yield from _runs(task, number, way, after, (*made, (number, way, k)), done | {k}, stretches[k].arc)


def allowed(layer: Layer, way: int, done: frozenset[int], k: int) -> bool:
    """By order alone."""
    stretches = layer.ways[way].stretches
    if k in done or (stretches[k].after >= 0 and stretches[k].after not in done):
        return False
    if layer.in_turn:
        return k == min(j for j in range(len(stretches)) if j not in done)
    for arc in layer.first:
        if any(s.arc == arc and j not in done for j, s in enumerate(stretches)):
            return stretches[k].arc == arc
    return True


def step(
    task: Task, number: int, way: int, at: Standing, done: frozenset[int], open_arc: str, k: int
) -> Standing | None:
    """One run at the earliest moment that keeps every limit; None where there is none."""
    layer = task.layers[number]
    chosen = layer.ways[way]
    stretch = chosen.stretches[k]
    own, ring, limits, hands = modes(task.ring), task.ring, task.limits, task.hands
    tape = hands.tape_s * stretch.tacks
    unfinished = any(s.arc == open_arc and j not in done for j, s in enumerate(chosen.stretches))
    if layer.taped and open_arc and stretch.arc != open_arc and unfinished:
        tape += hands.tape_s
    pause = (at.hold_s if limits.hold else 0.0) + hands.move_s + tape if at.begun else 0.0
    if limits.interpass_K is not None:
        gates = np.linspace(stretch.from_rad, stretch.from_rad + stretch.sweep_rad, GATES)
        cool = _under(own, at.state, pause, limits.interpass_K - ring.ambient_K, gates, limits.reading_m)
        if cool is None:
            return None
        pause = cool
    duration = abs(stretch.sweep_rad) * ring.outer_diameter_m / 2 / chosen.travel_m_s
    run = ArcRun(0.0, duration, stretch.from_rad, stretch.sweep_rad, chosen.power_W)
    release = limits.release_K - ring.ambient_K

    def made(after_s: float) -> State:
        return with_run(own, after_pause(own, at.state, pause_s=after_s), run)

    if limits.hot_length_m is not None:
        found = _short_enough(lambda s: hot_m(own, made(s), stretch, release) <= (limits.hot_length_m or 0.0), pause)
        if found is None:
            return None
        pause = found
    state = made(pause)
    along = np.linspace(stretch.from_rad, stretch.from_rad + stretch.sweep_rad, ALONG)
    hold = _under(own, state, 0.0, release, along, 0.0)
    return None if hold is None else Standing(at.off_s + pause + duration, hold, state, True)


def _rise(own: Modes, state: State, after_s: float, angles: np.ndarray, z_m: float) -> float:
    return float(rise_dK(own, after_pause(own, state, pause_s=after_s), theta_rad=angles, z_m=z_m).max())


def _under(own: Modes, state: State, least_s: float, limit_dK: float, angles: np.ndarray, z_m: float) -> float | None:
    """From when on the angles stay under a rise."""
    if limit_dK <= 0:
        return None
    looks = least_s + LOOKS_S
    over = [s for s in looks if _rise(own, state, s, angles, z_m) > limit_dK]
    if not over:
        return least_s
    low = over[-1]
    later = [s for s in looks if s > low]
    if not later:
        return None
    high = later[0]
    for _ in range(30):
        middle = (low + high) / 2
        low, high = (middle, high) if _rise(own, state, middle, angles, z_m) > limit_dK else (low, middle)
    return float(high)


def hot_m(own: Modes, state: State, stretch: Stretch, release_dK: float) -> float:
    """Metal over release behind the crater."""
    ring = own.ring
    radius = ring.outer_diameter_m / 2
    back = np.arange(0.012, 2 * math.pi * radius, 0.0005)
    angles = stretch.from_rad + stretch.sweep_rad - math.copysign(1.0, stretch.sweep_rad) * back / radius
    rise = rise_dK(own, state, theta_rad=angles, z_m=0.0)[0]
    cold_places = np.flatnonzero(rise <= release_dK)
    return float(back[cold_places[0]]) if cold_places.size else 2 * math.pi * radius


def _short_enough(enough, least_s: float) -> float | None:  # type: ignore[no-untyped-def]
    if enough(least_s):
        return least_s
    low, high = least_s, max(2 * least_s, 60.0)
    while not enough(high):
        low, high = high, 2 * high
        if high > 14400.0:
            return None
    for _ in range(14):
        middle = (low + high) / 2
        low, high = (low, middle) if enough(middle) else (middle, high)
    return high


def cost(task: Task, sequence: tuple[Move, ...]) -> float | None:
    """What the judge makes of a sequence; None where it breaks a rule."""
    at, done, open_arc, layer = Standing(0.0, 0.0, cold(modes(task.ring)), False), frozenset[int](), "", 0
    for number, way, k in sequence:
        if number != layer:
            done, open_arc, layer = frozenset(), "", number
        if not allowed(task.layers[number], way, done, k):
            return None
        after = step(task, number, way, at, done, open_arc, k)
        if after is None:
            return None
        at, done, open_arc = after, done | {k}, task.layers[number].ways[way].stretches[k].arc
    return at.off_s + at.hold_s


def tiny(seed: int) -> Task:
    """A random task that can be enumerated: one or two layers of two to four runs, one or two ways each."""
    draw = random.Random(seed)
    diameter = draw.uniform(0.03, 0.12)
    ring = Ring(
        diameter, draw.uniform(0.0025, min(0.008, diameter / 6)), draw.uniform(0.1, 0.4), draw.uniform(14.0, 22.0),
        draw.uniform(2.4e6, 4.0e6), draw.uniform(8.0, 25.0), draw.uniform(4.0, 12.0), draw.uniform(280.0, 305.0),
    )  # fmt: skip
    layers = []
    for number in range(1, draw.choice((1, 2, 2)) + 1):
        ways = tuple(
            _way(draw, ring, draw.choice((2, 3, 3) if number > 1 else (2, 3, 4))) for _ in range(draw.choice((1, 2)))
        )
        root = number == 1
        first = ("A",) if root and draw.random() < 0.5 else ()
        layers.append(Layer(number, "root" if root else "cap", ways, first=first, taped=root))
    shield = draw.choice((None, None, draw.uniform(0.05, 0.15)))
    limits = Limits(ring.ambient_K + draw.uniform(30.0, 120.0), draw.uniform(520.0, 700.0), 0.0254, shield)
    hands = Hands(draw.uniform(10.0, 60.0), draw.uniform(20.0, 90.0), 4e-4, 1.7e-4)
    return Task(ring, tuple(layers), limits, hands)


def _way(draw: random.Random, ring: Ring, count: int) -> Way:
    """Runs of uneven length round the pipe, some up one side and some up the other."""
    cuts = sorted(draw.uniform(0.15, 0.85) for _ in range(count - 1))
    edges = [0.0, *[(c + k) / count for k, c in enumerate(cuts, 0)], 1.0]
    stretches = []
    for k in range(count):
        start, sweep = edges[k] * 2 * math.pi, (edges[k + 1] - edges[k]) * 2 * math.pi
        turned = draw.random() < 0.5
        after = k - 1 if k and draw.random() < 0.25 else -1
        stretches.append(
            Stretch("AB"[k % 2], start + (sweep if turned else 0.0), -sweep if turned else sweep, after,
                    draw.choice((0, 0, 1)))
        )  # fmt: skip
    power = ring.wall_m / 0.004 * draw.uniform(400.0, 800.0)
    travel = draw.uniform(0.0009, 0.0021)
    return Way(tuple(stretches), power / 8, power, travel, power / travel)
