"""One simulated purge, asked of the filter and of its rivals, beside what then happened.

A forecast is about the purge as it stands: where a leak opens later, it is held against the same purge without that leak.
Times are counted after the last flow step or handling, and, for a frozen monitor, before it froze.
"""

from __future__ import annotations

import math
import time
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from benchmarks.purge_baselines import Said, exponential_and_floor, two_point
from benchmarks.purge_simulator.case import Purge, volume_L
from benchmarks.purge_simulator.draw import TARGETS_PPM
from brightroot.app.calc import answer

Floats = NDArray[np.float64]
COUNTS = (1, 3, 5, 10)
COUNTED_PPM = 1000.0
RISE_1, ALARM_S = 0.3, 90.0
TURNS_OF_PLATEAU = 5
SEED = 1


@dataclass(frozen=True)
class Fate:
    """What becomes of one target as the purge stands: reached at a time, never, or still undecided at the record's end."""

    kind: str  # reachable, never, undecided
    at_s: float | None
    shown_s: float | None
    plateau_s: float


def scored(purge: Purge) -> dict[str, Any]:
    """The row of one purge."""
    asked = moments(purge)
    watch = sorted({*asked.values(), *watched(purge)})
    began = time.perf_counter()
    case = {"inputs": purge.case["inputs"], "at_s": watch, "seed": SEED}
    answers = {a["at_s"]: a for a in answer("purge", case)}
    spent = (time.perf_counter() - began) / max(len(watch), 1)
    return {
        "group": purge.drawn.group,
        "index": purge.drawn.seed[1],
        "each_s": spent,
        "missed_1": purge.course.missed_1,
        "end_ppm": float(purge.course.vent_ppm[-1]),
        "counts": {str(count): _at_count(purge, at_s, answers[at_s]) for count, at_s in asked.items()},
        "plateau": _plateau(purge, answers),
        "surest": _surest(purge, answers),
        "alarm": _alarm(purge, answers),
        "verdicts": _verdicts(purge, answers),
    }


def counted(purge: Purge) -> dict[str, Any]:
    """Only the forecasts at each count of readings: the same as in the whole row, sooner."""
    asked = moments(purge)
    case = {"inputs": purge.case["inputs"], "at_s": sorted(asked.values()), "seed": SEED}
    answers = {a["at_s"]: a for a in answer("purge", case)} if asked else {}
    return {
        "group": purge.drawn.group,
        "index": purge.drawn.seed[1],
        "counts": {str(count): _at_count(purge, at_s, answers[at_s]) for count, at_s in asked.items()},
    }


def turn_s(purge: Purge) -> float:
    """The time of one volume at the last flow."""
    return volume_L(purge.drawn.truth) / purge.drawn.truth.flows_L_min[-1][1] * 60


def settled_s(purge: Purge) -> float:
    """The last moment at which somebody changed something."""
    steps = [at_s for at_s, _ in purge.drawn.truth.flows_L_min]
    return max([*steps, *(at_s for at_s, _ in purge.drawn.events)])


def moments(purge: Purge) -> dict[int, float]:
    """When the 1st, 3rd, 5th and 10th reading at or below 1000 ppm came."""
    until = purge.drawn.monitor.frozen_from_s or math.inf
    low = [
        row["t_s"]
        for row in purge.case["inputs"]["readings"]
        if row["flag"] == "ok" and row["ppm"] <= COUNTED_PPM and settled_s(purge) < row["t_s"] < until
    ]
    return {count: low[count - 1] for count in COUNTS if len(low) >= count}


def watched(purge: Purge) -> list[float]:
    """The readings after which the verdict is looked at: every third, and each one while a leak should be noticed."""
    times = [float(row["t_s"]) for row in purge.case["inputs"]["readings"]]
    opens = purge.drawn.opens_s
    near = set() if opens is None else {t for t in times if opens - 30 <= t <= opens + 600}
    return sorted({*times[::3], *near, *times[-1:]})


def course_ahead(purge: Purge, at_s: float) -> Floats:
    """The vent as it goes on if nothing changes after that moment."""
    if purge.without_ppm is not None and purge.drawn.opens_s is not None and at_s < purge.drawn.opens_s:
        return purge.without_ppm
    return purge.course.vent_ppm


def fate(purge: Purge, at_s: float, target_ppm: float) -> Fate:
    """The target's fate as seen from that moment. Above it, but still falling when the record ends: undecided."""
    gas = course_ahead(purge, at_s)
    seen = purge.seen_ppm if gas is purge.course.vent_ppm else None
    close = np.nonzero(np.abs(gas / gas[-1] - 1) > 0.1)[0]
    plateau = float(close[-1] + 1) if close.size else 0.0
    passed = below_for_good(gas, target_ppm)
    if passed is not None:
        return Fate("reachable", passed, None if seen is None else below_for_good(seen, target_ppm), plateau)
    back = max(0, gas.size - 1 - round(TURNS_OF_PLATEAU * turn_s(purge)))
    kind = "undecided" if gas[-1] < 0.97 * gas[back] and gas[-1] < 1.5 * target_ppm else "never"
    return Fate(kind, None, None, plateau)


