"""The table of docs/theory/heat.md is what the groove-aware engine gives."""

import math
import re
from pathlib import Path

import numpy as np
import pytest

from brightroot.library.load import load_library
from brightroot.physics.heat.ring import ArcRun
from brightroot.physics.heat.volumes.body import Losses, Probe, body
from brightroot.physics.heat.volumes.schedule import at_times, marched
from brightroot.physics.heat.volumes.wall import End, Preparation, joint_section
from brightroot.planner.shape import metal_of

PAGE = Path(__file__).parents[2] / "docs/theory/heat.md"
END = End(0.0603, 0.0055, 0.3)
ROOT = Preparation(
    gap_m=0.0024, land_m=0.0015, included_angle_rad=math.radians(75), tops_m=(0.0025, 0.0055), cap_height_m=0.0012,
    cap_width_m=0.011,
)  # fmt: skip
AIR_K = 293.15
WHOLE = body(
    metal=metal_of(load_library().alloys["ti-2"]), section=joint_section(ends=(END, END), preparation=ROOT),
    radius_m=0.0603 / 2, losses=Losses(AIR_K, 12.0, 0.35, 6.0, 0.35), start_K=AIR_K,
)  # fmt: skip
ROWS = [
    [float(n) for n in re.findall(r"[\d.]+", line.replace("(the plan's middle)", ""))]
    for line in PAGE.read_text(encoding="utf-8").splitlines()
    if re.match(r"\| \d+ A, 0\.", line)
]


def looked(current, efficiency, travel):
    """Arc time, heat, hottest root, weld after 7 s, probe at arc-off, after 7 s, at its peak, and when."""
    last, power = math.pi * 60.3 / 4 / travel * 60, efficiency * 10.5 * current
    run = ArcRun(0.0, last, 0.0, math.pi / 2, power)
    probes = [Probe(float(angle), 0.0254) for angle in np.linspace(0, math.pi / 2, 19)]
    seen = marched(WHOLE, runs=[run], until_s=last + 60, probes=probes, laying=[0]).seen
    after = last + np.arange(60.0)
    probe = at_times(seen.time_s, seen.probe_K, after, breaks_s=[last]).max(axis=1) - 273.15
    weld = float(at_times(seen.time_s, seen.outer_max_K, np.array([last + 7]), breaks_s=[last])[0]) - 273.15
    return last, power * last / 1000, weld, probe[0], probe[7], probe.max(), int(probe.argmax())


def test_the_table_is_there():
    assert len(ROWS) == 10


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row[0]:g} A {row[1]:g} {row[2]:g} mm/min")
def test_row(row):
    found = looked(*row[:3])
    assert found[:6] == pytest.approx(row[3:9], abs=0.51)
    assert abs(found[6] - row[9]) <= 1


if __name__ == "__main__":
    told = (("80 A, 0.75", 50), ("80 A, 0.75", 85), ("80 A, 0.75", 125), ("80 A, 0.6", 125), ("80 A, 0.75", 200),
            ("65 A, 0.75", 85), ("65 A, 0.6", 125), ("65 A, 0.75", 200), ("40 A, 0.75", 125), ("30 A, 0.75", 125))  # fmt: skip
    for name, travel in told:
        current, efficiency = float(name.split(" A")[0]), float(name.split(", ")[1])
        last, heat, weld, off, seven, peak, when = looked(current, efficiency, travel)
        print(f"| {name} | {travel} mm/min | {last:.0f} s | {heat:.1f} kJ | {weld:.0f} °C | {off:.0f} °C | {seven:.0f} °C"
              f" | {peak:.0f} °C after {when} s |")  # fmt: skip
