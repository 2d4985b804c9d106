"""Who may weld: nothing passes on an unconfirmed row, one answer and the table agree, and the coupon named would do."""

import importlib.util
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from brightroot.base.errors import Broken, Refused
from brightroot.base.source import Standing
from brightroot.library.load import load_library
from brightroot.model.clause import Outcome
from brightroot.model.qualification import Confirmation, LastUse, Qualification, TestDone
from brightroot.rules.welders.book import book_of, confirmed_in
from brightroot.rules.welders.checks import CHECKS
from brightroot.rules.welders.continuity import continuity_of, of_qualification
from brightroot.rules.welders.dates import day_of
from brightroot.rules.welders.many import may_many
from brightroot.rules.welders.may import may
from brightroot.rules.welders.mend import least_coupon
from brightroot.rules.welders.needs import needs_of, nps_of
from brightroot.rules.welders.spans import figure_of

spec = importlib.util.spec_from_file_location("may_speed", Path(__file__).parents[3] / "benchmarks/may_speed.py")
may_speed = importlib.util.module_from_spec(spec)
spec.loader.exec_module(may_speed)

ASME, ISO = (book_of(load_library().codes[name]) for name in ("asme-ix/2023", "iso-9606-5/2000"))
ON = may_speed.ON
PASSED = (
    TestDone("visual", "passed"),
    TestDone("volumetric", "passed"),
    TestDone("bend", "passed"),
    TestDone("colour", "passed"),
)


def told(book, rows):
    return tuple(Confirmation(book.code, row, "W-01", "2026-11-01T08:00:00Z", book.edition) for row in rows)


def pairs(seed, welders=12, joints=40):
    rng = np.random.default_rng(seed)
    return may_speed.welders(rng, welders), may_speed.joints(rng, joints)


def under(book, welder):
    return tuple(replace(q, code=book.code, coupon=replace(q.coupon, tests=PASSED)) for q in welder.qualifications)


def passes_of(book, confirmations, seed=1):
    people, needs = pairs(seed)
    for who in people:
        for what in needs:
            yield may(book, under(book, who), what, on=ON, uses=who.uses, confirmations=confirmations)


@pytest.mark.parametrize("book", [ASME, ISO], ids=lambda b: b.code)
def test_nothing_passes_on_a_row_from_memory(book):
    """With nothing confirmed no answer that rests on memory passes, and nobody may weld anything."""
    for told_ in passes_of(book, ()):
        assert told_.outcome is not Outcome.PASS
        for answer in told_.answers:
            rests = [book.rows[row].standing for row in answer.rows]
            assert answer.outcome not in (Outcome.PASS, Outcome.FAIL) or Standing.MEMORY not in rests, answer


@pytest.mark.parametrize("book", [ASME, ISO], ids=lambda b: b.code)
def test_each_row_from_memory_holds_back_alone(book):
    """All rows confirmed but one: nothing that rests on that one passes. Over every row from memory."""
    people, needs = pairs(2, welders=5, joints=12)
    memory = [row.id for row in book.rows.values() if row.standing is Standing.MEMORY]
    assert len(memory) > 20
    for missing in memory:
        confirmations = told(book, [row for row in book.rows if row != missing])
        for who in people[:3]:
            for what in needs[:6]:
                found = may(book, under(book, who), what, on=ON, uses=who.uses, confirmations=confirmations)
                held = [a for a in found.answers if missing in a.rows]
                assert all(a.outcome not in (Outcome.PASS, Outcome.FAIL) for a in held)
                assert all(a.asks == "ask.confirm_row" for a in held if a.waits_for)
                if held and any(a.waits_for for a in held):
                    assert found.outcome is not Outcome.PASS


def test_all_confirmed_somebody_may():
    assert any(found.outcome is Outcome.PASS for found in passes_of(ASME, told(ASME, ASME.rows)))


@pytest.mark.parametrize(
    "spoilt",
    [
        {"by": ""}, {"at_utc": " "}, {"edition": ""}, {"code": "asme-ix/2021"}, {"row": "no such row"},
    ],
    ids=lambda change: next(iter(change)),
)  # fmt: skip
def test_an_incomplete_confirmation_lifts_nothing(spoilt):
    whole = Confirmation(ASME.code, "qw-404.22", "W-01", "2026-11-01T08:00:00Z", "2023")
    assert confirmed_in(ASME, [whole]) == {"qw-404.22"}
    assert confirmed_in(ASME, [replace(whole, **spoilt)]) == frozenset()


def test_one_answer_and_the_table_agree():
    for seed in (3, 4):
        for confirmations in ((), told(ASME, ASME.rows), told(ASME, list(ASME.rows)[::2])):
            people, needs = pairs(seed, welders=8, joints=30)
            table = may_many(ASME, people, needs, on=ON, confirmations=confirmations)
            for who in people:
                for what in needs:
                    one = may(ASME, who.qualifications, what, on=ON, uses=who.uses, confirmations=confirmations)
                    assert table.outcome(who.stamp, what.joint) is one.outcome, (who.stamp, what.joint)


