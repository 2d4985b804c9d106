"""The purge of a record: readings and events to the filter and back, and at target only after this shift's checks."""

import dataclasses
import math

import pytest

from brightroot.app.plan_joint import plan_of
from brightroot.app.work_live import cells_of, look
from brightroot.live.estimators.oxygen import OxygenState
from brightroot.live.estimators.purge import POINTS, purge_of, purge_state, unchecked
from brightroot.live.gates import oxygen_gate
from brightroot.model.record import JointRecord, OxygenRead, Seen

START_S = 1_000_000.0
FLOW = 2.5e-4


@pytest.fixture(scope="module")
def plan(gallery):
    return plan_of(gallery, "J-10")


@pytest.fixture(scope="module")
def cells(gallery, plan):
    return cells_of(gallery, plan)


def seen(at_s, kind, **data):
    return Seen(f"bench.1.{kind}.{at_s}", at_s, "W-07", kind, data)


def number(value):
    return {"value": value, "low": value, "high": value}


def started(*, flow=FLOW):
    return seen(START_S, "purge.started", flow_m3_s=number(flow))


def checks(at_s):
    return tuple(
        seen(at_s, "instrument.checked", instrument="oxygen monitor", against=point, result="good", tag="M-1")
        for point in POINTS
    )


def readings(plan, *, floor=4e-6, count=40, every_s=15.0, place="vent"):
    """A clean fall of the gas in this plan's volume, as somebody types it."""
    volume = plan.figures["purge.volume_m3"].value
    found = []
    for n in range(1, count + 1):
        volumes = max(0.0, (n * every_s - 14.0) * FLOW / volume - 0.6)
        value = round((floor + 0.2 * math.exp(-1.6 * volumes)) * 1e6 + (n % 3 - 1)) * 1e-6
        found.append(OxygenRead(f"bench.1.{n}", START_S + n * every_s, "reading", value, place, FLOW))
    return tuple(found)


def worked(plan, *, course=(), checked=True, **given):
    reads = readings(plan, **given)
    return JointRecord(
        oxygen=reads, purge_course=(started(), *course), checks=checks(START_S - 600) if checked else ()
    )  # fmt: skip


def test_before_the_gas_there_is_no_purge(plan, cells):
    assert purge_state(plan, JointRecord(), START_S, cells=cells) is None


def test_a_clean_purge_waits_and_then_is_at_target(plan, cells):
    record = worked(plan)
    first, last = record.oxygen[2].at_s, record.oxygen[-1].at_s
    early = purge_state(plan, dataclasses.replace(record, oxygen=record.oxygen[:3]), first, cells=cells)
    late = purge_state(plan, record, last, cells=cells)
    assert early.verdict == "wait" and late.verdict == "at_target"
    assert early.target.gas_reaches_s.p50 < early.target.monitor_shows_s.p50
    assert late.argon_m3 == pytest.approx(FLOW * (last - START_S))
    assert late.missing == () and late.age_s == 0


@pytest.mark.parametrize("point", POINTS)
def test_at_target_is_not_said_without_this_shifts_checks(plan, cells, point):
    record = worked(plan)
    fewer = dataclasses.replace(record, checks=tuple(c for c in record.checks if c.data["against"] != point))
    state = purge_state(plan, fewer, record.oxygen[-1].at_s, cells=cells)
    assert state.verdict == "wait" and state.missing == (point,)


def test_a_check_of_another_shift_or_a_bad_one_does_not_count():
    good = JointRecord(checks=checks(START_S))
    assert unchecked(good, START_S + 3600) == () and unchecked(good, START_S + 13 * 3600) == POINTS
    bad = tuple(dataclasses.replace(c, data={**c.data, "result": "bad"}) for c in good.checks)
    assert unchecked(dataclasses.replace(good, checks=bad), START_S + 3600) == POINTS


def test_an_old_number_is_not_measured_and_its_bound_has_grown(plan, cells):
    record = worked(plan)
    last = record.oxygen[-1].at_s
    fresh, old = (purge_state(plan, record, last + s, cells=cells) for s in (0.0, 1800.0))
    assert old.verdict == "not_measured" and old.age_s == 1800.0
    assert old.vent_frac.p95 > fresh.vent_frac.p95


def test_flow_tape_and_cylinder_of_the_record_reach_the_filter(plan, cells):
    course = (
        seen(START_S + 100, "tape.opened", arc="1"),
        seen(START_S + 200, "flow.changed", circuit="backing", flow_m3_s=number(1e-4)),
        seen(START_S + 250, "flow.changed", circuit="torch", flow_m3_s=number(2e-4)),
        seen(START_S + 300, "cylinder.changed", circuit="backing", fill="F-2"),
        seen(START_S + 400, "purge.ended"),
    )
    purge = purge_of(plan, worked(plan, course=course), cells=cells)
    assert [flow for _, flow in purge.flows] == [FLOW, 1e-4, 0.0]
    assert [(e.at_s - START_S, e.kind) for e in purge.events] == [(100, "tape_opened"), (300, "cylinder_changed")]


