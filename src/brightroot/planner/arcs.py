"""The joint cut into arcs of the clock, tacks between the restarts, and runs from arc-on to arc-off, in their order.

Fixed horizontal and inclined pipe: bottom first, opposite next, every run uphill. Vertical pipe: opposite arcs, all one
way round. Rolled pipe: one after the other as it comes to the top. Clockwise is seen from the welding side.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

from brightroot.base.clock import TURN_RAD, apart_rad, beside_rad
from brightroot.model.joint import Position
from brightroot.model.plan import Arc, PlannedPass, PlannedRun, PlannedTack

# a run may be a tenth longer than the welder likes before one more stop is planned
COMFORT = 1.1
LEAST_TACKS = 3


@dataclass(frozen=True, slots=True)
class _Piece:
    """A stretch welded in one direction: signed sweep."""

    arc: str
    from_rad: float
    sweep_rad: float


def plan_arcs(*, position: Position, circumference_m: float, longest_arc_m: float) -> tuple[Arc, ...]:
    """Equal arcs, an even number and at least four, in the order in which they are opened and welded.

    >>> from brightroot.model.joint import POSITIONS
    >>> [a.name for a in plan_arcs(position=POSITIONS["5G"], circumference_m=0.529, longest_arc_m=0.2)]
    ['A', 'B', 'C', 'D']
    """
    count = max(4, 2 * math.ceil(circumference_m / longest_arc_m / 2))
    sweep = TURN_RAD / count
    if position.order == "as it comes to the top":
        middles = [sweep * (k + 0.5) for k in range(count)]
    elif position.axis == "vertical":
        middles = [m for k in range(count // 2) for m in (sweep * (k + 0.5), sweep * (k + 0.5) + math.pi)]
    else:
        middles = [m for offset in _outward(count) for m in (math.pi - offset * sweep, -offset * sweep)]
    return tuple(
        Arc(chr(ord("A") + k), (middle - sweep / 2) % TURN_RAD, sweep, k + 1) for k, middle in enumerate(middles)
    )


def _outward(count: int) -> list[int]:
    """Steps away from six o'clock (and its opposite), the pair furthest from what is already welded first."""
    left = list(range(1, count // 2))
    order = [0]
    while left:
        furthest = max(left, key=lambda k: (min(min(abs(k - o), count // 2 - abs(k - o)) for o in order), -k))
        order.append(furthest)
        left.remove(furthest)
    return order


def plan_runs(
    *,
    arcs: tuple[Arc, ...],
    passes: tuple[PlannedPass, ...],
    position: Position,
    radius_m: float,
    longest_run_m: float,
    stagger_m: float,
) -> tuple[PlannedRun, ...]:
    """Every run of every pass. Starts of one layer lie a stagger away from those of the layer below."""
    runs: list[PlannedRun] = []
    for layer in passes:
        shift = stagger_m / radius_m * ((layer.number % 3) - 1) if layer.number > 1 else 0.0
        for _ in range(layer.beads):
            for arc in arcs:
                for piece in _pieces(arc, position):
                    count = max(1, math.ceil(abs(piece.sweep_rad) * radius_m / (longest_run_m * COMFORT)))
                    step = piece.sweep_rad / count
                    runs += [
                        PlannedRun(
                            len(runs) + 1 + k, layer.number, layer.name, arc.name,
                            (piece.from_rad + k * step + shift) % TURN_RAD, step,
                        )
                        for k in range(count)
                    ]  # fmt: skip
    return tuple(runs)


def _pieces(arc: Arc, position: Position) -> list[_Piece]:
    if position.rolled or position.axis == "vertical":
        return [_Piece(arc.name, arc.from_rad, arc.sweep_rad)]
    start, end = arc.from_rad, arc.from_rad + arc.sweep_rad
    cuts = [c for c in (0.0, math.pi, TURN_RAD, TURN_RAD + math.pi) if start + 1e-9 < c < end - 1e-9]
    edges = [start, *cuts, end]
    pieces = []
    for one, other in pairwise(edges):
        right = (one + other) / 2 % TURN_RAD < math.pi
        # uphill: towards twelve, counter-clockwise on the right and clockwise on the left
        pieces.append(_Piece(arc.name, other, one - other) if right else _Piece(arc.name, one, other - one))
    return pieces


def plan_tacks(*, runs: tuple[PlannedRun, ...], circumference_m: float, spacing_m: float) -> tuple[PlannedTack, ...]:
    """Evenly spaced tacks, turned so that they lie as far as possible from the root's starts and stops.

    Each is cut before the root run that reaches it.
    """
    count = max(LEAST_TACKS, math.ceil(circumference_m / spacing_m))
    root = [r for r in runs if r.pass_number == 1]
    ends = [e for r in root for e in (r.from_rad, r.from_rad + r.sweep_rad)]
    steps = 72
    offsets = [TURN_RAD / count * k / steps for k in range(steps)]
    best = max(
        offsets,
        key=lambda o: min(apart_rad(one_rad=o + TURN_RAD / count * t, other_rad=e) for t in range(count) for e in ends),
    )
    return tuple(
        PlannedTack(f"T{t + 1}", at, _reached_by(root, at))
        for t in range(count)
        for at in [(best + TURN_RAD / count * t) % TURN_RAD]
    )


def covers(run: PlannedRun, at_rad: float) -> bool:
    """Whether a run passes over a clock position."""
    return beside_rad(from_rad=run.from_rad, sweep_rad=run.sweep_rad, at_rad=at_rad) == 0.0


def _reached_by(root: list[PlannedRun], at_rad: float) -> int:
    return next((r.number for r in root if covers(r, at_rad)), 0)
