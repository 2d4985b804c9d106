"""A made-up oxygen monitor with faults, for trying a stream without an instrument. Simulated, and never said to be else."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from brightroot.model.stream import Sample

FAULTS = ("none", "freeze", "spike", "over", "swap", "burst", "silence")


@dataclass(frozen=True, slots=True)
class Fault:
    """What goes wrong, from when on, for how long."""

    what: str = "none"
    at_s: float = 120.0
    for_s: float = 60.0


def made_up(
    *, seed: int, minutes: float = 6.0, every_s: float = 1.0, floor_frac: float = 8e-6, fault: Fault | None = None
) -> tuple[Sample, ...]:
    """A purge as such a monitor would show it: falling to a floor, 1 ppm steps under noise, with one fault in it.

    A swap puts in another monitor that reads 30 % lower; over range shows no number. The same seed gives the same samples.
    """
    rng = np.random.default_rng(seed)
    wrong = fault or Fault()
    times = [step * every_s for step in range(int(minutes * 60 / every_s))]
    made: list[Sample] = []
    for at_s in times:
        inside = wrong.at_s <= at_s < wrong.at_s + wrong.for_s
        value = floor_frac + 2e-3 * math.exp(-at_s / 45.0)
        value *= 1 + 0.02 * float(rng.standard_normal())
        value = round(value * 1e7) / 1e7
        if inside and wrong.what == "silence":
            continue
        if inside and wrong.what == "freeze" and made:
            value = made[-1].value or value
        if wrong.what == "spike" and wrong.at_s <= at_s < wrong.at_s + every_s:
            value *= 0.05
        if wrong.what == "swap" and at_s >= wrong.at_s:
            value *= 0.3
        if inside and wrong.what == "burst" and at_s < wrong.at_s + 4:
            value *= 8.0 if int(at_s / every_s) % 2 else 0.1
        over = inside and wrong.what == "over"
        made.append(Sample(at_s, None if over else value, "over range" if over else "reading"))
    return tuple(made)
