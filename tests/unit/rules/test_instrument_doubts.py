"""An instrument found bad doubts every reading back to the last good check of the same point; health tells lag and drift."""

import math

from brightroot.library.load import load_library
from brightroot.live.instruments import health_of
from brightroot.model.record import JointRecord, OxygenRead, Seen
from brightroot.rules.instruments import doubts_of, found_bad, suspects

MONITOR = "oxygen monitor"
H = 3600.0


def check(at_h, against="air", result="good", tag="M-1", **more):
    data = {"instrument": MONITOR, "tag": tag, "against": against, "result": result, **more}
    return Seen(f"c.{at_h}.{against}", at_h * H, "W-07", "instrument.checked", data)


def frac(value):
    return {"value": value, "low": value, "high": value}


def read(at_h):
    return OxygenRead(f"r.{at_h}", at_h * H, "reading", 8e-6, "vent", None)


def doubted(*checks, at=(7, 8.5, 9.5, 10.5)):
    record = JointRecord(checks=checks, oxygen=tuple(map(read, at)))
    assert [s.event for s in suspects(record)] == [f"r.{h}" for h in at if found_bad(record, MONITOR, h * H)]
    return [h for h in at if found_bad(record, MONITOR, h * H)]


def test_back_to_the_last_good_check_and_on_to_the_next():
    assert doubted(check(8), check(10, result="bad"), check(11)) == [8.5, 9.5, 10.5]
    assert doubted(check(8), check(9), check(10, result="bad")) == [9.5, 10.5]
    assert doubted(check(8), check(9)) == []


def test_never_found_good_doubts_all_that_went_before():
    assert doubted(check(10, result="bad")) == [7, 8.5, 9.5, 10.5]


def test_a_good_air_point_does_not_mend_the_argon_point():
    bad = check(9, "cylinder argon", "bad")
    assert doubted(check(8, "cylinder argon"), bad, check(9.1)) == [8.5, 9.5, 10.5]


def test_another_monitor_found_good_ends_the_doubt():
    assert doubted(check(8), check(9, result="bad"), check(9.2, tag="M-2")) == [8.5]


def test_the_thermometer_is_not_the_monitors_business():
    record = JointRecord(checks=(check(8, result="bad"),))
    assert not found_bad(record, "thermometer", 9 * H)
    (doubt,) = doubts_of(record, MONITOR)
    assert doubt.from_s == -math.inf and doubt.until_s == math.inf


def test_health_tells_points_line_lag_and_drift():
    cells = load_library().practice
    record = JointRecord(
        checks=(
            check(0, oxygen_frac=frac(0.209)), check(24, oxygen_frac=frac(0.205)),
            check(24, "cylinder argon", oxygen_frac=frac(4e-6)),
            check(24, "hose end", oxygen_frac=frac(95e-6), lag_s=frac(21.0)),
        )
    )  # fmt: skip
    (health,) = health_of(record, now_s=25 * H, cells=cells)
    points = {p.against: p for p in health.points}
    assert math.isclose(points["air"].drift_frac_day, -0.004) and not points["air"].odd
    assert math.isclose(health.line_adds.value, 91e-6) and health.lag_s == 21.0
    assert health.missing == () and not health.bad
    (later,) = health_of(record, now_s=40 * H, cells=cells)
    assert set(later.missing) == {"air", "cylinder argon", "hose end"}, "another shift"


def test_called_good_though_it_is_off_is_said():
    cells = load_library().practice
    (health,) = health_of(JointRecord(checks=(check(1, oxygen_frac=frac(0.178)),)), now_s=2 * H, cells=cells)
    assert health.points[0].odd and not health.bad
