"""What a case asks of a solution: points by the second, holds, hot lengths, and the place an inch away."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import CubicSpline, PchipInterpolator

Array = NDArray[np.float64]
RELEASES_C = (427, 260)
PROBE_LIMIT_C = 93.3
ROUND_1 = 0.98


def answers(case: Mapping[str, Any], angles_rad: Array, run: Any) -> dict[str, Any]:
    """The output object. Whole seconds and arc-offs are ends of steps, so nothing is interpolated in time but crossings."""
    wanted = sorted({case["t_end_s"], *np.arange(0.0, case["t_end_s"]).tolist(), *run.lines_C})
    rows = np.searchsorted(run.time_s, np.array(wanted) - 1e-9)
    return {
        "time_s": wanted,
        "T_C": {name: run.place_C[rows, n].tolist() for n, name in enumerate(case["points"])},
        "outer_max_C": run.outer_C[rows].tolist(),
        "inner_max_C": run.inner_C[rows].tolist(),
        "per_run": [_run(case, angles_rad, run, n) for n in range(len(case["schedule"]))],
    }


def _run(case: Mapping[str, Any], angles_rad: Array, run: Any, n: int) -> dict[str, Any]:
    arc = case["schedule"][n]
    off = arc["t_end_s"]
    until = case["schedule"][n + 1]["t_start_s"] if n + 1 < len(case["schedule"]) else case["t_end_s"]
    own = (run.time_s >= off - 1e-9) & (run.time_s <= until + 1e-9)
    after, probe = run.time_s[own] - off, run.place_C[own, len(case["points"]) + n]
    peak = int(probe.argmax())
    at, most = float(after[peak]), float(probe[peak])
    if 0 < peak < probe.size - 1:  # the parabola through the three about the highest
        bend, slope, level = np.polyfit(after[peak - 1 : peak + 2] - after[peak], probe[peak - 1 : peak + 2], 2)
        at, most = at - slope / (2 * bend), level - slope**2 / (4 * bend)
    row: dict[str, Any] = {
        "run": n + 1,
        "t_end": off,
        "hot_len_mm": {},
        "T25_at_arc_off_C": float(probe[0]),
        "T25_max_before_next_run_C": float(most),
        "T25_max_time_after_arc_off_s": float(at),
        f"T25_below_{PROBE_LIMIT_C}C_time_after_arc_off_s": below(after, probe, PROBE_LIMIT_C),
    }
    for face, name, hottest in ((0, "outer", run.outer_C), (1, "inner", run.inner_C)):
        for release in RELEASES_C:
            row[f"{name}_max_below_{release}C_time_after_arc_off_s"] = below(after, hottest[own], release)
            length = hot_length(case, angles_rad, run.lines_C[off][face], arc, release, face == 0)
            row["hot_len_mm"][f"{name}_{release}"] = length
    return row


def below(after: Array, value: Array, limit: float) -> float | None:
    """The last crossing downward; 0 where it was never above, None where it still is."""
    above = np.flatnonzero(value > limit)
    if not above.size:
        return 0.0
    last = int(above[-1])
    if last + 1 == value.size:
        return None
    near = slice(max(0, last - 1), last + 3)
    if np.all(np.diff(value[near]) < 0):
        return float(PchipInterpolator(value[near][::-1], after[near][::-1])(limit))
    share = (value[last] - limit) / (value[last] - value[last + 1])
    return float(after[last] + share * (after[last + 1] - after[last]))


def hot_length(
    case: Mapping[str, Any], angles_rad: Array, line: Array, arc: Mapping[str, Any], release: float, outside: bool
) -> float | None:  # fmt: skip
    """From the arc's centre back to the first crossing; the zone that counts is the hottest's outside, the first inside."""
    closed = CubicSpline(np.append(angles_rad, 2 * np.pi), np.append(line, line[0]), bc_type="periodic")
    end, sign = math.radians(arc["start_deg"] + arc["sweep_deg"]), math.copysign(1.0, arc["sweep_deg"])
    back = np.linspace(0.0, ROUND_1 * 2 * math.pi, 20_001)
    value = closed((end - sign * back) % (2 * np.pi))
    hot = np.flatnonzero(value > release)
    if not hot.size:
        return 0.0
    first = int(value.argmax()) if outside else int(hot[0])
    cold = np.flatnonzero(value[first:] <= release)
    if not cold.size:
        return None
    at = first + int(cold[0])
    share = (value[at - 1] - release) / (value[at - 1] - value[at])
    return float((back[at - 1] + share * (back[at] - back[at - 1])) * case["geometry"]["OD_m"] * 500)
