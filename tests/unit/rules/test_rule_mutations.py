"""Every row of the procedure, joint and acceptance rules, changed: a worked case of its folder notices."""

import dataclasses
import tomllib
from pathlib import Path

import pytest

import brightroot
import brightroot.base.errors
from brightroot.base.units import dimension_of, read
from brightroot.library.load import load_library
from brightroot.model.library import Code
from brightroot.rules.facts import Fact
from brightroot.rules.judge import judge

CODES = Path(brightroot.__file__).parent / "library/codes"
FOLDERS = ("asme-ix-procedure/2017", "asme-ix-bends/2017", "aws-g2.4/2014", "asme-b31.3/2018", "joint-procedure/1")
ARGUED = FOLDERS[:3]
LIBRARY = load_library()


def cases(folder, clause=None):
    found = tomllib.loads((CODES / folder / "cases.toml").read_text())["case"]
    return [c for c in found if clause in (None, c["clause"])]


def fact(name, typed, where=""):
    if isinstance(typed, list):
        return Fact(name, each=tuple(fact(name, one, f"run {i}") for i, one in enumerate(typed, 1)))
    if isinstance(typed, str) and typed and dimension_of(name):
        reading = read(typed, field=name)
        return Fact(name, reading.value, reading.as_entered, where=where)
    return Fact(name, typed, where=where)


def outcome(code, clause, case):
    alone = dataclasses.replace(code, clauses=(clause,))
    facts = {name: fact(name, typed) for name, typed in case["facts"].items()}
    return judge(code=alone, facts=facts)[0].outcome.value


def bumped(text, share):
    number, unit = text.split(" ", 1)
    value = eval(number.replace("-", "+"), {}) if "/" in number else float(number)
    return f"{value * share if value else share:.6f} {unit}"


def changed(limit):
    """Every way in which one number, word or name of a limit can be wrong."""
    if isinstance(limit, bool):
        yield not limit
    elif isinstance(limit, int | float):
        yield from (limit + 1, limit - 1 if limit else limit + 2)
    elif isinstance(limit, str):
        yield from ([bumped(limit, s) for s in (1.03, 0.97)] if limit[0].isdigit() else [limit + " not"])
    elif isinstance(limit, list):
        yield from ([*limit[:i], *limit[i + 1 :]] for i in range(len(limit)))
    elif isinstance(limit, dict):
        for key, value in limit.items():
            inner = [f"{value}_other"] if key in ("fact", "of", "by", "column") else changed(value)
            if key in ("share", "at_most", "at_least", "more_than") and isinstance(value, str) and value[0].isdigit():
                inner = [str(eval(value, {}) * s) for s in (0.98, 1.02)]
            yield from ({**limit, key: other} for other in inner)


def mutations(clause):
    # of a list of colours the cases show some of each; that each is in its place is tested with the colours themselves
    if not (clause.check == "one_of" and isinstance(clause.limit, dict) and "accept" in clause.limit):
        yield from ((f"limit {new}", dataclasses.replace(clause, limit=new)) for new in changed(clause.limit))
    else:
        swapped = {"accept": clause.limit["refuse"], "refuse": clause.limit["accept"]}
        yield "lists swapped", dataclasses.replace(clause, limit=swapped)
    for name in clause.when:
        fewer = {key: value for key, value in clause.when.items() if key != name}
        yield f"without {name}", dataclasses.replace(clause, when=fewer)
    yield "other fact", dataclasses.replace(clause, fact=f"{clause.fact}_other")
    opposite = {"at_most": "at_least", "at_least": "at_most"}.get(clause.check)
    if opposite:
        yield "other side", dataclasses.replace(clause, check=opposite)


@pytest.mark.parametrize(
    "clause",
    [
        pytest.param((folder, clause), id=f"{folder}-{clause.id}")
        for folder in FOLDERS
        for clause in LIBRARY.codes[folder].clauses
    ],
)
def test_a_changed_row_is_noticed(clause):
    folder, row = clause
    code: Code = LIBRARY.codes[folder]
    own = cases(folder, row.id)
    assert [(c["facts"], outcome(code, row, c)) for c in own] == [(c["facts"], c["verdict"]) for c in own]
    tried, missed = 0, []
    for name, mutant in mutations(row):
        tried += 1
        try:
            noticed = any(outcome(code, mutant, case) != case["verdict"] for case in own)
        except brightroot.base.errors.Broken:
            noticed = True  # a row that no check can read stops the whole folder
        if not noticed:
            missed.append(name)
    # a wrong number in one column is seen only by a record kept in that system
    assert tried >= 2 and missed == []


@pytest.mark.parametrize("folder", ARGUED)
def test_every_case_is_argued(folder):
    assert all(len(case["why"]) > 10 for case in cases(folder))


def test_there_are_cases_enough():
    assert len([case for folder in FOLDERS for case in cases(folder) if case.get("why")]) >= 200
