import dataclasses

import pytest

from brightroot.physics.heat.ring import ArcRun, Ring
from brightroot.physics.heat.sensitivity import Doubts, probe_swings, weld_swings

# a quarter of NPS 2, near the run of our sensitivity note: 80 A at 10 V and 0.75
PIPE = Ring(0.0603, 0.0055, 0.2, 19.6, 2.7e6, 25.0, 12.0, 298.15)
RUN = ArcRun(0.0, 31.6, 0.0, 0.0474 / 0.03015, 600.0)
NONE = Doubts((1.0, 1.0), (1.0, 1.0), (1.0, 1.0), (1.0, 1.0), (1.0, 1.0), (1.0, 1.0), 0.0)


def of(swings, name):
    return next(swing for swing in swings.each if swing.name == name)


def test_speed_place_and_efficiency_rule_the_probe():
    swings = probe_swings(ring=PIPE, run=RUN)
    widths = {swing.name: swing.high_1 - swing.low_1 for swing in swings.each}
    assert set(sorted(widths, key=widths.get)[-3:]) == {"speed", "probe", "efficiency"}


def test_the_note_s_swings_within_a_third():
    """Speed ±20 %: −18/+27 K; probe ±3 mm: −23/+29 K; computed for a run near this one."""
    swings = probe_swings(ring=PIPE, run=RUN)
    rise = 129
    for name, low, high in (("speed", -18, 27), ("probe", -23, 29)):
        swing = of(swings, name)
        assert (swing.low_1 - 1) * rise == pytest.approx(low, rel=0.34)
        assert (swing.high_1 - 1) * rise == pytest.approx(high, rel=0.34)


def test_quadrature():
    only = dataclasses.replace(NONE, efficiency_1=(0.9, 1.1), loss_1=(0.5, 2.0))
    swings = weld_swings(ring=PIPE, run=RUN, after_s=40.0, doubts=only)
    loss = of(swings, "loss")
    assert swings.high_1 == pytest.approx(1 + (0.1**2 + (loss.high_1 - 1) ** 2) ** 0.5)
    assert swings.low_1 < 0.9


def test_no_doubt_no_swing():
    swings = probe_swings(ring=PIPE, run=RUN, doubts=NONE)
    assert (swings.low_1, swings.high_1) == pytest.approx((1.0, 1.0))


def test_a_probe_nearer_the_weld_reads_higher():
    swing = of(probe_swings(ring=PIPE, run=RUN), "probe")
    assert swing.low_1 < 0.9 < 1.1 < swing.high_1
    assert not [s for s in weld_swings(ring=PIPE, run=RUN, after_s=40.0).each if s.name == "probe"]
