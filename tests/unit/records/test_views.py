"""The fold: one small log per question."""

import pytest

from brightroot.base.errors import Broken
from brightroot.model.codec import to_data
from brightroot.model.entry import entered
from brightroot.model.event import KINDS, Event
from brightroot.model.record import JointRecord
from brightroot.records.views.joint import STEPS, fold
from brightroot.records.views.joints import joint_rows

EXAMPLES = {
    "text": "A",
    "clock": "4:30",
    "yes_no": "yes",
    "count": "1",
    "stamp": "W-07",
}
NUMBERS = {"temperature": "88 °C", "fraction": "12 ppm", "flow": "15 L/min", "length": "2.4 mm", "speed": "1 m/s",
           "time": "20 s", "volume": "60 L", "area": "2 m²", "pressure": "150 bar"}  # fmt: skip
COLD = {"dew_point_K": "-60 °C", "cylinder_K": "20 °C"}


def reading(text, field):
    from brightroot.base.units import read

    return read(text, field=field)


def joint_data():
    from brightroot.model import joint as j

    end = j.PipeEnd("Gr 2", reading("88.9 mm", "outer_diameter_m"), reading("5.49 mm", "wall_m"))
    groove = j.Groove(reading("60°", "included_angle_rad"), reading("0.5 mm", "land_m"), reading("2.4 mm", "gap_m"))
    purge = j.PurgeArrangement("foam", reading("600 mm", "dam_span_m"), "low", reading("8 mm", "vent_diameter_m"))
    return to_data(j.Joint("J-05", end, end, groove, "5G", purge, j.Procedure()))


def log(*facts):
    """Events one minute apart: (kind, typed facts) or (kind, typed facts, corrects)."""
    out = []
    for seq, (kind, typed, *corrects) in enumerate(facts, start=1):
        at = f"2026-03-02T10:{seq:02d}:00Z"
        data = entered(kind, typed)
        out.append(Event("J-05", "bench", "e1", seq, at, "W-07", kind, data, corrects=corrects[0] if corrects else ""))
    return out


def least(kind):
    """The least that has to be typed for a kind."""
    from brightroot.base.units import dimension_of

    facts = {}
    for f in KINDS[kind].fields:
        if f.kind == "data":
            facts[f.name] = joint_data() if f.name == "joint" else {}
        elif f.choices:
            facts[f.name] = f.choices[0]
        elif f.required or f.kind in ("number", "clock"):
            facts[f.name] = EXAMPLES.get(f.kind) or NUMBERS.get(dimension_of(f.name), "1")
    if kind == "gas.connected":
        facts = {"circuit": "all", "fill": "G-1"}
    if kind == "cylinder.changed":
        facts = {"circuit": "all", "fill": "G-1"}
    if kind == "arc.started":
        facts = {"run_count": "1", "current_A": "80 A"}
    return facts | {name: typed for name, typed in COLD.items() if name in facts}


# what has to have happened for a kind to mean something
BEFORE = {
    "surface.touched": ["surface.prepared"],
    "dam.removed": ["dam.placed"],
    "tack.cut": ["tack.made"],
    "tack.feathered": ["tack.made"],
    "arc.stopped": ["arc.started"],
    "shield.lifted": ["arc.started", "arc.stopped"],
    "bead.looked_at": ["arc.started", "arc.stopped"],
    "bead.brushed": ["arc.started", "arc.stopped"],
    "tungsten.dipped": ["arc.started"],
    "event.withdrawn": ["tape.opened"],
}
COUNTS = {"events_count": 0, "first_s": None, "last_s": None}


@pytest.mark.parametrize("kind", sorted(KINDS))
def test_every_kind_changes_the_record(kind):
    from dataclasses import replace

    before = log(*((k, least(k)) for k in BEFORE.get(kind, [])))
    after = log(*((k, least(k)) for k in BEFORE.get(kind, [])), (kind, least(kind)))
    if kind == "event.withdrawn":
        after[-1] = replace(after[-1], corrects=after[0].id)
    one, two = (replace(fold(events), **COUNTS) for events in (before, after))
    assert one != two
    if kind not in ("draught.felt", "gas.faltered", "tungsten.dipped", "rod.looked_at"):
        assert two.doubts == ()


def test_every_kind_has_a_step():
    assert set(STEPS) == set(KINDS)


def test_an_empty_log_says_nothing():
    assert fold([]) == JointRecord()


def test_the_declared_joint_comes_back_whole():
    record = fold(log(("joint.declared", {"joint": joint_data(), "facts": {}})))
    assert record.joint is not None and record.joint.end_a.wall_m.as_entered == "5.49 mm"
    assert record.joint_id == "J-05"


def test_a_declared_joint_that_is_none_is_broken():
    with pytest.raises(Broken, match="a declared joint"):
        fold(log(("joint.declared", {"joint": {"id": "J-05"}, "facts": {}})))


