"""The table of docs/theory/heat.md is what the engine gives."""

import math
import re
from pathlib import Path

import numpy as np
import pytest

from brightroot.physics.heat.green import temperature_K
from brightroot.physics.heat.ring import ArcRun, Ring

PAGE = Path(__file__).parents[2] / "docs/theory/heat.md"
RING = Ring(0.0603, 0.0055, 0.3, 19.34, 2.712e6, 21.9, 15.9, 293.15)
ROWS = [
    [float(n) for n in re.findall(r"[\d.]+", line.replace("(the plan's middle)", ""))]
    for line in PAGE.read_text(encoding="utf-8").splitlines()
    if re.match(r"\| \d+ A, 0\.", line)
]


def test_the_table_is_there():
    assert len(ROWS) == 10


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row[0]:g} A {row[1]:g} {row[2]:g} mm/min")
def test_row(row):
    current, efficiency, travel, arc_s, heat_kJ, weld_C, off_C, seven_C, peak_C, peak_s = row
    last, power = math.pi * 60.3 / 4 / travel * 60, efficiency * 10.5 * current
    run = ArcRun(0.0, last, 0.0, math.pi / 2, power)

    def hottest(z_m, after):
        angles = np.linspace(0, math.pi / 2, 91)
        seen = temperature_K(ring=RING, runs=[run], theta_rad=angles, z_m=z_m, side="outside", time_s=last + after)
        return float(seen.max()) - 273.15

    probe = [hottest(0.0254, after) for after in range(60)]
    found = (last, power * last / 1000, hottest(0.0, 7), probe[0], probe[7], max(probe))
    wanted = (arc_s, heat_kJ, weld_C, off_C, seven_C, peak_C)
    assert found == pytest.approx(wanted, abs=0.51)
    assert int(np.argmax(probe)) == peak_s