def below_for_good(ppm: Floats, target_ppm: float) -> float | None:
    """The first whole second after which it stays below."""
    over = np.nonzero(ppm >= target_ppm)[0]
    if not over.size:
        return 0.0
    return None if over[-1] == ppm.size - 1 else float(over[-1] + 1)


def _at_count(purge: Purge, at_s: float, said: Mapping[str, Any]) -> dict[str, Any]:
    inputs = purge.case["inputs"]
    rows = [
        (row["t_s"], row["ppm"]) for row in inputs["readings"]
        if row["flag"] == "ok" and settled_s(purge) < row["t_s"] <= at_s
    ]  # fmt: skip
    times, ppm = [t for t, _ in rows], [x for _, x in rows]
    late = inputs["monitor"]["first_order_lag_s_nominal"] + inputs["monitor"]["sample_delay_s_nominal"]
    targets = {}
    for target in TARGETS_PPM:
        what = fate(purge, at_s, target)
        found = said["targets"][str(target)]
        reaches, shows = found["gas_reaches_s"] or {}, found["monitor_shows_s"] or {}
        own = Said(reaches.get("p50"), reaches.get("p05"), reaches.get("p95"), found["p_never"])
        targets[str(target)] = {
            "fate": what.kind,
            "true_s": what.at_s,
            "filter": _row(own),
            "two_point": _row(two_point(times, ppm, target_ppm=target, late_s=late)),
            "exponential_floor": _row(exponential_and_floor(times, ppm, target_ppm=target, late_s=late)),
            "shown_s": what.shown_s,
            "shows": [shows.get("p05"), shows.get("p50"), shows.get("p95")],
        }
    gas = {
        name: [float(course[round(at_s)]), *(said[f"{name}_ppm"][q] for q in ("p05", "p50", "p95"))]
        for name, course in (("vent", purge.course.vent_ppm), ("root", purge.course.root_ppm))
    }
    return {"at_s": at_s, "targets": targets, **gas}


def _row(said: Said) -> list[float | None]:
    return [said.p05_s, said.p50_s, said.p95_s, said.p_never]


def _plateau(purge: Purge, answers: Mapping[float, Any]) -> dict[str, Any]:
    """For each target that is never reached: what the filter held at the last look within 5 volumes of the plateau."""
    found = {}
    for target in TARGETS_PPM:
        what = fate(purge, math.inf, target)
        latest = what.plateau_s + TURNS_OF_PLATEAU * turn_s(purge)
        looks = [t for t in answers if settled_s(purge) < t <= latest]
        if what.kind == "never" and looks and latest <= purge.drawn.truth.end_s and not _stuck(purge):
            held = answers[max(looks)]["targets"][str(target)]["p_never"]
            found[str(target)] = [held, float(purge.course.vent_ppm[-1] / target)]
    return found


def _stuck(purge: Purge) -> bool:
    return purge.drawn.monitor.frozen_from_s is not None


def _surest(purge: Purge, answers: Mapping[float, Any]) -> dict[str, float]:
    """For each target that is reached: the largest P(never) held at any look under the last flow before it was."""
    found = {}
    for target in TARGETS_PPM:
        held = [
            said["targets"][str(target)]["p_never"]
            for t, said in answers.items()
            if t > settled_s(purge) and fate(purge, t, target).kind == "reachable" and not _stuck(purge)
        ]
        if held:
            found[str(target)] = max(held)
    return found


def _alarm(purge: Purge, answers: Mapping[float, Any]) -> dict[str, Any] | None:
    """For a leak that opens: when its rise passed 30 % of what the monitor shows, and when the filter said leak."""
    if purge.without_ppm is None or purge.drawn.opens_s is None:
        return None
    opens = purge.drawn.opens_s
    rise = purge.course.vent_ppm - purge.without_ppm
    noticed = np.nonzero(rise >= RISE_1 * purge.seen_ppm)[0]
    due = float(noticed[0]) if noticed.size else None
    flags = [t for t in sorted(answers) if t >= opens and answers[t]["verdict"] == "leak"]
    scores = due is not None and due + ALARM_S <= purge.drawn.truth.end_s
    return {
        "opens_s": opens,
        "due_s": due if scores else None,
        "flagged_s": flags[0] if flags else None,
        "early": [t for t in answers if t < opens and answers[t]["verdict"] == "leak"][:1],
        "at_opening_ppm": float(purge.without_ppm[round(opens)]),
        "rise_ppm": float(rise[-1]),
    }


def _verdicts(purge: Purge, answers: Mapping[float, Any]) -> dict[str, float]:
    """The first moment of each verdict."""
    first: dict[str, float] = {}
    for t in sorted(answers):
        first.setdefault(answers[t]["verdict"], t)
    return first
