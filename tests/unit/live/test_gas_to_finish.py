"""Gas to finish: what is left by the flowmeters' word, change first, hot swap, the alarm one cooling time early, proof."""

import dataclasses

import pytest

from brightroot.app.gas import gas_seen, suspects_over_joints, traced
from brightroot.app.work_live import look, record
from brightroot.base.instant import utc_of
from brightroot.live.gas import runs_ahead
from brightroot.live.gas_flows import course, drawn_from_m3, feeding
from brightroot.live.gas_proof import fed_by, proof_of
from brightroot.live.phases import Phase
from brightroot.model.advice import Level

J = "J-10"


def kind(name):
    return lambda event: event.kind == name


def put(place, kind_, at_s, /, *, joint=J, by="W-07", **facts):
    return record(place, joint, kind_, {k: str(v) for k, v in facts.items()}, by=by, at_utc=utc_of(at_s))


def seen(place, at_s):
    return gas_seen(place, look(place, J, at_s=at_s))


def why(place, at_s):
    advice = look(place, J, at_s=at_s).advice[0]
    return advice, [b.says for b in advice.because]


def read_cylinder(place, at_s, bar):
    put(place, "cylinder.read", at_s, circuit="all", cylinder_pressure_Pa=f"{bar} bar")


def test_a_full_cylinder_is_enough_and_is_said_before_the_strike(upto):
    place, at_s = upto(kind("arc.started"))
    (cylinder,) = seen(place, at_s).cylinders
    assert (cylinder.answer, cylinder.circuits, cylinder.low) == ("enough", ("torch", "trail", "backing"), False)
    assert cylinder.usable.value > cylinder.wanted.value > 0
    advice, because = why(place, at_s)
    assert advice.event == "arc.started" and "gate.gas.enough" in because


def test_what_flowed_is_taken_off(upto):
    place, at_s = upto(kind("arc.started"))
    later, earlier = seen(place, at_s + 600).cylinders[0], seen(place, at_s).cylinders[0]
    drawn = earlier.usable.value - later.usable.value
    assert drawn == pytest.approx(600 * 15 / 60000, rel=0.01), "ten minutes of backing"
    assert later.pressure.value < earlier.pressure.value


def test_change_first_shuts_the_way_until_the_cylinder_is_changed(upto):
    place, at_s = upto(kind("arc.started"))
    read_cylinder(place, at_s, 9)
    advice, because = why(place, at_s + 1)
    assert (advice.event, advice.level, because) == ("cylinder.changed", Level.STOP, ["gate.gas.change_first"])
    full = {"circuit": "all", "fill": "G-9", "cylinder_volume_m3": "50 L", "cylinder_pressure_Pa": "200 bar"}
    put(place, "cylinder.changed", at_s + 60, **full)
    advice, because = why(place, at_s + 61)
    assert advice.event == "arc.started"
    assert "because.gas_unproved" in because, "the new fill has not been proved"


def test_a_decision_written_since_lets_the_work_go_on(upto):
    place, at_s = upto(kind("arc.started"))
    read_cylinder(place, at_s, 9)
    put(place, "plan.departed_from", at_s + 5, what="second cylinder on the manifold", why="gas")
    assert why(place, at_s + 6)[0].event == "arc.started"


def test_a_hot_swap_of_one_circuit_leaves_the_others_where_they_were(upto):
    place, at_s = upto(kind("arc.started"))
    put(
        place, "cylinder.changed", at_s, circuit="backing", fill="G-9", cylinder_volume_m3="50 L",
        cylinder_pressure_Pa="180 bar",
    )  # fmt: skip
    first, second = seen(place, at_s + 300).cylinders
    assert (first.circuits, second.circuits) == (("torch", "trail"), ("backing",))
    now = look(place, J, at_s=at_s + 300)
    log, plan = now.state.record, now.plan
    old, new = feeding(log, "torch", at_s + 300), feeding(log, "backing", at_s + 300)
    before = drawn_from_m3(plan, log, old, from_s=old.at_s, to_s=at_s)
    assert drawn_from_m3(plan, log, old, from_s=old.at_s, to_s=at_s + 300) == pytest.approx(before)
    assert drawn_from_m3(plan, log, new, from_s=new.at_s, to_s=at_s + 300) == pytest.approx(300 * 15 / 60000)


def test_without_a_pressure_nothing_is_known_and_nothing_is_shut(upto):
    place, at_s = upto(kind("arc.started"))
    now = look(place, J, at_s=at_s)
    bare = dataclasses.replace(
        now.plan.joint, purge=dataclasses.replace(now.plan.joint.purge, cylinder_pressure_Pa=None)
    )
    plan = dataclasses.replace(now.plan, joint=bare)
    gas = tuple(
        dataclasses.replace(s, data={k: v for k, v in s.data.items() if k != "cylinder_pressure_Pa"})
        for s in now.state.record.gas
    )
    log = dataclasses.replace(now.state.record, gas=gas)
    bare_now = dataclasses.replace(now, plan=plan, state=dataclasses.replace(now.state, record=log))
    (cylinder,) = gas_seen(place, bare_now).cylinders
    assert (cylinder.answer, cylinder.usable, cylinder.low) == ("not known", None, False)