def test_a_run_as_made():
    record = fold(
        log(
            ("arc.started", {"run_count": "3", "current_A": "82 A", "voltage_V": "11 V"}),
            ("arc.stopped", {"run_count": "3", "at_rad": "4:30"}),
            ("shield.lifted", {"run_count": "3"}),
            ("bead.looked_at", {"run_count": "3", "tint": "light straw", "arrangement": "uniform"}),
            ("bead.brushed", {"run_count": "3"}),
        )
    )
    run = record.run(3)
    assert (run.current_A, run.voltage_V, run.stopped_s - run.started_s, run.lifted_s - run.stopped_s) == (
        82.0,
        11.0,
        60.0,
        60.0,
    )
    assert (run.tint, run.tint_event, run.arrangement) == ("light straw", "bench.e1.4", "uniform")
    assert run.brushed_s == run.lifted_s + 120 and round(run.stopped_at_rad, 3) == 2.356
    assert record.arc_on_run == 0 and record.doubts == ()


def test_the_arc_is_on_until_it_is_stopped():
    on = log(("arc.started", {"run_count": "2"}))
    assert fold(on).arc_on_run == 2
    # a wrong run number still means that the arc is off, and the odd stop is kept
    off = fold(log(("arc.started", {"run_count": "2"}), ("arc.stopped", {"run_count": "3"})))
    assert off.arc_on_run == 0 and off.run(2).stopped_s is None
    assert [d.kind for d in off.doubts] == ["arc.stopped"]


@pytest.mark.parametrize(
    "kind",
    [
        "arc.stopped",
        "shield.lifted",
        "bead.looked_at",
        "bead.brushed",
        "tungsten.dipped",
        "tack.cut",
        "tack.feathered",
        "dam.removed",
    ],
)
def test_an_event_of_nothing_is_a_doubt(kind):
    record = fold(log((kind, least(kind))))
    assert [(d.kind, d.event) for d in record.doubts] == [(kind, "bench.e1.1")]
    assert record.runs == () and record.tacks == ()


def test_a_shield_lifted_under_the_arc_is_recorded_and_doubted():
    record = fold(
        log(
            ("arc.started", {"run_count": "1"}),
            ("shield.lifted", {"run_count": "1"}),
            ("arc.stopped", {"run_count": "1"}),
            ("shield.lifted", {"run_count": "1"}),
        )
    )
    assert record.run(1).lifted_s < record.run(1).stopped_s
    assert [d.event for d in record.doubts] == ["bench.e1.2", "bench.e1.4"]


def test_a_run_struck_again_keeps_its_start_and_loses_its_colour():
    record = fold(
        log(
            ("arc.started", {"run_count": "1"}),
            ("tungsten.dipped", {"run_count": "1"}),
            ("arc.stopped", {"run_count": "1"}),
            ("bead.looked_at", {"run_count": "1", "tint": "silver", "arrangement": "uniform"}),
            ("arc.started", {"run_count": "1"}),
        )
    )
    run = record.run(1)
    assert (run.started_event, run.stopped_s, run.tint, run.dipped) == ("bench.e1.1", None, "", True)
    assert [d.kind for d in record.doubts] == ["tungsten.dipped", "arc.started"]


def look(tint):
    return ("bead.looked_at", {"run_count": "1", "tint": tint, "arrangement": "uniform"})


@pytest.mark.parametrize(
    "looks, stands, doubts",
    [
        (["silver", "dark blue"], "dark blue", 0),
        (["dark blue", "silver"], "dark blue", 1),
        (["not seen", "silver"], "silver", 0),
        (["silver", "not seen"], "silver", 1),
    ],
)
def test_the_worst_look_stands(looks, stands, doubts):
    record = fold(log(("arc.started", {"run_count": "1"}), ("arc.stopped", {"run_count": "1"}), *map(look, looks)))
    assert (record.run(1).tint, len(record.doubts)) == (stands, doubts)


def test_a_brushed_bead_shows_no_colour():
    record = fold(
        log(
            ("arc.started", {"run_count": "1"}),
            ("arc.stopped", {"run_count": "1"}),
            ("bead.brushed", {"run_count": "1"}),
            look("silver"),
        )
    )
    assert record.run(1).tint == "" and [d.kind for d in record.doubts] == ["bead.looked_at"]


def prepared(*works):
    return fold(
        log(
            *(
                ("surface.prepared", {"work": w}) if w != "touched" else ("surface.touched", {"by_what": "hand"})
                for w in works
            )
        )
    )