def test_when_all_dams_came_out_the_pipe_holds_air_again(plan, cells):
    course = (
        seen(START_S - 5, "dam.placed", end="a"),
        seen(START_S + 500, "dam.removed", end="a"),
        seen(START_S + 600, "dam.placed", end="a"),
        seen(START_S + 700, "purge.started", flow_m3_s=number(1e-4)),
    )
    purge = purge_of(plan, worked(plan, course=course), cells=cells)
    assert purge.flows == ((START_S + 700, 1e-4),) and all(r.at_s >= START_S + 700 for r in purge.looks)


def test_readings_of_hose_and_room_are_not_readings_of_the_pipe(plan, cells):
    record = worked(plan)
    strange = tuple(dataclasses.replace(r, place=p) for r, p in zip(record.oxygen, ("air", "hose end"), strict=False))
    purge = purge_of(plan, dataclasses.replace(record, oxygen=(*strange, *record.oxygen[2:])), cells=cells)
    assert len(purge.looks) == len(record.oxygen) - 2


def test_a_supply_that_was_read_is_the_supply(plan, cells):
    record = worked(plan)
    supply = OxygenRead("bench.1.s", START_S + 5, "reading", 9e-6, "supply", FLOW)
    purge = purge_of(plan, dataclasses.replace(record, oxygen=(supply, *record.oxygen)), cells=cells)
    assert purge.supply_frac == 9e-6


def test_the_same_record_gives_the_same_state(plan, cells):
    record = worked(plan)
    states = [purge_state(plan, record, record.oxygen[9].at_s, cells=cells, seed=4, band_s=(0, 60)) for _ in range(2)]
    assert states[0] == states[1] and len(states[0].band) == 2


def test_a_log_from_first_to_last_keeps_its_course(gallery, plan, cells):
    record = look(gallery, "J-10").state.record
    kinds = {s.kind for s in record.purge_course}
    assert {"purge.started", "tape.opened", "dam.placed"} <= kinds
    assert purge_of(plan, record, cells=cells) is not None


# the sample line and a dam that was moved


@pytest.mark.parametrize(
    ("kind", "heard"),
    [
        ("dam.moved", ["dam_moved"]),
        ("sample_line.opened", ["sample_line_opened"]),
        ("sample_line.closed", ["sample_line_closed"]),
        ("sample_line.moved", ["sample_line_opened", "sample_line_closed"]),
        ("cylinder.changed", ["cylinder_changed"]),
    ],
)
def test_what_was_done_reaches_the_filter(plan, cells, kind, heard):
    record = worked(plan, course=(seen(START_S + 200, kind, end="a", place="vent", circuit="all", fill="G-2"),))
    purge = purge_of(plan, record, cells=cells)
    assert [(done.at_s, done.kind) for done in purge.events] == [(START_S + 200, name) for name in heard]


def test_an_open_line_tells_nothing_of_the_pipe(plan, cells):
    """The same numbers with the line off since 60 s: they speak of the room, and the band is wide again."""
    now_s = START_S + 610
    taken = purge_state(plan, worked(plan), now_s, cells=cells)
    off = purge_state(plan, worked(plan, course=(seen(START_S + 60, "sample_line.opened"),)), now_s, cells=cells)
    wide = [state.vent_frac.p95 / state.vent_frac.p05 for state in (taken, off)]
    assert wide[1] > 2 * wide[0]


def test_a_number_read_with_the_line_off_opens_no_gate(plan, cells):
    record = worked(plan)
    last = record.oxygen[-1]
    record = dataclasses.replace(record, purge_started_s=START_S, backing_flow_m3_s=FLOW)
    state = OxygenState("measured", last, 1.0, None)
    assert oxygen_gate(plan, record, state, cells=cells).state == "open"
    for course, said in (
        ([seen(START_S + 20, "sample_line.opened")], "unknown"),
        ([seen(START_S + 20, "sample_line.opened"), seen(START_S + 30, "sample_line.closed")], "open"),
        ([seen(START_S + 20, "sample_line.opened"), seen(START_S + 30, "sample_line.moved", place="vent")], "open"),
        ([seen(last.at_s + 1, "sample_line.opened")], "open"),
    ):
        gate = oxygen_gate(plan, dataclasses.replace(record, purge_course=tuple(course)), state, cells=cells)
        assert gate.state == said


def test_a_number_from_before_a_doubtful_stream_opens_no_gate(plan, cells):
    record = worked(plan)
    last = record.oxygen[-1]
    record = dataclasses.replace(record, purge_started_s=START_S, backing_flow_m3_s=FLOW)
    state = OxygenState("measured", last, 1.0, None)
    for after_s, more, said in (
        (1, {"measures": "oxygen_frac", "doubtful": "burst"}, "unknown"),
        (1, {"measures": "oxygen_frac"}, "open"),
        (1, {"measures": "temperature_K", "doubtful": "burst"}, "open"),
        (-1, {"measures": "oxygen_frac", "doubtful": "burst"}, "open"),  # read since
    ):
        streams = (seen(last.at_s + after_s, "samples.kept", instrument="M-3", **more),)
        gate = oxygen_gate(plan, dataclasses.replace(record, streams=streams), state, cells=cells)
        assert gate.state == said, more
