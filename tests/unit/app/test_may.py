"""May this person make this joint: from the logs of a place, unknown where nothing is recorded, never yes from memory."""

from dataclasses import replace

import pytest

from brightroot.app.lasting import lasting
from brightroot.app.may import books, coupons_for, matrix, may_weld, welders_of, who_concern, who_may
from brightroot.app.people import record_qualification, record_use
from brightroot.app.plan_joint import declare, declare_like
from brightroot.app.rules_read import confirm_row
from brightroot.base.errors import Refused
from brightroot.base.source import Standing
from brightroot.cli.demo import LARGE, SMALL, facts
from brightroot.documents.speech import Speech
from brightroot.documents.who import lasting_line
from brightroot.model.clause import Outcome
from brightroot.model.streams import log_of
from brightroot.render.words import words
from brightroot.store.logs import memory_store

CODE = "asme-ix/2023"
ON = "2026-03-05"
COUPON = {
    "code": CODE, "welded_on": "2026-01-12", "position": "6G", "pipe": "60.3 x 3.91 mm", "deposit_m": "3.91 mm",
    "layers_count": "3", "metal": "Gr 2", "filler": "ERTi-2", "filler_form": "solid", "backing": "no",
    "gas_backing": "yes", "insert": "no", "current": "DCEN", "progression": "up", "visual_test": "passed",
    "bend_test": "passed",
}  # fmt: skip


@pytest.fixture
def shop(place):
    declare(place, facts("J-05", position="5G", pipe=LARGE), by="W-07")
    record_qualification(place, "W-07", COUPON, by="E-01")
    return place


def confirm_all(place, told):
    for name in told.mend.rows:
        confirm_row(place, CODE, name, edition="2023", ref="own copy", by="E-01")


def test_nothing_recorded_is_not_known_and_no_no(shop):
    told = may_weld(shop, "W-99", "J-05", on=ON)
    assert told.outcome is Outcome.UNKNOWN and told.welder == "W-99"
    assert {a.because for a in told.answers} == {"welders.nothing_recorded"}
    assert told.mend.coupon is not None


def test_a_person_with_uses_alone_has_no_qualification(shop):
    record_use(shop, "W-11", {"date": "2026-03-01"}, by="W-11")
    assert may_weld(shop, "W-11", "J-05", on=ON).outcome is Outcome.FAIL


def test_memory_alone_never_says_yes_and_confirmed_it_does(shop):
    told = may_weld(shop, "W-07", "J-05", on=ON)
    assert told.outcome is Outcome.UNKNOWN and told.mend.kind == "confirm" and told.mend.rows
    assert who_may(shop, "J-05", on=ON) == ()
    confirm_all(shop, told)
    told = may_weld(shop, "W-07", "J-05", on=ON)
    assert told.outcome is Outcome.PASS and told.qualification == "Q-1"
    assert who_may(shop, "J-05", on=ON) == ("W-07",)
    waiting = [a for a in told.answers if a.standing is Standing.MEMORY and a.waits_for]
    assert waiting == []


def test_the_day_decides_and_a_use_keeps_it(shop):
    confirm_all(shop, may_weld(shop, "W-07", "J-05", on=ON))
    assert may_weld(shop, "W-07", "J-05", on="2026-07-12").outcome is Outcome.PASS  # the last day is in
    late = may_weld(shop, "W-07", "J-05", on="2026-07-13")
    assert late.outcome is Outcome.FAIL and late.mend.kind == "renewal" and late.answers[0].variable == "continuity"
    record_use(shop, "W-07", {"date": "2026-03-01", "weld": "S-12"}, by="W-07")
    assert may_weld(shop, "W-07", "J-05", on="2026-07-13").outcome is Outcome.PASS


def test_downhill_is_asked_where_the_joint_says_so(shop):
    declare(shop, facts("J-20", position="PJ", pipe=LARGE), by="W-07")
    progression = {a.variable: a for a in may_weld(shop, "W-07", "J-20", on=ON).answers}["progression"]
    assert (progression.wanted, progression.got, progression.outcome) == ("down", "up", Outcome.FAIL)


def test_the_other_code_is_asked_by_name(shop):
    assert set(books(shop)) >= {CODE, "iso-9606-5/2000"}
    assert may_weld(shop, "W-07", "J-05", on=ON, code="iso-9606-5/2000").qualification == ""
    with pytest.raises(Refused):
        may_weld(shop, "W-07", "J-05", code="asme-ix/1950")


@pytest.mark.parametrize(
    ("stamp", "joint", "on"), [("W 07", "J-05", ON), ("W-07", "J-99", ON), ("W-07", "J-05", "5/3")]
)
def test_what_was_typed_wrong_is_refused(shop, stamp, joint, on):
    with pytest.raises(Refused):
        may_weld(shop, stamp, joint, on=on)


