"""Which samples of a stream are believed: frozen, jumping, bursting and silent stretches are found and set aside.

A doubt is told as soon as it can be known, within a minute. What is set aside is kept, and never stands for a reading.
An instrument whose digits seldom change gives no ground to call it frozen: then nothing is said, which is not a pass.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace
from itertools import pairwise
from statistics import median

from brightroot.base.source import Datum
from brightroot.model.stream import Doubt, Doubted, Sample, Watched

CHANGES = 5  # so many changes of its digits tell how often an instrument changes them
SLOW = 8.0  # standing still so many times longer than usual is no chance
SWINGS = 3  # so many reversals within WINDOW_S are a burst
WINDOW_S = 5.0
STRUCK_S = 3.0  # an arc's start is felt so long
AHEAD_S = 0.5  # the clocks of an instrument and of a phone differ by as much


def watched(
    samples: tuple[Sample, ...],
    *,
    measures: str,
    cells: Mapping[str, Datum],
    arcs_s: tuple[float, ...] = (),
    now_s: float | None = None,
) -> Watched:
    """The stream with what is doubtful about it. `arcs_s`: when arcs were struck; `now_s`: to notice silence.

    Samples are taken in time order; two of one instant count once. `cells` are the practice cells `stream_…`.
    """
    course = _in_order(samples)
    found = [
        *_bursts(course, measures, cells, arcs_s),
        *_frozen(course, cells),
        *_silent(course, cells, now_s),
    ]
    found += [jump for jump in _jumps(course, measures, cells) if not any(_holds(one, jump.began_s) for one in found)]
    doubted = tuple(sorted(found, key=lambda one: one.began_s))
    believed = tuple(s for s in course if s.state == "reading" and not any(_holds(one, s.at_s) for one in doubted))
    return Watched(course, doubted, believed)


def _in_order(samples: tuple[Sample, ...]) -> tuple[Sample, ...]:
    one_each = {sample.at_s: sample for sample in samples}
    return tuple(one_each[at_s] for at_s in sorted(one_each))


def _holds(doubt: Doubted, at_s: float) -> bool:
    return doubt.began_s <= at_s and (doubt.until_s is None or at_s < doubt.until_s)


def _numbers(course: tuple[Sample, ...]) -> list[tuple[float, float]]:
    return [(s.at_s, s.value) for s in course if s.state == "reading" and s.value is not None]


def _frozen(course: tuple[Sample, ...], cells: Mapping[str, Datum]) -> list[Doubted]:
    """Stretches that stand still far longer than the digits used to. The stretch counts from the last change."""
    numbers = _numbers(course)
    found: list[Doubted] = []
    beats: list[float] = []
    changed_s = numbers[0][0] if numbers else math.inf
    for (_, before), (at_s, value) in pairwise(numbers):
        still_s = at_s - changed_s
        if value == before:
            limit_s = _frozen_limit_s(beats, cells)
            lasts = found and found[-1].until_s is None
            if limit_s is not None and still_s >= limit_s and not lasts:
                found.append(Doubted(Doubt.FROZEN, changed_s, at_s))
            continue
        if found and found[-1].until_s is None:
            found[-1] = replace(found[-1], until_s=at_s)
        else:
            beats = [*beats, still_s][-30:]
        changed_s = at_s
    return found


def _frozen_limit_s(beats: list[float], cells: Mapping[str, Datum]) -> float | None:
    """How long standing still is no chance; None where the digits change too seldom to tell."""
    if len(beats) < CHANGES:
        return None
    limit_s = max(cells["stream_frozen_s"].value, SLOW * median(beats), 2 * max(beats))
    return limit_s if limit_s <= cells["stream_coarse_s"].value else None


def _silent(course: tuple[Sample, ...], cells: Mapping[str, Datum], now_s: float | None) -> list[Doubted]:
    limit_s = cells["stream_silent_s"].value
    found = [
        Doubted(Doubt.SILENT, one.at_s + limit_s, one.at_s + limit_s, other.at_s)
        for one, other in pairwise(course)
        if other.at_s - one.at_s > limit_s
    ]
    if course and now_s is not None and now_s - course[-1].at_s > limit_s:
        began_s = course[-1].at_s + limit_s
        found.append(Doubted(Doubt.SILENT, began_s, began_s))
    return found


def _too_fast(measures: str, before: float, value: float, span_s: float, cells: Mapping[str, Datum]) -> bool:
    """Oxygen cannot fall faster than the sample line and cell empty; metal cannot change faster than a contact shows.

    Oxygen that rises fast is believed: a probe that came out of the pipe does just that.
    """
    if measures == "temperature_K":
        return abs(value - before) > cells["stream_metal_dK"].value * max(span_s, 1.0)
    if value >= before or before <= 0:
        return False
    swing = cells["stream_swing_1"].value
    return value < before * (1 - swing) and value < before * math.exp(-span_s / cells["stream_lag_least_s"].value)


def _jumps(course: tuple[Sample, ...], measures: str, cells: Mapping[str, Datum]) -> list[Doubted]:
    """From a step that gas or metal cannot make until the new level has held for the settling time."""
    settle_s = cells["stream_settle_s"].value
    found: list[Doubted] = []
    for (began_s, before), (at_s, value) in pairwise(_numbers(course)):
        if _too_fast(measures, before, value, at_s - began_s, cells):
            if found and found[-1].until_s is not None and at_s < found[-1].until_s:
                found[-1] = replace(found[-1], until_s=at_s + settle_s)
            else:
                found.append(Doubted(Doubt.JUMP, at_s, at_s, at_s + settle_s))
    last_s = course[-1].at_s if course else 0.0
    return [one if one.until_s is not None and one.until_s <= last_s else replace(one, until_s=None) for one in found]


def _bursts(
    course: tuple[Sample, ...], measures: str, cells: Mapping[str, Datum], arcs_s: tuple[float, ...]
) -> list[Doubted]:
    """Values thrown to and fro within a few seconds, and any great swing just as an arc is struck."""
    numbers = _numbers(course)
    great = [
        (at_s, math.copysign(1.0, value - before))
        for (_, before), (at_s, value) in pairwise(numbers)
        if abs(value - before) > _great(measures, before, value, cells)
    ]
    found: list[Doubted] = []
    for index, (at_s, _) in enumerate(great):
        window = [one for one in great[: index + 1] if one[0] > at_s - WINDOW_S]
        turns = sum(one[1] != other[1] for one, other in pairwise(window))
        struck = any(arc_s - AHEAD_S <= at_s <= arc_s + STRUCK_S for arc_s in arcs_s)
        if turns >= SWINGS or struck:
            began_s = min(window[0][0] if turns >= SWINGS else at_s, at_s)
            until_s = at_s + cells["stream_settle_s"].value
            if found and found[-1].until_s is not None and began_s <= found[-1].until_s:
                found[-1] = replace(found[-1], until_s=until_s)
            else:
                found.append(Doubted(Doubt.BURST, began_s, at_s, until_s))
    last_s = course[-1].at_s if course else 0.0
    return [one if one.until_s is not None and one.until_s <= last_s else replace(one, until_s=None) for one in found]


def _great(measures: str, before: float, value: float, cells: Mapping[str, Datum]) -> float:
    if measures == "temperature_K":
        return cells["stream_metal_dK"].value
    return cells["stream_swing_1"].value * max(abs(before), abs(value))
