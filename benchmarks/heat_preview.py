"""How fast an instant preview, the modal heat state and a live forecast are.

`python -m benchmarks.heat_preview` writes the results: the least of several goes, warm, processor time of one core (it may be
shared), BLAS with one thread. The live forecast is timed on a joint that the stand-in works (simulated), event by event: what a new
arc-off and a new reading cost, whatever came before.
"""

from __future__ import annotations

import json
import math
import os
import subprocess
import sys
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Any

import numpy as np

from brightroot.app.plan_joint import declare, plan_of
from brightroot.app.ports import Place
from brightroot.app.stand_in import work
from brightroot.app.work_live import cells_of
from brightroot.cli.demo import facts
from brightroot.library.load import load_library
from brightroot.live.estimators.heat import reforecast
from brightroot.live.phases import live_state
from brightroot.physics.heat.kernel import rates_1_s
from brightroot.physics.heat.modal import _after, fit_error_frac, left_by, modes, pauses_until_s, rise_dK, with_run
from brightroot.physics.heat.preview import preview
from brightroot.physics.heat.ring import ArcRun, Ring
from brightroot.planner.shape import body_of
from brightroot.store.logs import memory_store

RESULT = Path(__file__).parent / "results/heat_preview.json"
ASKED = {"limit_K": 366.45, "release_K": 533.15, "reading_z_m": 0.0254}
RINGS = {
    "NPS 2": Ring(0.0603, 0.0055, 0.2, 19.6, 2.7e6, 25.0, 12.0, 293.15),
    "NPS 12": Ring(0.3239, 0.00953, 0.3, 19.3, 2.71e6, 22.0, 16.0, 293.15),
}
RUNS = {"NPS 2": ArcRun(0.0, 30.0, 0.0, 1.5, 560.0), "NPS 12": ArcRun(0.0, 30.0, 1.0, 0.28, 700.0)}
LARGE = {"metal": "Gr 7", "pipe": "219.1 x 3.76 mm", "dam_span_m": "600 mm"}


def least_s(work_: Callable[[], Any], times: int = 40) -> float:
    """The least processor time of several goes."""
    found = []
    for _ in range(times):
        began = time.process_time()
        work_()
        found.append(time.process_time() - began)
    return min(found)


def previews() -> dict[str, float]:
    """Milliseconds of a preview after one run, and after four."""
    found = {}
    for name, ring in RINGS.items():
        one = RUNS[name]
        four = [ArcRun(n * 120.0, one.duration_s, n * 2.1, one.sweep_rad, one.net_power_W) for n in range(4)]
        for told, runs in ((name, [one]), (f"{name}, four runs", four)):
            found[told] = round(1000 * least_s(partial(preview, ring=ring, runs=runs, **ASKED)), 2)
    return found


def modal() -> dict[str, dict[str, float]]:
    """The fit of a new ring, and each question, in milliseconds; how far the kernel is off."""
    found = {}
    for name, ring in RINGS.items():
        own, run = modes(ring), RUNS[name]
        left = left_by(own, [run], time_s=run.stop_s)

        def fit(ring: Ring = ring) -> None:
            rates_1_s.cache_clear()
            rates_1_s(spread_m2_s=ring.diffusivity_m2_s, half_length_m=ring.half_length_m, sigma_m=0.003)

        asks: dict[str, Callable[[], Any]] = {
            "fit_ms": fit,
            "add_run_ms": partial(with_run, own, left, run),
            "rise_ms": partial(rise_dK, own, left, theta_rad=np.linspace(0, math.tau, 13), z_m=0.0254),
            "pause_until_ms": partial(pauses_until_s, own, left, limit_dK=73.0, theta_rad=[run.to_rad], z_m=0.0254),
        }
        found[name] = {told: round(1000 * least_s(ask, 8), 3) for told, ask in asks.items()}
        found[name]["kernel_error_frac"] = max(fit_error_frac(own, z_m=z) for z in (0.0, 0.0254))
    return found


def live() -> dict[str, Any]:
    """What a new arc-off and a new reading cost a forecast, on a joint of many runs."""
    place = Place(load_library(), memory_store(), lambda: 0.0)
    declare(place, facts("X-1", position="5G", pipe=LARGE), by="W-07")
    work(place, "X-1", start_s=0.0, by="W-07")
    plan, events = plan_of(place, "X-1"), place.store.events("X-1")
    # a body of its own, and no modal heat kept: the stand-in has already asked for every forecast
    whole, cells = body_of(plan.joint, library=place.library), cells_of(place, plan)
    _after.cache_clear()
    taken: dict[str, list[float]] = {"arc.stopped": [], "temperature.read": []}
    for count in range(1, len(events) + 1):
        record = live_state(events[:count]).record
        began = time.process_time()
        reforecast(whole, plan, record, cells=cells)
        if (kind := events[count - 1].kind) in taken:
            taken[kind].append(1000 * (time.process_time() - began))
    rows = {
        kind: {
            "median_ms": round(float(np.median(ms[2:])), 1),
            "last_ms": round(ms[-1], 1),
            "most_ms": round(max(ms[2:]), 1),
        }
        for kind, ms in taken.items()
    }
    return {"runs": len(plan.runs), **rows}


def main() -> None:
    """Measure with one thread, and write."""
    if os.environ.get("OPENBLAS_NUM_THREADS") != "1":
        os.execve(
            sys.executable,
            [sys.executable, "-m", "benchmarks.heat_preview"],
            {**os.environ, "OPENBLAS_NUM_THREADS": "1"},
        )
    commit = subprocess.run(["git", "rev-parse", "--short", "HEAD"], capture_output=True, text=True, check=False).stdout
    told = {"commit": commit.strip() or "unknown", "preview_ms": previews(), "modal": modal(), "live": live()}
    RESULT.write_text(json.dumps(told, indent=1) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
