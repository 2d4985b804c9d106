"""From particles and readings to one word, the reasons why it may never get there, and what looks wrong with a reading."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from brightroot.physics.purge.filter import kernels as k
from brightroot.physics.purge.filter.answer import Cause, TargetAnswer
from brightroot.physics.purge.filter.doubts import frozen
from brightroot.physics.purge.filter.inputs import Look, Purge

Array = NDArray[np.float64]
SILENT_S = 120.0  # without a number for so long, nothing is measured any more
LEAK_SURE = 0.8
LEAK_GROWN_1 = 0.5  # of the leak that was
LEAK_FELT_1 = 0.15  # of the gas at the vent
NEVER_SURE = 0.9
BELOW_SUPPLY_1 = 0.5
GOAL_FRAC = 20e-6
MONITOR_SHARE = 0.05  # a monitor may always be wrong
TESTS = {
    "leak": "step_the_flow",
    "back_diffusion": "press_the_tape",
    "supply": "sniff_at_the_hose_end",
    "dead_leg": "vent_the_branch",
    "outgassing": "look_again_later",
    "sample_line": "pinch_the_line",
    "monitor": "swap_the_monitor",
    "no_flow": "turn_on_the_gas",
}


@dataclass(frozen=True, slots=True)
class Standing:
    """All that a verdict depends on: the particles and their weights, the targets' answers, the readings so far."""

    purge: Purge
    rows: Array
    weights: Array
    targets: tuple[TargetAnswer, ...]
    seen: tuple[Look, ...]
    odd: Sequence[tuple[float, str]]
    at_s: float
    flow: float
    line_open: bool


def flags_of(standing: Standing) -> tuple[str, ...]:
    """What looks wrong: `frozen`, `percent`, `jump`, `below_supply`, `no_digits`, `silent`, `line_open`, `no_flow`."""
    seen, found = standing.seen, []
    last = seen[-1] if seen else None
    if frozen(seen, standing.purge.monitor):
        found.append("frozen")
    if last and standing.odd and standing.odd[-1][0] == last.at_s:
        found.append(standing.odd[-1][1])
    if _below_supply(standing):
        found.append("below_supply")
    if last and last.state == "no digits":
        found.append("no_digits")
    if _silent(standing):
        found.append("silent")
    if standing.line_open:
        found.append("line_open")
    if standing.flow <= 0.0:
        found.append("no_flow")
    return tuple(found)


def _below_supply(standing: Standing) -> bool:
    """Three numbers running under half of what was measured in the argon itself."""
    supply, monitor = standing.purge.supply_frac, standing.purge.monitor
    read = [look.oxygen_frac for look in standing.seen if look.oxygen_frac is not None][-3:]
    if supply is None or len(read) < 3 or supply < 4 * monitor.noise_abs_frac:
        return False
    return all(value < BELOW_SUPPLY_1 * supply for value in read)


def _silent(standing: Standing) -> bool:
    read = [look.at_s for look in standing.seen if look.state != "no digits"]
    return not read or standing.at_s - read[-1] > SILENT_S


def verdict_of(standing: Standing) -> str:
    """check_instrument, then leak, stalled, at_target, wait; not_measured where nothing is. Of 20 ppm or the lowest."""
    flags = flags_of(standing)
    if {"frozen", "percent", "jump", "below_supply"} & set(flags):
        return "check_instrument"
    if _silent(standing) or standing.line_open:
        return "not_measured"
    if leak_opened(standing) > LEAK_SURE:
        return "leak"
    goal = goal_of(standing.targets)
    if goal.p_never > NEVER_SURE:
        return "stalled"
    return "at_target" if goal.reached else "wait"


def goal_of(targets: Sequence[TargetAnswer]) -> TargetAnswer:
    """20 ppm where it is asked for, else the lowest."""
    same = [target for target in targets if abs(target.target_frac - GOAL_FRAC) < 1e-9]
    return same[0] if same else min(targets, key=lambda target: target.target_frac)


def leak_opened(standing: Standing) -> float:
    """Chance that the leak has grown since the start, by enough to be felt at the vent."""
    rows, flow = standing.rows, standing.flow
    if flow <= 0.0:
        return 0.0
    base = rows[:, k.LN_BASE]
    before, now = np.where(base == 0.0, np.inf, np.exp(base)), np.exp(rows[:, k.LN_LEAK])
    grown = (now - before > LEAK_GROWN_1 * before) & ((now - before) * k.AIR / flow > LEAK_FELT_1 * rows[:, k.GAS])
    return float(np.sum(standing.weights[grown]))


def causes_of(standing: Standing) -> tuple[Cause, ...]:
    """What holds the gas up, worst first: each one's share, and the one test that tells it from the others."""
    if standing.flow <= 0.0:
        return (Cause("no_flow", 1.0, TESTS["no_flow"]),)
    parts = _parts(standing)
    total = sum(parts.values())
    rows = sorted(parts.items(), key=lambda pair: -pair[1])
    return tuple(Cause(name, part / total, TESTS[name]) for name, part in rows if part / total >= 0.02)


def _parts(standing: Standing) -> dict[str, float]:
    """Each cause's part of what the gas at the vent would settle to, in oxygen; doubts of the monitor as a share."""
    rows, weights, flow = standing.rows, standing.weights, standing.flow
    out = np.exp(rows[:, k.LN_OUTGAS]) / (1.0 + standing.at_s / rows[:, k.OUT_TIME])
    tape = [done.kind for done in standing.purge.events if done.at_s <= standing.at_s and done.kind.startswith("tape")]
    leak = "back_diffusion" if tape and tape[-1] == "tape_opened" else "leak"
    seep = rows[:, k.CORNER] * rows[:, k.EXCHANGE] * standing.purge.volume_m3 / flow
    pocket = seep * np.maximum(0.0, rows[:, k.POCKET] - rows[:, k.GAS])
    parts = {
        leak: float(weights @ np.exp(rows[:, k.LN_LEAK])) * k.AIR / flow,
        "supply": float(weights @ rows[:, k.SUPPLY]),
        "outgassing": float(weights @ out) * k.AIR / flow,
        "dead_leg": float(np.median(pocket)),
    }
    whole = sum(parts.values())
    return {**parts, "sample_line": MONITOR_SHARE * whole, "monitor": MONITOR_SHARE * whole}
