"""A drawn purge, run and written as a case: what the program is given in `inputs`, what was so in the truth blocks."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import asdict, dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from benchmarks.purge_simulator.bore import bore
from benchmarks.purge_simulator.draw import COUNTS, TARGETS_PPM, Drawn, drawn
from benchmarks.purge_simulator.flow import Course, Truth, floor_ppm, run
from benchmarks.purge_simulator.monitor import Monitor, indication, readings

Floats = NDArray[np.float64]
SERIES_S = 10
LEVELS_PPM = (1000, 100, *TARGETS_PPM)


@dataclass(frozen=True)
class Purge:
    """A case and the courses behind it."""

    drawn: Drawn
    case: dict[str, Any]
    course: Course
    seen_ppm: Floats  # the monitor's noiseless indication, second by second
    without_ppm: Floats | None  # the vent had the leak not opened


def purge(group: str, seed: int, index: int) -> Purge:
    """The purge of that group, seed and index, run."""
    one = drawn(group, seed, index)
    rng = np.random.default_rng([seed, index, 1])
    course = run(one.truth)
    seen = indication(course.vent_ppm, one.monitor)
    rows = readings(seen, one.monitor, times_s=reading_times(one, rng), rng=rng)
    without = None
    if one.opens_s is not None:
        without = run(replace(one.truth, leaks_mL_min=one.truth.leaks_mL_min[:1])).vent_ppm
    return Purge(one, _case(one, course, rows), course, seen, without)


def numbered(seed: int, counts: dict[str, int] | None = None) -> list[tuple[str, int, int]]:
    """Group, seed and index of every purge of a set, the groups taken in turn so that any first part holds all of them."""
    left = dict(counts or COUNTS)
    whole, found = sum(left.values()), []
    given = dict.fromkeys(left, 0)
    for n in range(whole):
        group = max(left, key=lambda name: left[name] * (n + 1) / whole - given[name])
        given[group] += 1
        found.append((group, seed, n))
    return found


def reading_times(one: Drawn, rng: np.random.Generator) -> Floats:
    """Every few seconds, or when whoever types has time for it."""
    count = int(one.truth.end_s // one.every_s)
    if not one.irregular:
        return np.arange(1.0, count + 1) * one.every_s
    gaps = one.every_s * rng.gamma(3.0, 0.5, size=count)
    times = np.cumsum(np.maximum(gaps, 3.0)).round()
    return times[times <= one.truth.end_s]


def crossings(ppm: Floats, flows_L_min: Sequence[tuple[float, float]], level_ppm: float) -> dict[str, float | None]:
    """First and last time of passing below that level, and the argon used until then."""
    under = np.nonzero(ppm < level_ppm)[0]
    over = np.nonzero(ppm >= level_ppm)[0]
    first = float(under[0]) if under.size else None
    last = None
    if under.size and (not over.size or over[-1] < ppm.size - 1):
        last = float(over[-1] + 1) if over.size else 0.0
    return {
        "first_below_s": first,
        "final_below_s": last,
        "argon_L_first": None if first is None else argon_L(flows_L_min, first),
        "argon_L_final": None if last is None else argon_L(flows_L_min, last),
    }


def argon_L(flows_L_min: Sequence[tuple[float, float]], until_s: float) -> float:
    """Argon let in until then."""
    ends = [*(at_s for at_s, _ in flows_L_min[1:]), math.inf]
    return sum(flow * max(0.0, min(end, until_s) - at_s) / 60 for (at_s, flow), end in zip(flows_L_min, ends))


def volume_L(truth: Truth) -> float:
    """What a person works out for the pipe between its dams: a dead leg is not in it, a second bore is."""
    first = math.pi / 4 * truth.diameter_m**2 * truth.length_m * 1e3
    if truth.second_diameter_m is None:
        return first
    return bore(
        diameter_m=truth.diameter_m, length_m=truth.length_m, columns=truth.columns, rows=truth.rows,
        second_diameter_m=truth.second_diameter_m,
    ).whole_m3 * 1e3  # fmt: skip


def _end(at_1: float, height: str, vertical: bool) -> str:
    if vertical:
        return "bottom" if at_1 < 0.5 else "top"
    return f"{height}_{'left' if at_1 < 0.5 else 'right'}"


def _case(one: Drawn, course: Course, rows: list[dict[str, object]]) -> dict[str, Any]:
    truth = one.truth
    name = f"{one.group.replace(' ', '_')}_{one.seed[0]}_{one.seed[1]}"
    return {
        "id": name,
        "description": one.group,
        "units": "s, ppm(v) O2, L/min and L at line conditions (20 C, 101325 Pa), m; air = 209460 ppm O2",
        "inputs": {
            "pipe_inside_diameter_m": truth.diameter_m,
            "purge_length_between_dams_m": truth.length_m,
            "volume_L": volume_L(truth),
            "pipe_axis": "vertical" if truth.vertical else "horizontal",
            "feed_position": _end(truth.feed.at_1, truth.feed.height, truth.vertical),
            "vent_position": _end(truth.vent.at_1, truth.vent.height, truth.vertical),
            "vent_diameter_mm": truth.vent_bore_m * 1e3,
            "initial_gas": "air",
            "flow_schedule_t_s_Lmin": [list(row) for row in truth.flows_L_min],
            "argon_grade_ppm_O2_max": one.grade_ppm,
            "targets_ppm": list(TARGETS_PPM),
            "events": [{"t_s": at_s, "kind": kind} for at_s, kind in one.events],
            "record_end_s": truth.end_s,
            "monitor": _told(one.nominal),
            "readings": rows,
        },
        "truth": _truth(one, course),
        "truth_hidden_parameters": {
            "group": one.group,
            "seed": list(one.seed),
            "opens_s": one.opens_s,
            "sim": asdict(truth),
            "sensor": asdict(one.monitor),
        },
    }


def _told(nominal: Monitor) -> dict[str, Any]:
    return {
        "sample_point": "vent",
        "first_order_lag_s_nominal": float(nominal.lag_s),
        "sample_delay_s_nominal": nominal.delay_s,
        "low_limit_ppm": nominal.low_ppm,
        "over_limit_ppm": nominal.over_ppm,
        "noise_rel_nominal": nominal.noise_rel_1,
        "noise_abs_ppm_nominal": nominal.noise_abs_ppm,
    }


def _truth(one: Drawn, course: Course) -> dict[str, Any]:
    flows = one.truth.flows_L_min
    found: dict[str, Any] = {
        name: {str(level): crossings(ppm, flows, level) for level in LEVELS_PPM}
        for name, ppm in (("vent", course.vent_ppm), ("root", course.root_ppm))
    }
    for name, ppm in (("vent", course.vent_ppm), ("root", course.root_ppm), ("mean", course.mean_ppm)):
        found[f"{name}_ppm_at_end"] = float(ppm[-1])
    found["argon_used_total_L"] = argon_L(flows, one.truth.end_s)
    found["floor_formula_ppm_at_end"] = floor_ppm(one.truth)
    found["series_10s"] = {
        "t_s": [float(t) for t in range(0, one.truth.end_s + 1, SERIES_S)],
        "vent_ppm": [float(f"{x:.5g}") for x in course.vent_ppm[::SERIES_S]],
        "root_ppm": [float(f"{x:.5g}") for x in course.root_ppm[::SERIES_S]],
    }
    return found
