"""Rows confirmed and tightened: in a sealed log, never looser, never by nobody, and taken back by name."""

from dataclasses import replace

import pytest

from brightroot.app.rules_read import (
    OWN,
    check_own_folders,
    confirm_row,
    confirmations,
    confirmed_rows,
    limit_typed,
    own_codes,
    rule_rows,
    take_back,
    tighten,
)
from brightroot.base.errors import Refused
from brightroot.base.source import Standing
from brightroot.model.streams import SHOP
from brightroot.records.seal import check_chains
from brightroot.rules.fact import Fact
from brightroot.rules.judge import judge

B31 = "asme-b31.3/2018"


def row(place, clause, code=B31):
    return next(r for r in rule_rows(place) if (r.code.id, r.row.id) == (code, clause))


def a_number(place):
    """A row of the code with a plain limit."""
    found = (r.clause for r in rule_rows(place) if r.code.id == B31 and r.clause)
    return next(c for c in found if c.check == "at_most" and isinstance(c.limit, str))


def from_memory(place, clause):
    """The same place, where that row is known from memory only."""
    code = place.library.codes[B31]
    rows = tuple(replace(c, standing=Standing.MEMORY) if c.id == clause else c for c in code.clauses)
    return replace(
        place, library=replace(place.library, codes={**place.library.codes, B31: replace(code, clauses=rows)})
    )


def test_a_memory_row_decides_once_it_is_confirmed(place):
    place = from_memory(place, "crack")
    assert not row(place, "crack").decides and confirmed_rows(place) == frozenset()
    confirm_row(place, B31, "crack", edition="2018", ref="Table 341.3.2", by="W-07")
    told = row(place, "crack")
    assert told.decides
    (said,) = confirmations(place)
    assert (said.by, said.edition, said.ref, said.row) == ("W-07", "2018", "Table 341.3.2", "crack")
    assert confirmed_rows(place) == {(B31, "crack")}


def test_a_confirmation_can_be_taken_back(place):
    event = confirm_row(place, B31, "crack", edition="2018", ref="Table 341.3.2", by="W-07")
    take_back(place, event.id, why="read the wrong edition", by="E-01")
    assert confirmed_rows(place) == frozenset()
    assert len(place.store.events(SHOP)) == 2 and check_chains(place.store.stored(SHOP)).holds
    with pytest.raises(Refused):
        take_back(place, event.id, why="once more", by="E-01")


@pytest.mark.parametrize(
    ("code", "clause", "told", "field"),
    [
        ("asme-b31.3/2019", "crack", {}, "code"),
        (B31, "krack", {}, "row"),
        (B31, "crack", {"edition": ""}, "edition"),
        (B31, "crack", {"ref": "  "}, "ref"),
        (B31, "crack", {"by": " "}, "by"),
    ],
)
def test_a_confirmation_says_what_who_and_where(place, code, clause, told, field):
    with pytest.raises(Refused) as caught:
        confirm_row(place, code, clause, **{"edition": "2018", "ref": "Table", "by": "W-07", **told})
    assert caught.value.field == field
    assert place.store.events(SHOP) == ()


def test_tighter_is_taken_and_judged_beside_the_code(place):
    clause = a_number(place)
    tighten(place, row_code(place, clause), clause.id, "0.1 mm", why="the owner asks for it", by="E-01")
    (own,) = own_codes(place)
    assert own.id == OWN and own.clauses[0].limit == "0.1 mm"
    facts = {clause.fact: Fact(clause.fact, 0.0002, "0.2 mm"), **when(clause)}
    assert [v.outcome.value for v in judge(code=own, facts=facts)] == ["fail"]


def row_code(place, clause):
    return next(r.code.id for r in rule_rows(place) if r.clause is clause)


def when(clause):
    return {name: Fact(name, value) for name, value in clause.when.items()}


@pytest.mark.parametrize("limit", ["50 mm", "3 bananas", ""])
def test_looser_or_unreadable_is_refused_with_both_limits(place, limit):
    clause = a_number(place)
    with pytest.raises(Refused) as caught:
        tighten(place, row_code(place, clause), clause.id, limit, why="hurry", by="E-01")
    assert caught.value.field in ("limit", clause.id) or clause.id in caught.value.field
    assert own_codes(place) == ()


def test_the_same_limit_is_no_tightening(place):
    clause = a_number(place)
    with pytest.raises(Refused):
        tighten(place, row_code(place, clause), clause.id, clause.limit, why="again", by="E-01")


def test_what_leaves_nothing_to_tighten_is_refused(place):
    with pytest.raises(Refused):
        tighten(place, B31, "crack", "seen", why="?", by="E-01")


def test_an_own_folder_that_loosens_is_refused(place):
    ours = place.library
    clause = a_number(place)
    code = ours.codes[row_code(place, clause)]
    for limit, looser in (("0.1 mm", False), ("90 mm", True)):
        own = replace(code, id="own/1", clauses=(replace(clause, limit=limit),))
        mine = replace(ours, codes={**ours.codes, "own/1": own})
        if looser:
            with pytest.raises(Refused):
                check_own_folders(mine, ours)
        else:
            check_own_folders(mine, ours)


def test_a_typed_limit_is_read_as_the_row_has_it(place):
    clause = a_number(place)
    assert limit_typed(clause, " 0.5 mm ") == "0.5 mm"
    assert limit_typed(clause, '["silver"]') == ["silver"]
    assert limit_typed(replace(clause, limit=3), "2") == 2
    for typed in ("[silver", "{", ""):
        with pytest.raises(Refused):
            limit_typed(clause, typed)


def test_no_row_is_without_standing(place):
    rows = rule_rows(place)
    assert len(rows) > 20 and all(isinstance(r.row.standing, Standing) for r in rows)


def test_a_row_of_a_table_is_confirmed_by_its_own_name(place):
    of, name = next((r.code.id, r.row.id) for r in rule_rows(place) if r.clause is None and not r.decides)
    confirm_row(place, of, name, edition="2023", ref="page 12", by="E-01")
    assert row(place, name, of).decides
    with pytest.raises(Refused, match="row"):  # what has no limit of its own cannot be tightened
        tighten(place, of, name, "1 mm", why="?", by="E-01")
