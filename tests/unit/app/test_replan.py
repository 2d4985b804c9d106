"""How much of a run was made, by where its arc went off."""

import math

import pytest

from brightroot.app.replan import share_made
from brightroot.model.plan import PlannedRun

QUARTER = math.pi / 2


@pytest.mark.parametrize(
    ("sweep_rad", "along_rad", "share"),
    [
        (QUARTER, QUARTER, 1.0),
        (QUARTER, QUARTER / 2, 0.5),
        (-QUARTER, QUARTER / 2, 0.5),
        (QUARTER, QUARTER + 0.1, 1.0),
        (QUARTER, 0.0, 0.05),
        (QUARTER, -0.05, 0.05),  # struck, and out again a little behind the start
        (-QUARTER, -0.05, 0.05),
    ],
)
def test_a_run_counts_for_as_much_as_was_made(sweep_rad, along_rad, share):
    planned = PlannedRun(1, 1, "root", "A", 0.3, sweep_rad)
    at_rad = planned.from_rad + math.copysign(along_rad, along_rad * sweep_rad)
    assert share_made(planned, at_rad % (2 * math.pi)) == pytest.approx(share)