def test_the_alarm_comes_while_one_cooling_time_is_still_there(upto):
    place, at_s = upto(kind("arc.stopped"))
    assert look(place, J, at_s=at_s).state.phase is Phase.ARC_ON
    read_cylinder(place, at_s, 6.5)  # 5 bar is the heel
    (cylinder,) = seen(place, at_s).cylinders
    cooling = max(cylinder.cooling_s, 1.0)
    quiet = [t for t in range(0, 1200, 5) if not seen(place, at_s + t).cylinders[0].low]
    first = max(quiet, default=-5) + 5
    heard = seen(place, at_s + first).cylinders[0]
    assert heard.low and heard.left.value >= cooling, "the bead can still cool under gas"
    advice = look(place, J, at_s=at_s + first).advice[0]
    assert (advice.level, advice.says) == (Level.STOP, "stop.gas_low")
    assert [b.says for b in advice.because] == ["stop.safe_way_out", "because.gas_low"]


def test_what_is_ahead_is_the_root_in_one_go_and_then_run_by_run(upto):
    place, at_s = upto(kind("arc.started"))
    now = look(place, J, at_s=at_s)
    assert {run.pass_number for run in runs_ahead(now.plan, now.state.record)} == {1}
    root = [run for run in now.plan.runs if run.pass_number == 1]
    assert len(runs_ahead(now.plan, now.state.record)) == len(root)


def test_a_shield_that_nobody_wrote_down_as_lifted_ends_at_the_planned_hold(upto):
    place, at_s = upto(kind("shield.lifted"))
    now = look(place, J, at_s=at_s)
    steps = course(now.plan, now.state.record, "torch")
    made = now.state.record.runs[0]
    assert steps[-1] == (made.stopped_s + now.plan.figures["runs.1.hold_s"].high, 0.0)


# proof


def test_an_oxygen_monitor_never_stands_for_the_dew_point(upto):
    place, at_s = upto(kind("gas.connected"))
    put(place, "gas.connected", at_s, circuit="all", fill="G-1", supply_oxygen_frac="2 ppm")
    put(place, "gas.proved", at_s + 1, circuit="all", fill="G-1", puddle="bright", supply_oxygen_frac="1 ppm")
    now = look(place, J, at_s=at_s + 2)
    proof = proof_of(now.state.record, "G-1", "torch", cells=now.cells)
    assert (proof.state, proof.missing) == ("unproved", ("dew_point",))
    put(place, "gas.proved", at_s + 3, circuit="torch", fill="G-1", puddle="bright", dew_point_K="-62 °C")
    now = look(place, J, at_s=at_s + 4)
    states = {c: proof_of(now.state.record, "G-1", c, cells=now.cells).state for c in ("torch", "trail", "backing")}
    assert states == {"torch": "proved", "trail": "unproved", "backing": "unproved"}


@pytest.mark.parametrize(
    "facts, bad",
    [
        ({"puddle": "tinted"}, "puddle"), ({"puddle": "bright", "dew_point_K": "-40 °C"}, "dew_point"),
        ({"puddle": "bright", "supply_oxygen_frac": "80 ppm"}, "oxygen"),
    ],
)  # fmt: skip
def test_one_bad_finding_is_doubtful_whatever_the_certificate_says(upto, facts, bad):
    place, at_s = upto(kind("arc.started"))
    put(place, "gas.proved", at_s, circuit="all", fill="G-2231", **facts)
    now = look(place, J, at_s=at_s + 1)
    proof = proof_of(now.state.record, "G-2231", "backing", cells=now.cells)
    assert (proof.state, proof.bad) == ("doubtful", (bad,))
    assert "because.gas_doubtful" in why(place, at_s + 1)[1]


def test_a_fill_is_traced_to_the_joints_and_runs_it_fed(gallery):
    rows = traced(gallery, ("G-2231",))
    assert {row.joint for row in rows} == {"J-01", "J-10"}
    runs = {row.joint: row.runs for row in rows if row.circuit == "torch"}
    plan = look(gallery, "J-10").plan
    assert runs["J-10"] == tuple(run.number for run in plan.runs)
    assert traced(gallery, ("G-none",)) == ()


def test_a_swap_splits_the_runs_between_the_fills(upto):
    place, at_s = upto(lambda e: e.kind == "arc.started" and e.data["run_count"] == 3)
    put(place, "cylinder.changed", at_s, circuit="all", fill="G-9")
    put(place, "arc.started", at_s + 5, run_count=3)
    log = look(place, J, at_s=at_s + 6).state.record
    runs = {fed.fill: fed.runs for fed in fed_by(log) if fed.circuit == "torch"}
    assert runs == {"G-2231": (1, 2), "G-9": (3,)}


def test_a_monitor_found_bad_on_another_joint_doubts_this_ones_readings(gallery, upto):
    place, at_s = upto(kind("arc.started"))
    log = look(place, J, at_s=at_s).state.record
    assert suspects_over_joints(place, log) == ()
    put(place, "instrument.checked", at_s + 5, instrument="oxygen monitor", tag="M-06", against="air", result="bad")
    again = look(place, J, at_s=at_s + 6).state.record
    doubted = suspects_over_joints(place, again)
    assert {s.event for s in doubted} == {read.event for read in again.oxygen}
