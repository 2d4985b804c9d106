"""No verdict passes, or fails, on a row from memory that nobody confirmed."""

import tomllib
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import brightroot
from brightroot.base.source import Standing
from brightroot.base.units import dimension_of, read
from brightroot.library.load import load_library
from brightroot.model.clause import Outcome
from brightroot.rules.chemistry.composition import composition_code
from brightroot.rules.confirm import only_confirmed
from brightroot.rules.facts import Fact
from brightroot.rules.judge import judge

ROOT = Path(brightroot.__file__).parent / "library/codes"
LIBRARY = load_library()
COMPOSITIONS = [
    composition_code(id=f"composition/{thing.id}", title=thing.id, edition="", cells=thing.cells)
    for thing in (*LIBRARY.alloys.values(), *LIBRARY.fillers.values())
]
CODES = [code for code in (*LIBRARY.codes.values(), *COMPOSITIONS) if code.clauses]
MEMORY = [(code, clause) for code in CODES for clause in code.clauses if clause.standing is Standing.MEMORY]


def fact(name, typed):
    if isinstance(typed, list):
        return Fact(name, each=tuple(fact(name, one) for one in typed))
    if isinstance(typed, str) and typed and dimension_of(name):
        reading = read(typed, field=name)
        return Fact(name, reading.value, reading.as_entered)
    return Fact(name, typed)


def decided():
    """Every worked case of a memory row that would decide something."""
    for code in LIBRARY.codes.values():
        memory = {c.id for c in code.clauses if c.standing is Standing.MEMORY}
        for n, case in enumerate(tomllib.loads((ROOT / code.id / "cases.toml").read_text()).get("case", [])):
            if case.get("clause") in memory and case["verdict"] in ("pass", "fail"):
                yield pytest.param(code, case, id=f"{code.id}-{n}")


def test_there_are_memory_rows_to_speak_of():
    assert len(MEMORY) >= 100


@pytest.mark.parametrize(("code", "case"), list(decided()))
def test_a_memory_row_decides_only_once_confirmed(code, case):
    facts = {name: fact(name, typed) for name, typed in case["facts"].items()}
    judged = tuple(v for v in judge(code=code, facts=facts) if v.clause == case["clause"])
    (held,) = only_confirmed(judged)
    assert held.outcome is Outcome.UNKNOWN
    assert held.because == f"verdict.unknown.not_confirmed_{case['verdict']}" and held.asks == "ask.confirm_clause"
    (free,) = only_confirmed(judged, {(code.id, case["clause"])})
    assert free.outcome == case["verdict"]
    (other,) = only_confirmed(judged, {(code.id + "-next-edition", case["clause"])})
    assert other.outcome is Outcome.UNKNOWN


NAMES = sorted({n for code in CODES for c in code.clauses for n in (c.fact, *c.when)})
VALUES = st.one_of(
    st.floats(0, 1), st.sampled_from((True, False, None, "none", "silver", "51", "argon", "AWS G2.4:2014"))
)


@settings(deadline=None, max_examples=60)
@given(st.dictionaries(st.sampled_from(NAMES), VALUES, min_size=1))
def test_whatever_is_recorded(values):
    facts = {name: Fact(name, value) for name, value in values.items()}
    for code in CODES:
        for verdict in only_confirmed(judge(code=code, facts=facts)):
            assert verdict.standing is not Standing.MEMORY or verdict.outcome not in (Outcome.PASS, Outcome.FAIL)