@pytest.mark.parametrize(
    "works, minute",
    [
        (["degreased", "oxide removed", "degreased again"], 3),
        (["degreased", "oxide removed"], None),
        (["oxide removed", "degreased", "degreased again"], None),
        (["degreased", "degreased again", "oxide removed"], None),
        (["degreased", "oxide removed", "degreased again", "oxide removed"], None),
        (["degreased", "oxide removed", "degreased again", "oxide removed", "degreased again"], 5),
        (["degreased", "oxide removed", "degreased again", "touched"], None),
        (["degreased", "oxide removed", "touched", "degreased again"], None),
    ],
)
def test_three_works_in_order(works, minute):
    record = prepared(*works)
    started = fold(log(("surface.prepared", {"work": "degreased"}))).first_s
    assert record.prepared_s == (None if minute is None else started + 60 * (minute - 1))
    assert len(record.prepared) == (len(works) if "touched" not in works else len(works) - works.index("touched") - 1)


def test_two_dams_in_one_end_are_two():
    dam = ("dam.placed", {"end": "a", "dam_kind": "foam"})
    out = ("dam.removed", {"end": "a", "how": "pulled"})
    assert fold(log(dam, dam, out)).dams_in == ("a",)
    empty = fold(log(dam, dam, out, out))
    assert (empty.dams_in, empty.dams_placed_count, empty.dams_removed_count) == ((), 2, 2)


def test_tape():
    record = fold(log(("tape.opened", {"arc": "A"}), ("tape.opened", {"arc": "B"}), ("tape.closed", {"arc": "A"})))
    assert record.arcs_open == ("B",) and record.tape_known
    assert not fold([]).tape_known


def test_oxygen_carries_the_flow_of_that_moment():
    look = ("oxygen.read", {"state": "reading", "oxygen_frac": "84 ppm", "place": "vent"})
    blind = ("oxygen.read", {"state": "over range", "place": "vent"})
    record = fold(
        log(
            blind,
            ("purge.started", {"flow_m3_s": "15 L/min"}),
            look,
            ("flow.changed", {"circuit": "trail", "flow_m3_s": "9 L/min"}),
            look,
            ("flow.changed", {"circuit": "backing", "flow_m3_s": "6 L/min"}),
            look,
            ("purge.ended", {}),
            look,
        )
    )
    assert [o.flow_m3_s for o in record.oxygen] == [None, 0.00025, 0.00025, 0.0001, None]
    assert [o.oxygen_frac for o in record.oxygen] == [None, *[8.4e-5] * 4]
    assert len(record.flows) == 2 and record.purge_ended_s is not None
    again = fold(
        log(
            ("purge.started", {"flow_m3_s": "15 L/min"}),
            ("purge.ended", {}),
            ("post_purge.ended", {}),
            ("purge.started", {"flow_m3_s": "15 L/min"}),
        )
    )
    assert (again.purge_ended_s, again.post_purge_ended_s) == (None, None)


def test_a_temperature_counts_from_the_last_arc_off():
    touch = ("temperature.read", {"temperature_K": "188 °F", "at_rad": "3", "side": "outside", "method": "contact"})
    record = fold(log(touch, ("arc.started", {"run_count": "1"}), ("arc.stopped", {"run_count": "1"}), touch, touch))
    assert [t.after_arc_off_s for t in record.temperatures] == [None, 60.0, 120.0]
    assert record.temperatures[0].as_entered == "188 °F" and record.temperatures[0].distance_m is None


def test_a_tack_made_twice_under_one_name_is_doubted_unless_it_was_cut():
    tack = ("tack.made", {"tack": "T1", "at_rad": "12", "purged": "no", "shape": "full", "tint": "grey"})
    better = ("tack.made", {"tack": "T1", "at_rad": "12", "purged": "yes", "shape": "full", "tint": "silver"})
    assert len(fold(log(tack, better)).doubts) == 1
    record = fold(log(tack, ("tack.cut", {"tack": "T1"}), better, ("tack.feathered", {"tack": "T1"})))
    assert record.doubts == () and len(record.tacks) == 1
    assert (record.tack("T1").tint, record.tack("T1").cut, record.tack("T1").feathered) == ("silver", False, True)


def test_unknown_and_incomplete_events_are_doubts():
    strange = Event("J-05", "bench", "e1", 1, "2026-03-02T10:00:00Z", "W-07", "moon.seen", {"full": True})
    bare = Event("J-05", "bench", "e1", 2, "2026-03-02T10:00:00Z", "W-07", "tape.opened", {})
    record = fold([strange, bare])
    assert [d.kind for d in record.doubts] == ["moon.seen", "tape.opened"] and not record.tape_known


def test_rows_of_a_list():
    rows = joint_rows(
        {"J-05": log(("arc.started", {"run_count": "1"}), ("arc.stopped", {"run_count": "1"})), "J-06": []}
    )
    assert [(r.id, r.runs_made_count, r.last_kind, r.last_by) for r in rows] == [
        ("J-05", 1, "arc.stopped", "W-07"),
        ("J-06", 0, "", ""),
    ]
