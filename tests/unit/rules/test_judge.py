"""The checks: at the limit it passes, on nothing it never does."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from brightroot.base.errors import Broken
from brightroot.base.source import Standing
from brightroot.base.units import read
from brightroot.library.load import load_library
from brightroot.model.clause import Outcome, overall
from brightroot.model.library import Clause, Code
from brightroot.rules.checks import CHECKS
from brightroot.rules.explain import explain
from brightroot.rules.facts import Fact
from brightroot.rules.judge import judge

ROWS = ({"over": "", "up_to": "6 mm", "height": "1.5 mm"}, {"over": "6 mm", "up_to": "13 mm", "height": "3 mm"})


def clause(check="at_most", fact="depth_m", **more):
    return Clause("c", "1", "Depth", check, fact, "No deeper.", "practice/common", Standing.PRACTICE, **more)


def verdict(clause, *facts):
    code = Code("own/1", "Own", "1", "", "", (clause,), {"height": ROWS})
    return judge(code=code, facts={f.name: f for f in facts})[0]


def typed(name, text):
    return Fact(name, read(text, field=name).value, text)


def outcome(clause, *facts):
    return verdict(clause, *facts).outcome.value


@pytest.mark.parametrize(
    ("limit", "text", "wanted"),
    [
        ("0.9 mm", "0.9 mm", "pass"),
        ("1/2 in", "12.7 mm", "pass"),
        ("12.7 mm", "1/2 in", "pass"),
        ("0.9 mm", "0.901 mm", "fail"),
        ("1/32 in", "0.8 mm", "fail"),
        ("1/32 in", "1/32 in", "pass"),
    ],
)
def test_at_the_limit_it_passes(limit, text, wanted):
    assert outcome(clause(limit=limit), typed("depth_m", text)) == wanted


@pytest.mark.parametrize("tenths", range(1, 1000, 7))
def test_every_tenth_of_a_millimetre_passes_at_itself(tenths):
    text = f"{tenths / 10:.1f} mm"
    summed = Fact("depth_m", sum([read("0.1 mm", field="x_m").value] * tenths))
    assert outcome(clause(limit=text), typed("depth_m", text)) == "pass"
    assert outcome(clause(limit=text), summed) == "pass"


LIMITS = {
    "at_most": "1 mm",
    "at_least": "1 mm",
    "between": {"low": "1 mm", "high": "2 mm"},
    "one_of": ["silver"],
    "equals": "silver",
    "present": None,
    "table_lookup": {"by": "wall_m", "column": "height"},
    "ratio": {"of": "wall_m", "at_most": "1/4"},
}


@pytest.mark.parametrize("check", CHECKS)
@pytest.mark.parametrize("value", [None, "", "  ", math.nan, math.inf, -math.inf])
def test_nothing_never_passes(check, value):
    found = verdict(clause(check, limit=LIMITS[check], table="height"), Fact("depth_m", value), typed("wall_m", "6 mm"))
    assert found.outcome is Outcome.UNKNOWN
    assert found.because == "verdict.unknown.missing"
    assert outcome(clause(check, limit=LIMITS[check], table="height"), typed("wall_m", "6 mm")) == "unknown"


@pytest.mark.parametrize(
    ("check", "good", "bad"),
    [
        ("at_most", "1 mm", "1.01 mm"),
        ("at_least", "1 mm", "0.99 mm"),
        ("between", "2 mm", "2.01 mm"),
        ("between", "1 mm", "0.99 mm"),
        ("table_lookup", "1.5 mm", "1.51 mm"),
        ("ratio", "1.5 mm", "1.51 mm"),
    ],
)
def test_numbers_pass_and_fail(check, good, bad):
    rule, wall = clause(check, limit=LIMITS[check], table="height"), typed("wall_m", "6 mm")
    assert (outcome(rule, typed("depth_m", good), wall), outcome(rule, typed("depth_m", bad), wall)) == ("pass", "fail")


@pytest.mark.parametrize("check", ["one_of", "equals"])
def test_words_pass_and_fail(check):
    rule = clause(check, "tint", limit=LIMITS[check])
    assert outcome(rule, Fact("tint", "Silver ")) == "pass"
    assert outcome(rule, Fact("tint", "grey")) == "fail"


def test_a_word_in_neither_list_is_to_be_decided():
    rule = clause("one_of", "tint", limit={"accept": ["silver"], "refuse": ["grey"]}, asks="ask.decide_colour")
    found = verdict(rule, Fact("tint", "bronze"))
    assert (found.outcome.value, found.because, found.asks) == (
        "unknown",
        "verdict.unknown.undecided",
        "ask.decide_colour",
    )


def test_yes_is_not_one():
    assert outcome(clause("equals", "left_count", limit=1), Fact("left_count", True)) == "fail"
    assert outcome(clause("at_most", "left_count", limit=1), Fact("left_count", True)) == "unknown"


def test_a_ratio_from_below():
    rule = clause("ratio", limit={"of": "wall_m", "at_least": "0.7"})
    wall = typed("wall_m", "10 mm")
    assert [outcome(rule, typed("depth_m", t), wall) for t in ("7 mm", "6.9 mm")] == ["pass", "fail"]


def test_a_wall_off_the_table_is_unknown():
    rule = clause("table_lookup", limit=LIMITS["table_lookup"], table="height")
    assert verdict(rule, typed("depth_m", "1 mm"), typed("wall_m", "14 mm")).because == "verdict.unknown.table"


def test_the_edge_of_a_table_row_belongs_to_the_thinner_wall():
    rule = clause("table_lookup", limit=LIMITS["table_lookup"], table="height")
    found = [outcome(rule, typed("depth_m", "2 mm"), typed("wall_m", w)) for w in ("6 mm", "6.01 mm")]
    assert found == ["fail", "pass"]


@pytest.mark.parametrize(("wall", "wanted"), [("5 mm", "fail"), ("5.1 mm", "not applicable"), (None, "unknown")])
def test_a_condition_on_nothing_is_unknown(wall, wanted):
    rule = clause(limit="1 mm", when={"wall_m": {"at_most": "5 mm"}})
    facts = [typed("depth_m", "2 mm"), *([typed("wall_m", wall)] if wall else [])]
    assert outcome(rule, *facts) == wanted


def test_a_condition_asks_for_its_own_fact():
    rule = clause(limit="1 mm", when={"criterion": "A"}, asks="ask.depth")
    found = verdict(rule, typed("depth_m", "2 mm"), Fact("criterion", "", asks="ask.criterion"))
    assert (found.because, found.asks) == ("verdict.unknown.when", "ask.criterion")


def test_one_false_condition_settles_it():
    rule = clause(limit="1 mm", when={"criterion": "A", "wall_m": {"at_most": "5 mm"}})
    assert outcome(rule, typed("wall_m", "9 mm")) == "not applicable"


def each(*values):
    rows = tuple(Fact("depth_m", v, where=f"run {n}", from_events=(f"e{n}",)) for n, v in enumerate(values, 1))
    return Fact("depth_m", each=rows)


def test_the_worst_place_decides_and_shows_its_events():
    rule = clause(limit="1 mm")
    failed = verdict(rule, each(0.0005, 0.002, None))
    assert (failed.outcome.value, failed.from_events) == ("fail", ("e2",))
    assert failed.got.startswith("run 2: 2.0 mm")
    assert verdict(rule, each(0.0005, None)).from_events == ("e2",)
    assert verdict(rule, each(0.0005, 0.001)).from_events == ("e1", "e2")
    assert verdict(rule, each()).outcome is Outcome.UNKNOWN


def test_a_bound_without_a_value_can_fail_and_never_pass():
    rule = clause(limit="1 mm")
    assert outcome(rule, Fact("depth_m", None, low=0.002)) == "fail"
    assert outcome(rule, Fact("depth_m", None, low=0.0002)) == "unknown"
    assert outcome(rule, Fact("depth_m", None, low=0.0, high=0.0)) == "unknown"
    assert outcome(rule, Fact("depth_m", None, low=math.nan)) == "unknown"


def test_a_range_passes_only_whole():
    rule = clause(limit="1 mm")
    found = [outcome(rule, Fact("depth_m", v, low=lo, high=hi)) for lo, v, hi in
             [(0.0008, 0.0009, 0.001), (0.0008, 0.0009, 0.0011), (0.0011, 0.0012, 0.0013)]]  # fmt: skip
    assert found == ["pass", "unknown", "fail"]


def test_a_limit_that_is_another_fact():
    rule = clause(fact="hot_K", limit={"fact": "hot_max_K"})
    assert outcome(rule, typed("hot_K", "212 °F"), typed("hot_max_K", "100 °C")) == "pass"
    found = verdict(rule, typed("hot_K", "20 °C"), Fact("hot_max_K", asks="ask.procedure_limit"))
    assert (found.because, found.asks) == ("verdict.unknown.limit", "ask.procedure_limit")


def test_a_limit_that_spreads():
    rule = clause("at_least", "held_s", limit={"fact": "hold_s"})
    hold = Fact("hold_s", 24.0, low=18.0, high=24.0)
    found = [outcome(rule, Fact("held_s", held), hold) for held in (24.0, 20.0, 17.9)]
    assert found == ["pass", "unknown", "fail"]
    least = clause("at_most", "held_s", limit={"fact": "hold_s"})
    found = [outcome(least, Fact("held_s", held), hold) for held in (18.0, 20.0, 24.1)]
    assert found == ["pass", "unknown", "fail"]


@pytest.mark.parametrize(
    "broken",
    [
        clause("about", limit="1 mm"),
        clause(limit=0.001),
        clause(limit="1"),
        clause(limit="1 °C"),
        clause(limit=None),
        clause(limit={"fct": "x"}),
        clause("between", limit="1 mm"),
        clause("one_of", limit="silver"),
        clause("ratio", limit={"of": "wall_m", "at_most": "a quarter"}),
        clause("table_lookup", limit=LIMITS["table_lookup"], table="depths"),
    ],
)
def test_a_clause_that_cannot_be_read_is_broken(broken):
    with pytest.raises(Broken, match="clause c"):
        verdict(broken, typed("depth_m", "1 mm"), typed("wall_m", "6 mm"))


def test_the_message_of_a_verdict():
    name, params = explain(verdict(clause(limit="1/32 in"), typed("depth_m", "0.5 mm")))
    assert (name, params["wanted"], params["got"]) == ("verdict.at_most.pass", "≤ 1/32 in", "0.5 mm")


def test_no_clause_of_ours_passes_on_an_empty_record():
    for code in load_library().codes.values():
        verdicts = judge(code=code, facts={})
        assert {v.outcome for v in verdicts} <= {Outcome.UNKNOWN}  # a code may keep all its rows in tables
        assert overall(verdicts) is Outcome.UNKNOWN


CODES = tuple(load_library().codes.values())
NAMES = sorted(
    {n for code in CODES for c in code.clauses for n in (c.fact, *c.when)}
    | {"thinner_wall_m", "procedure.interpass_max_K", "procedure.start_oxygen_frac", "plan.filler", "shield_hold_s"}
)
VALUES = st.one_of(
    st.floats(0, 0.05),
    st.sampled_from((0, 1, 2, True, False, None, "none", "seen", "silver", "grey", "cut", "ISO 9606-5:2000")),
)


@given(st.dictionaries(st.sampled_from(NAMES), VALUES, min_size=1), st.data())
def test_taking_a_fact_away_never_makes_a_pass(values, data):
    gone = data.draw(st.sampled_from(sorted(values)))
    facts = {name: Fact(name, value) for name, value in values.items()}
    fewer = {name: fact for name, fact in facts.items() if name != gone}
    for code in CODES:
        for before, after in zip(judge(code=code, facts=facts), judge(code=code, facts=fewer), strict=True):
            assert after.outcome is not Outcome.PASS or before.outcome is Outcome.PASS, before.clause
