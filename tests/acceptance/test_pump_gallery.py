"""The pump gallery: two joints as whole walks from facts to a verified bundle, and the scenario's printed figures.

Printed: the figures of the invented scenario, worked there apart from this program. They agree within 2 %.
"""

import json
from collections import Counter
from dataclasses import replace

import pytest

from brightroot.app.dossier import issue
from brightroot.app.judge_joint import verdicts
from brightroot.app.plan_joint import declare, declare_like, facts_of_joint, plan_facts, plan_of
from brightroot.app.ports import Place
from brightroot.app.work_live import look
from brightroot.base.errors import Refused
from brightroot.base.instant import utc_of
from brightroot.cli.demo import LARGE, SMALL, facts
from brightroot.cli.wiring import paper
from brightroot.live.phases import Phase
from brightroot.model.clause import Outcome, overall
from brightroot.model.codec import canonical, from_data, to_data
from brightroot.model.plan import Plan
from brightroot.store.bundle import bundle_bytes
from brightroot.store.logs import memory_store
from brightroot.store.verifier import examine

# figure -> printed for J-01, printed for J-10, factor from SI to the printed unit
PRINTED = {
    "purge.volume_m3": (12.29, 2.15, 1e3),
    "purge.mixed_time_s": (8.0, 1.4, 1 / 60),
    "purge.mixed_volumes_1": (9.8, 9.8, 1),
    "purge.mixed_argon_m3": (120, 21, 1e3),
    "groove.area_m2": (13.0, 11.1, 1e6),
    "groove.bare_deposit_kg": (30, 13.5, 1e3),
}
CLOSING = {"closing": "yes", "dam_kind": "film", "dam_span_m": "300 mm"}


@pytest.mark.parametrize("key", PRINTED)
@pytest.mark.parametrize("joint, which", [("J-01", 0), ("J-10", 1)])
def test_printed_figures(gallery, joint, which, key):
    figure = plan_of(gallery, joint).figures[key]
    printed, factor = PRINTED[key][which], PRINTED[key][2]
    assert figure.value * factor == pytest.approx(printed, rel=0.02)
    assert figure.low <= figure.value <= figure.high


def test_the_plan_tells_more_than_the_bare_groove(gallery):
    for joint in ("J-01", "J-10"):
        figures = plan_of(gallery, joint).figures
        assert figures["groove.deposit_kg"].low > figures["groove.bare_deposit_kg"].high, "cap and root come on top"


@pytest.fixture(scope="module")
def undammed(gallery):
    long_run = {"dam_kind": "none", "dam_span_m": "6.2 m", "longest_run_m": "200 mm"}
    return plan_facts(gallery, facts("J-09", position="5G", pipe=LARGE) | {"closing": "yes"} | long_run)


def test_whole_run_without_dams(undammed):
    figures = undammed.figures
    assert figures["purge.volume_m3"].value * 1e3 == pytest.approx(127, rel=0.02)
    assert figures["purge.mixed_time_s"].value / 60 == pytest.approx(82.7, rel=0.02)
    assert figures["purge.mixed_argon_m3"].value == pytest.approx(1.24, rel=0.02)
    assert "concern.no_dams" in {c.name for c in undammed.concerns}
    assert not any(step.event.startswith("dam.") for step in undammed.steps)


@pytest.fixture(scope="module")
def fourteen(library):
    """All joints of the gallery, planned the way the demo does."""
    made = Place(library, memory_store(), lambda: 1772737200.0)
    by = "W-07"
    declare(made, facts("J-01", position="1G", pipe=LARGE), by=by)
    declare_like(made, "J-01", ("J-02", "J-03", "J-04"), by=by)
    declare(made, facts("J-05", position="5G", pipe=LARGE), by=by)
    declare_like(made, "J-05", ("J-06", "J-07", "J-08"), by=by)
    declare(made, facts("J-09", position="5G", pipe=LARGE) | CLOSING, by=by)
    declare(made, facts("J-10", position="5G", pipe=SMALL), by=by)
    declare_like(made, "J-10", ("J-11", "J-12", "J-14"), by=by)
    declare(made, facts("J-13", position="5G", pipe=SMALL) | CLOSING, by=by)
    return made


def test_all_fourteen_plan_with_passes_gas_wire_and_dams(fourteen):
    assert sorted(fourteen.store.joints()) == [f"J-{n:02}" for n in range(1, 15)]
    for name in fourteen.store.joints():
        plan = plan_of(fourteen, name)
        assert plan.joint.id == name
        assert [p.name for p in plan.passes] == ["root", "cap"]
        assert all(plan.figures[f"passes.{p.number}.rod_length_m"].value > 0 for p in plan.passes)
        assert plan.figures["gas.argon_m3"].value > plan.figures["gas.purge_m3"].value > 0
        counted = Counter(step.event for step in plan.steps)
        assert counted["dam.placed"] == counted["dam.removed"] == 2
        assert not [c for c in plan.concerns if c.level == "block"]