def test_many_at_once_agree_with_one_by_one(shop):
    declare(shop, facts("J-10", position="2G", pipe=SMALL), by="W-07")
    record_qualification(shop, "W-11", {**COUPON, "position": "1G"}, by="E-01")
    found = matrix(shop, on=ON)
    for stamp in found.welders:
        for joint in found.joints:
            assert found.outcome(stamp, joint) is may_weld(shop, stamp, joint, on=ON).outcome


def test_coupons_for_all_joints_and_for_one_welder(shop):
    declare_like(shop, "J-05", ("J-06", "J-07"), by="W-07")
    declare(shop, facts("J-10", position="2G", pipe=SMALL), by="W-07")
    covering = coupons_for(shop)
    (one,) = covering.plan.coupons
    assert one.joints == ("J-05", "J-06", "J-07", "J-10") and one.coupon.position == "6G"
    assert one.waits_for and covering.plan.kinds_count == 2
    confirm_all(shop, may_weld(shop, "W-07", "J-05", on=ON))
    confirm_all(shop, may_weld(shop, "W-07", "J-10", on=ON))
    mine = coupons_for(shop, stamp="W-07", on=ON)
    assert set(mine.already) == set(one.joints) and mine.plan.coupons == ()
    assert [c.joints for c in coupons_for(shop, ("J-10",)).plan.coupons] == [("J-10",)]


def test_a_planned_coupon_would_be_a_yes(shop):
    """What the planner proposes, welded, tested and confirmed, makes the joints that it names."""
    (one,) = coupons_for(shop, ("J-05",)).plan.coupons
    c = one.coupon
    record_qualification(
        shop, "W-12",
        {**COUPON, "position": c.position, "pipe": one.size, "deposit_m": "2.77 mm", "metal": "Gr 7", "filler": "ERTi-7"},
        by="E-01",
    )  # fmt: skip
    confirm_all(shop, may_weld(shop, "W-12", "J-05", on=ON))
    assert may_weld(shop, "W-12", "J-05", on=ON).outcome is Outcome.PASS


def test_before_the_first_arc_it_is_minded_and_never_stopped(shop):
    unknown = who_concern(shop, "W-99", "J-05")
    assert (unknown.level, unknown.says) == ("note", "may.live_unknown")
    record_use(shop, "W-11", {"date": "2026-03-01"}, by="W-11")
    assert who_concern(shop, "W-11", "J-05").level == "warn"
    confirm_all(shop, may_weld(shop, "W-07", "J-05"))
    assert who_concern(shop, "W-07", "J-05") is None
    assert who_concern(shop, "no stamp at all", "J-05") is None


def test_the_dossier_names_the_record_each_welder_worked_by(gallery):
    from brightroot.app.dossier import document
    from brightroot.model.outline import Table
    from brightroot.render.drawing import drawing

    place = replace(gallery, store=memory_store())
    for log in ("J-10", log_of("W-07")):
        place.store.receive(gallery.store.stored(log))
    for name in {e.data["plan_sha256"] for e in place.store.events("J-10") if "plan_sha256" in e.data}:
        place.store.put_attachment(*gallery.store.attachment(name))
    record_qualification(place, "W-07", COUPON, by="E-01")
    (line,) = welders_of(place, "J-10")
    assert (line.stamp, line.told.qualification, line.events_count) == ("W-07", "Q-1", 1) and line.head and line.runs
    made = document(place, "J-10", speech=Speech(words("en").say), draw=drawing("en"))
    rows = [row for block in made.blocks if isinstance(block, Table) for row in block.rows]
    assert any(row[0] == "W-07" and "Q-1, asme-ix/2023" in row and line.head[:16] in row[-1] for row in rows)


# how long it lasts, and what would keep it


def test_a_planned_joint_that_would_keep_it_is_named(shop):
    (one,) = lasting(shop, "W-07", on="2026-07-05")
    assert (one.continuity.until, one.continuity.soon, one.joint) == ("2026-07-12", True, "J-05")
    (early,) = lasting(shop, "W-07", on=ON)
    assert not early.continuity.soon and early.joint == "J-05"
    (over,) = lasting(shop, "W-07", on="2026-07-13")
    assert over.continuity.outcome is Outcome.FAIL and over.joint == ""
    for language, words_of in (("en", "Welding J-05 by 2026-07-12 would keep it."), ("es", "Soldar J-05")):
        assert words_of in lasting_line(one.continuity, one.joint, words(language).say)
    assert lasting(shop, "W-99") == ()


def test_a_joint_that_is_begun_or_beyond_the_record_keeps_nothing(shop, plain_arc=("arc.started", {"run_count": 1})):
    kind, data = plain_arc
    shop.store.append("J-05", "2026-03-05T08:00:00Z", "W-11", kind, data)
    assert lasting(shop, "W-07", on=ON)[0].joint == ""
    declare(shop, facts("J-06", position="5G", pipe=LARGE, metal="316L", filler="ER316L"), by="W-07")
    assert lasting(shop, "W-07", on=ON)[0].joint == ""  # another metal than the coupon's
    declare_like(shop, "J-05", ("J-07",), by="W-07")
    assert lasting(shop, "W-07", on=ON)[0].joint == "J-07"
