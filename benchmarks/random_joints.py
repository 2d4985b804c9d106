"""A hundred random joints planned from typed facts: every plan must stand, and its headline figures must not drift.

`./test evidence` makes the whole sweep and writes `results/random_joints.json`; `./test` plans a seeded 2 % of it again
and fails where a figure has moved.
"""

from __future__ import annotations

import random
from collections.abc import Mapping
from typing import Any

from brightroot.app.declare_joint import declare_joint
from brightroot.library.load import load_library
from brightroot.planner.plan import make_plan

SEED = 20261125
COUNT = 100
HEADLINES = (
    "groove.area_m2",
    "groove.deposit_kg",
    "purge.volume_m3",
    "purge.mixed_time_s",
    "runs.1.hold_s",
    "runs.1.wait_s",
    "runs.1.reading_peak_K",
    "heat.shield_length_m",
    "time.total_s",
    "gas.argon_m3",
)
PIPES = (
    "NPS 1 Sch 10S", "NPS 1-1/2 Sch 40S", "NPS 2 Sch 10S", "NPS 2 Sch 40S", "NPS 3 Sch 10S", "NPS 4 Sch 10S", "60.3 x 5.54 mm",
    "NPS 6 Sch 10S", "76.1 x 2.9 mm", "NPS 8 Sch 5S", "48.3 x 5.08 mm", "NPS 4 Sch 5S",
)  # fmt: skip


def facts(index: int) -> dict[str, str]:
    """The facts of one random joint; the same for the same index, whatever else was drawn."""
    draw = random.Random(SEED * 1000 + index)
    return {
        "id": f"R-{index:03d}",
        "metal": draw.choice(("Gr 1", "Gr 2", "Gr 7", "Gr 9", "Gr 12", "R60702", "316L", "Alloy 625")),
        "pipe": draw.choice(PIPES),
        "position": draw.choice(("1G", "2G", "5G", "6G")),
        "included_angle_rad": f"{draw.choice((60, 65, 70, 75))}°",
        "land_m": f"{draw.choice((0.0, 0.5, 0.8, 1.2))} mm",
        "gap_m": f"{draw.choice((1.6, 2.0, 2.4, 3.0))} mm",
        "dam_kind": draw.choice(("foam", "film", "none")),
        "dam_span_m": f"{draw.choice((300, 400, 600, 1500))} mm",
        "feed": draw.choice(("low", "high", "unknown")),
        "vent_diameter_m": f"{draw.choice((5, 8, 10))} mm",
        "backing_flow_m3_s": f"{draw.choice((8, 10, 15))} L/min",
        "supply_oxygen_frac": f"{draw.choice((1, 3, 5))} ppm",
        "start_oxygen_frac": f"{draw.choice((15, 20, 50))} ppm",
        "interpass_max_K": f"{draw.choice((65, 93, 120, 150))} °C",
        "longest_run_m": f"{draw.choice((40, 60, 80))} mm",
        "ambient_K": f"{draw.choice((8, 20, 32))} °C",
    }


def outcome(index: int) -> dict[str, Any]:
    """The headline figures of one random joint; None where the plan says that something does not come about."""
    library = load_library()
    plan = make_plan(declare_joint(facts(index), library=library), library=library)
    found = {key: plan.figures[key].value if key in plan.figures else None for key in HEADLINES}
    return {**found, "runs_count": len(plan.runs), "blocked": any(c.level == "block" for c in plan.concerns)}


def drift(then: Mapping[str, Any], now: Mapping[str, Any]) -> list[str]:
    """What has moved by more than one part in a million."""
    moved = []
    for key, before in then.items():
        after = now[key]
        same = before == after or (
            isinstance(before, float) and isinstance(after, float) and abs(after - before) <= 1e-6 * abs(before)
        )
        if not same:
            moved.append(f"{key}: {before} → {after}")
    return moved


def sample() -> list[int]:
    """The seeded 2 % that every test run repeats."""
    return sorted(random.Random(SEED).sample(range(COUNT), COUNT * 2 // 100))