def test_closing_joint_between_films(fourteen):
    figures = plan_of(fourteen, "J-09").figures
    assert figures["purge.volume_m3"].value * 1e3 == pytest.approx(6.15, rel=0.02)
    assert figures["purge.mixed_time_s"].value / 60 == pytest.approx(4.0, rel=0.02)
    assert plan_of(fourteen, "J-13").joint.closing


@pytest.mark.parametrize("dam_kind", ["foam", "plug", "inflatable"])
def test_a_dam_that_cannot_come_out_blocks_a_closing_joint(place, dam_kind):
    quick = {"closing": "yes", "dam_kind": dam_kind, "longest_run_m": "200 mm"}
    plan = plan_facts(place, facts("J-13", position="5G", pipe=SMALL) | quick)
    assert ("block", "concern.dam_lost") in {(c.level, c.name) for c in plan.concerns}


def test_nine_joints_like_one_in_one_action(place):
    declare(place, facts("J-01", position="1G", pipe=LARGE, longest_run_m="200 mm"), by="W-07")
    names = tuple(f"K-{n:02}" for n in range(1, 10))
    assert declare_like(place, "J-01", names, by="W-07") == names
    one = plan_of(place, "J-01")
    for name in names:
        assert replace(plan_of(place, name).joint, id="J-01") == one.joint
        assert plan_of(place, name).figures == one.figures
        assert facts_of_joint(place, name) == facts_of_joint(place, "J-01") | {"id": name}
    before = place.store.joints()
    with pytest.raises(Refused, match="K-03"):
        declare_like(place, "J-01", ("L-01", "K-03"), by="W-07")
    assert place.store.joints() == before, "one taken name, and none is written"


@pytest.mark.parametrize("joint", ["J-01", "J-10"])
def test_walk_to_the_signature(gallery, joint):
    now = look(gallery, joint)
    assert now.state.phase is Phase.SIGNED
    assert not now.left
    assert [r.number for r in sorted(now.state.record.runs, key=lambda r: r.number)] == [
        r.number for r in now.plan.runs
    ]
    found = {v.clause: v for v in verdicts(gallery, joint)}
    assert not [v for v in found.values() if v.outcome is Outcome.FAIL]
    for clause in ("interpass", "start-oxygen", "shield-held", "backing-kept", "dams-out", "runs-made", "heat-a"):
        assert found[clause].outcome is Outcome.PASS, clause
    # nobody named a colour criterion, so the colour is undecided and so is the joint
    assert found["tint-criterion"].outcome is Outcome.UNKNOWN
    assert overall(tuple(found.values())) is Outcome.UNKNOWN


def test_a_recorded_plan_reads_back_equal(gallery):
    plan = plan_of(gallery, "J-10")
    assert from_data(json.loads(canonical(to_data(plan))), Plan) == plan


@pytest.fixture(scope="module")
def bundle(gallery):
    """J-10's bundle. The issue adds one event to the log, so it is made once."""
    made = issue(gallery, "J-10", by="W-07", on=paper("en", "metric", "a4"))
    data, _ = bundle_bytes(stored=made.stored, attachments=made.attachments, files=made.files, about=made.about)
    return made, data


def test_bundle_verifies(bundle):
    made, data = bundle
    found = examine(data, made.head)
    assert found["ok"], found["faults"]
    assert found["joint"] == "J-10" and found["count"] == len(made.stored)
    assert made.files["dossier.pdf"].startswith(b"%PDF-")
    assert {"dossier.pdf", "verdicts.json", "sources.json", "plan.json"} <= set(made.files)


def test_one_changed_ppm_is_found_and_located(gallery, bundle):
    made, data = bundle
    which = next(n for n, one in enumerate(made.stored) if b"oxygen.read" in one and b" ppm" in one)
    at = data.index(b" ppm", data.index(made.stored[which])) - 1
    changed = data[:at] + (b"1" if data[at : at + 1] != b"1" else b"2") + data[at + 1 :]
    found = examine(changed, made.head)
    assert not found["ok"]
    named = {fault["record"] for fault in found["faults"]}
    event = next(e for e in gallery.store.events("J-10") if e.kind == "oxygen.read" and "oxygen_frac" in e.data)
    assert event.id in named
    assert {fault["kind"] for fault in found["faults"] if fault["record"] == event.id} == {"oxygen.read"}


def test_verdicts_in_the_bundle_are_those_of_the_log(gallery, bundle):
    made, _ = bundle
    assert made.files["verdicts.json"] == canonical([to_data(v) for v in verdicts(gallery, "J-10")])
    assert utc_of(gallery.now_s()) == made.event.at_utc
