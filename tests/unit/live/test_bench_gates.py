"""What a new user got away with on the first day: the wrong rod, a step in the bores, an early lift, a slower purge."""

import pytest

from brightroot.app.declare_joint import declare_joint
from brightroot.app.work_live import look, record
from brightroot.base.errors import Refused
from brightroot.base.instant import utc_of
from brightroot.cli.demo import SMALL, facts


def kind(name):
    return lambda event: event.kind == name


def why(now):
    return [because.says for advice in now.advice for because in advice.because]


def test_another_rod_on_the_bench_shuts_the_way_to_the_arc(upto):
    place, at_s = upto(kind("arc.started"))
    record(place, "J-10", "filler.issued", {"filler": "ERTi-2", "lot": "F-1"}, by="W-07", at_utc=utc_of(at_s))
    now = look(place, "J-10", at_s=at_s + 1)
    assert "gate.filler.other" in why(now)
    assert now.advice[0].event == "filler.issued"
    record(place, "J-10", "filler.issued", {"filler": "erti-7", "lot": "F-2"}, by="W-07", at_utc=utc_of(at_s + 2))
    assert "gate.filler.other" not in why(look(place, "J-10", at_s=at_s + 3))


def test_a_step_in_the_bores_shuts_it_until_somebody_decides(upto):
    place, at_s = upto(kind("arc.started"))
    measured = {"at_rad": "4:00", "gap_m": "2.4 mm", "hi_lo_m": "2.4 mm"}
    record(place, "J-10", "fit_up.measured", measured, by="W-07", at_utc=utc_of(at_s))
    assert "gate.fit_up.hi_lo" in why(look(place, "J-10", at_s=at_s + 1))
    decided = {"what": "hi-lo 2.4 mm at 4:00", "why": "counterbored on paper 12"}
    record(place, "J-10", "plan.departed_from", decided, by="E-04", at_utc=utc_of(at_s + 2))
    assert "gate.fit_up.hi_lo" not in why(look(place, "J-10", at_s=at_s + 3))


def test_an_early_lift_is_said_while_the_bead_is_looked_at(upto):
    place, at_s = upto(kind("shield.lifted"))
    stopped = [e for e in place.store.events("J-10") if e.kind == "arc.stopped"][-1]
    record(
        place,
        "J-10",
        "shield.lifted",
        {"run_count": str(stopped.data["run_count"])},
        by="W-07",
        at_utc=utc_of(at_s + 1),
    )
    now = look(place, "J-10", at_s=at_s + 2)
    assert now.advice[0].event == "bead.looked_at"
    assert why(now) == ["because.lifted_early"]


def test_a_quarter_of_the_flow_takes_four_times_as_long(upto):
    place, at_s = upto(kind("oxygen.read"))
    before = look(place, "J-10", at_s=at_s).advice[0].number.value
    quarter = {"circuit": "backing", "flow_m3_s": "3.75 L/min"}
    record(place, "J-10", "flow.changed", quarter, by="W-07", at_utc=utc_of(at_s))
    assert look(place, "J-10", at_s=at_s + 1).advice[0].number.value == pytest.approx(4 * before)


@pytest.mark.parametrize("typed", ["fit-up, root", "fit-up; root", "Ajuste\nraíz"])
def test_hold_points_are_kept_however_they_are_listed(library, typed):
    joint = declare_joint({**facts("J-1", position="5G", pipe=SMALL), "hold_points": typed}, library=library)
    assert joint.procedure.hold_points == ("fit-up", "root")


def test_a_hold_point_that_nobody_would_stop_at_is_refused(library):
    with pytest.raises(Refused) as refused:
        declare_joint(
            {**facts("J-1", position="5G", pipe=SMALL), "hold_points": "fit-up, after lunch"}, library=library
        )
    assert (refused.value.field, refused.value.got) == ("hold_points", "after lunch")
