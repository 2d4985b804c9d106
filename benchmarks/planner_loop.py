"""The plan followed with a thermometer, simulated: efficiency ±15 %, speed ±20 %, reading noise; the full heat engine is the truth.

The order, the cuts and the currents are the search's, made with nothing of this known. Before each run the clock only says when
to read; the run starts when a reading beside it, taken where the forecast has it hottest, is under the limit by the thermometer's
own doubt. Each reading turns the forecast of the next. `clock` does the same without a thermometer; the clairvoyant starts
every run of the same order at the very moment that the truth allows. Simulated throughout; the truth shares no code with the
search's heat.

`python -m benchmarks.planner_loop [from] [to]`; what is there already is kept.
"""

from __future__ import annotations

import json
import random
import sys
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import numpy as np

from benchmarks.planner_table import joint_of
from brightroot.library.load import load_library
from brightroot.physics.heat.modal import after_pause, cold, modes, pauses_until_s, rise_dK, with_run
from brightroot.physics.heat.ring import ArcRun
from brightroot.physics.heat.volumes.body import Body, Heated, Probe, advanced, at_rest
from brightroot.planner.search.search import search
from brightroot.planner.search.task import Found, FoundRun
from brightroot.planner.search.tasks import Setting, setting_of
from brightroot.planner.shape import body_of

SEED = 20261125
ASKED = 10_000
RESULT = Path(__file__).parent / "results" / "planner_loop.json"
PIPES = ("NPS 1-1/2 Sch 10S", "NPS 2 Sch 10S", "NPS 2 Sch 40S", "NPS 3 Sch 10S")
LIMITS = ("65 °C", "80 °C", "93 °C", "120 °C")
NOISE_K, NOISE_MOST_K = 1.0, 2.0  # of a reading; no thermometer in use is worse than its doubt
AGAIN_S = 10.0  # between two readings
GATES = 5
HORIZON_S = 7200.0


@dataclass(frozen=True, slots=True)
class Truth:
    """What the hand and the arc really do."""

    efficiency_1: float
    speed_1: float


@dataclass(slots=True)
class Told:
    """How one joint went."""

    time_s: float = 0.0
    over: int = 0
    worst_dK: float = 0.0
    readings: int = 0


def outcome(index: int) -> dict[str, Any]:
    """One joint three ways: by the thermometer, by the clock alone, and as a clairvoyant would."""
    draw = random.Random(SEED * 1000 + index)
    pipe, limit = draw.choice(PIPES), draw.choice(LIMITS)
    truth = Truth(draw.uniform(0.85, 1.15), draw.uniform(0.8, 1.2))
    setting = setting_of(joint_of(pipe, limit), library=load_library())
    found = search(setting.task)
    whole = body_of(setting.joint, library=setting.library)
    ways = {how: _made(how, setting, found, whole, truth, draw) for how in ("gate", "clock", "clairvoyant")}
    gate, clock, best = ways["gate"], ways["clock"], ways["clairvoyant"]
    return {
        "index": index, "runs": len(found.runs), "over": gate.over, "worst_dK": round(gate.worst_dK, 2), "clock_over": clock.over,
        "clock_worst_dK": round(clock.worst_dK, 2), "readings": gate.readings, "time_s": round(gate.time_s, 1),
        "clairvoyant_s": round(best.time_s, 1), "cost_frac": round(gate.time_s / best.time_s - 1, 4),
    }  # fmt: skip


def _made(how: str, setting: Setting, found: Found, whole: Body, truth: Truth, draw: random.Random) -> Told:
    task, told = setting.task, Told()
    own = modes(task.ring)
    believed, ratio = cold(own), 1.0
    body = at_rest(whole)
    limit = task.limits.interpass_K or 1e9
    for number, run in enumerate(found.runs):
        way = task.layers[run.layer].ways[run.way]
        stretch = way.stretches[run.stretch]
        arc = ArcRun(
            0.0, run.duration_s / truth.speed_1, stretch.from_rad, stretch.sweep_rad, way.power_W * truth.efficiency_1
        )
        if number:
            places = np.linspace(stretch.from_rad, stretch.from_rad + stretch.sweep_rad, GATES)
            pause, body, strike_K, ratio, reads = _waited(
                how, run, body, whole, places, setting, believed, ratio, limit, draw
            )
            told.readings += reads
            told.over += strike_K > limit + 0.05
            told.worst_dK = max(told.worst_dK, strike_K - limit)
            told.time_s += pause
            believed = after_pause(own, believed, pause_s=pause)
        body, _ = advanced(
            whole, body, until_s=body.time_s + arc.duration_s, arc=arc, laying=task.layers[run.layer].number - 1
        )
        told.time_s += arc.duration_s
        # the watch tells how long the arc was on; what it gave is not known
        believed = with_run(own, believed, replace(arc, net_power_W=way.power_W))
    return told


