"""From particles and readings to one word, the reasons why it may never get there, and what looks wrong with a reading."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from brightroot.physics.purge.filter import kernels as k
from brightroot.physics.purge.filter.answer import Cause, TargetAnswer
from brightroot.physics.purge.filter.inputs import Look, Purge

Array = NDArray[np.float64]
FROZEN_COUNT = 5
STALE_1 = 2.0  # volumes, or a minute, without a reading
LEAK_SURE = 0.8
NEVER_SURE = 0.9


def flags_of(purge: Purge, seen: Sequence[Look], at_s: float) -> tuple[str, ...]:
    """What looks wrong with the readings so far: `frozen`, `no_digits`, `silent`, `below_supply`."""
    found = []
    if _frozen(seen):
        found.append("frozen")
    if seen and seen[-1].state == "no digits":
        found.append("no_digits")
    return tuple(found)


def _frozen(seen: Sequence[Look]) -> bool:
    """The same number time after time where noise alone would move the last figure."""
    last = [look.oxygen_frac for look in seen[-FROZEN_COUNT:] if look.state == "reading"]
    return len(last) == FROZEN_COUNT and len(set(last)) == 1 and last[0] is not None and last[0] > 100e-6


def verdict_of(
    purge: Purge, rows: Array, targets: Sequence[TargetAnswer], flags: Sequence[str], seen: Sequence[Look],
    at_s: float, flow: float,
) -> str:  # fmt: skip
    """check_instrument, then leak, stalled, at_target, wait; not_measured where nothing is. Of the middle target."""
    if "frozen" in flags:
        return "check_instrument"
    if not any(look.state in ("reading", "over range", "under range") for look in seen):
        return "not_measured"
    goal = _goal(targets)
    if flow > 0.0 and goal.p_never > NEVER_SURE:
        return "stalled"
    if goal.reached:
        return "at_target"
    return "wait"


def _goal(targets: Sequence[TargetAnswer]) -> TargetAnswer:
    """20 ppm where it is asked for, else the lowest."""
    return next((t for t in targets if abs(t.target_frac - 20e-6) < 1e-9), min(targets, key=lambda t: t.target_frac))


TESTS = {
    "leak": "step_the_flow",
    "supply": "sniff_at_the_hose_end",
    "dead_leg": "pinch_the_line",
    "outgassing": "wait_ten_minutes",
    "monitor": "swap_the_monitor",
    "back_diffusion": "tape_the_arc",
}


def causes_of(purge: Purge, rows: Array, flow: float) -> tuple[Cause, ...]:
    """What holds the gas up, worst first: each one's share of the mean floor."""
    parts = {
        "leak": float(np.mean(np.exp(rows[:, k.LN_LEAK]))) * k.AIR / flow,
        "supply": float(np.mean(rows[:, k.SUPPLY])),
    }
    total = sum(parts.values())
    return tuple(
        Cause(name, part / total, TESTS[name]) for name, part in sorted(parts.items(), key=lambda pair: -pair[1])
    )
