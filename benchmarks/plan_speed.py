"""How long a plan takes, as a ratio to a fixed piece of array work measured in the same run."""

from __future__ import annotations

import time
from statistics import median
from typing import Any

import numpy as np

from benchmarks.random_joints import facts
from brightroot.app.declare_joint import declare_joint
from brightroot.library.load import load_library
from brightroot.planner.plan import make_plan


def reference_s() -> float:
    """A million complex exponentials, five times: the median."""
    angles = np.linspace(0.0, 100.0, 1_000_000)

    def once() -> float:
        began = time.perf_counter()
        np.exp(1j * angles).sum()
        return time.perf_counter() - began

    return median(once() for _ in range(5))


def measured() -> dict[str, Any]:
    """Ratios for three sizes, and the seconds behind them on the machine that made them."""
    library = load_library()
    unit = reference_s()
    rows = {}
    for pipe in ("NPS 2 Sch 10S", "NPS 6 Sch 10S", "NPS 12 Sch 40S"):
        joint = declare_joint({**facts(0), "metal": "Gr 2", "position": "5G", "pipe": pipe}, library=library)
        began = time.perf_counter()
        plan = make_plan(joint, library=library)
        seconds = time.perf_counter() - began
        rows[pipe] = {"runs_count": len(plan.runs), "ratio_1": round(seconds / unit, 1), "seconds_s": round(seconds, 3)}
    return {"unit": "one million complex exponentials", "unit_s": round(unit, 4), "plans": rows}