def _waited(
    how: str, run: FoundRun, body: Heated, whole: Body, places: np.ndarray, setting: Setting, believed: np.ndarray,
    ratio: float, limit: float, draw: random.Random,
) -> tuple[float, Heated, float, float, int]:  # fmt: skip
    """Pause, the joint then, the highest true temperature along the run when it is struck, the new ratio, readings taken."""
    task = setting.task
    own, air, z = modes(task.ring), task.ring.ambient_K, task.limits.reading_m
    probes = [Probe(float(angle), z) for angle in places]
    off = body.time_s
    states, seen_s = [body], [np.array([off])]
    seen_K: list[np.ndarray] = []

    def march(to_s: float) -> None:
        state, seen = advanced(whole, states[-1], until_s=to_s, probes=probes)
        states.append(state)
        seen_s.append(seen.time_s[1:] if seen_K else seen.time_s)
        seen_K.append(seen.probe_K[1:] if seen_K else seen.probe_K)

    def true_K(after_s: float) -> np.ndarray:
        while states[-1].time_s < off + after_s:
            march(off + max(after_s, (states[-1].time_s - off) * 1.3, 60.0))
        times, values = np.concatenate(seen_s[1:]), np.concatenate(seen_K)
        return np.array([np.interp(off + after_s, times, values[:, k]) for k in range(places.size)])

    def forecast_s(scale: float, to_K: float) -> float:
        limit_dK = (to_K - air) / scale
        found = pauses_until_s(own, believed, limit_dK=limit_dK, theta_rad=places, z_m=z, horizon_s=HORIZON_S)[0]
        return HORIZON_S if found is None else found

    least, reads = run.least_pause_s, 0
    if how == "clock":
        pause = max(least, forecast_s(1.0, limit))
    elif how == "clairvoyant":
        pause = least
        step = 1.0
        while true_K(pause).max() > limit and pause < HORIZON_S:
            low, pause = pause, pause + step
            step = min(step * 1.3, 60.0)
            if true_K(pause).max() <= limit:
                for _ in range(12):
                    middle = (low + pause) / 2
                    low, pause = (middle, pause) if true_K(middle).max() > limit else (low, middle)
    else:
        guarded = limit - NOISE_MOST_K
        pause = max(least, forecast_s(ratio, guarded))
        while True:
            expected = rise_dK(own, after_pause(own, believed, pause_s=pause), theta_rad=places, z_m=z)[0]
            at = int(expected.argmax())
            noise = max(-NOISE_MOST_K, min(NOISE_MOST_K, draw.gauss(0.0, NOISE_K)))
            read = float(true_K(pause)[at]) + noise
            reads += 1
            if expected[at] > 3.0:
                ratio = float(np.clip((read - air) / expected[at], 0.5, 1.6))
            if read <= guarded or pause > HORIZON_S:
                break
            pause = max(pause + AGAIN_S, forecast_s(ratio, guarded))
    strike = float(true_K(pause).max())
    before = [state for state in states if state.time_s <= off + pause + 1e-9][-1]
    struck, _ = advanced(whole, before, until_s=off + pause)
    return pause, struck, strike, ratio, reads


def told(rows: list[dict[str, Any]]) -> dict[str, Any]:
    """What all of them come to."""
    costs = sorted(row["cost_frac"] for row in rows)
    starts = sum(row["runs"] - 1 for row in rows)
    gate = sum(row["time_s"] for row in rows) / sum(row["clairvoyant_s"] for row in rows) - 1
    return {
        "asked": ASKED, "joints": len(rows), "starts": starts, "over_by_the_plan": sum(row["over"] for row in rows),
        "worst_over_dK": max(row["worst_dK"] for row in rows),
        "clock_alone_over_frac": round(sum(row["clock_over"] for row in rows) / starts, 4),
        "clock_alone_worst_dK": max(row["clock_worst_dK"] for row in rows),
        "cost_frac": round(gate, 4), "cost_median_frac": costs[len(costs) // 2], "cost_p95_frac": costs[int(len(costs) * 0.95)],
    }  # fmt: skip


def _write(rows: list[dict[str, Any]]) -> None:
    """The summary, then a line for each joint."""
    head = json.dumps({"seed": SEED, "simulated": True, **told(rows)}, indent=1)[:-2]
    lines = ",\n".join(json.dumps(row, separators=(",", ":")) for row in rows)
    RESULT.write_text(f'{head},\n "joints_told": [\n{lines}\n]\n}}\n', encoding="utf-8")


def main() -> None:
    """From one index to another, written every few joints."""
    told_to = sys.argv[1:3] if sys.argv[0].endswith("planner_loop.py") else []
    first, last = (int(a) for a in (told_to or ("0", "200")))
    rows = json.loads(RESULT.read_text(encoding="utf-8"))["joints_told"] if RESULT.exists() else []
    known = {row["index"] for row in rows}
    for index in range(first, last):
        if index in known:
            continue
        rows.append(outcome(index))
        if index % 20 == 19 or index == last - 1:
            print(f"\rclosed loop {len(rows)}", end="", file=sys.stderr, flush=True)
            _write(rows)
    print(file=sys.stderr)


if __name__ == "__main__":
    main()