def test_who_may():
    people, needs = pairs(5)
    table = may_many(ASME, people, needs, on=ON, confirmations=told(ASME, ASME.rows))
    for what in needs:
        for stamp in table.who(what.joint):
            assert table.outcome(stamp, what.joint) is Outcome.PASS


@pytest.mark.parametrize("book", [ASME, ISO], ids=lambda b: b.code)
def test_the_coupon_named_would_do(book):
    """Welded and tested, it lets the welder make the joint; and it changes nothing that already covers."""
    confirmations = told(book, book.rows)
    named = 0
    for found, what in zip(passes_of(book, confirmations, seed=6), pairs(6)[1] * 12, strict=True):
        if found.mend.kind != "coupon" or found.mend.coupon is None:
            continue
        named += 1
        made = replace(found.mend.coupon, welded_on="2026-11-24", tests=PASSED)
        again = may(book, (Qualification("Q-9", "W-09", book.code, made),), what, on=ON, confirmations=confirmations)
        assert again.outcome is Outcome.PASS, (found.mend, again.answers[0])
    assert named > 50


def test_without_any_qualification_it_is_no_and_a_coupon_is_named():
    needs = pairs(7)[1][0]
    found = may(ASME, (), needs, on=ON, confirmations=told(ASME, ASME.rows), welder="W-30")
    assert (found.outcome, found.welder, found.mend.kind) == (Outcome.FAIL, "W-30", "coupon")
    assert found.mend.coupon == least_coupon(ASME, needs)
    assert least_coupon(ASME, replace(needs, deposit_m=None)) is None


def test_failing_answers_stand_first():
    for found in passes_of(ASME, told(ASME, list(ASME.rows)[::3]), seed=8):
        outcomes = [answer.outcome for answer in found.answers]
        fails = [o for o in outcomes if o is Outcome.FAIL]
        assert outcomes[: len(fails)] == fails


def test_a_qualification_of_another_code_is_not_asked():
    people, needs = pairs(9)
    found = may(ISO, people[0].qualifications, needs[0], on=ON)
    assert (found.outcome, found.answers[0].variable) == (Outcome.FAIL, "qualification")


def test_an_unknown_check_and_a_wrong_figure_are_broken():
    row = ASME.table("welder_variables")[0]
    broken = replace(
        ASME, tables={**ASME.tables, "welder_variables": (replace(row, cells={**row.cells, "check": "?"}),)}
    )
    people, needs = pairs(10)
    with pytest.raises(Broken, match="same_process"):
        may(broken, people[0].qualifications, needs[0], on=ON)
    with pytest.raises(Broken, match="a length"):
        figure_of({"us": "1 in"}, where="a row")
    with pytest.raises(Refused):
        book_of(load_library().codes["asme-b31.3/2018"])


def test_every_check_is_a_row_of_some_code():
    used = {row.cells["check"] for book in (ASME, ISO) for row in book.table("welder_variables")}
    assert set(CHECKS) == used


@pytest.mark.parametrize(
    "text", ["2026-02-30", "25.05.2026", "2026-5-25", "2026-05-25T10:00", "", "2026-05-25+02:00", "20260525"]
)
def test_only_a_calendar_day_is_a_date(text):
    with pytest.raises(Refused, match="local date"):
        day_of(text, field="on")


def test_a_day_is_the_day_where_it_was_welded():
    """Nothing is converted: a weld late on the 25th there is a use on the 25th, whatever day it was elsewhere."""
    found = continuity_of(ASME, [LastUse("2026-05-25", "GTAW")], on="2026-11-25")
    assert (found.outcome, found.until) == (Outcome.PASS, "2026-11-25")


def test_continuity_is_monotone_in_the_day_asked():
    held = Qualification("Q", "W-07", ASME.code, may_speed.coupon(np.random.default_rng(1)))
    outcomes = [
        of_qualification(ASME, held, [], on=f"{2026 + m // 12}-{m % 12 + 1:02d}-28").outcome for m in range(11, 36)
    ]
    first = outcomes.index(Outcome.FAIL)
    assert set(outcomes[first:]) == {Outcome.FAIL}


def test_needs_of_a_joint():
    from brightroot.app.plan_joint import plan_facts
    from brightroot.app.ports import Place
    from brightroot.cli.demo import LARGE, facts
    from brightroot.store.logs import memory_store

    place = Place(load_library(), memory_store(), lambda: 0.0)
    plan = plan_facts(place, facts("J-05", position="5G", pipe={**LARGE, "pipe": "NPS 6 Sch 10S"}))
    needs = needs_of(ASME, plan.joint, filler=plan.filler, progression="up")
    assert (needs.nps, needs.outer_diameter_m.unit, needs.position) == ("6", "in", "5G")
    assert needs.p_numbers and all(needs.p_numbers) and needs.f_number
    assert set(needs.rests_on) <= set(ASME.rows)
    assert nps_of("150") == ""


def test_speed_is_measured_as_promised():
    found = may_speed.measure(joint_count=300, welder_count=10, pairs=40)
    assert found["pairs_that_differ"] == 0
