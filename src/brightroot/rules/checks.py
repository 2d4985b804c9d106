"""The eight checks that a clause can make. Each lays one fact against one limit; none ever passes on nothing."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from brightroot.base.errors import Broken
from brightroot.model.clause import Outcome
from brightroot.rules import compare
from brightroot.rules.fact import Fact
from brightroot.rules.limits import Limit, Unstated, fact_at, limit_of, unit_of

Rows = tuple[Mapping[str, object], ...]


@dataclass(frozen=True, slots=True)
class Asked:
    """What a check works on: one fact, the limit as written, and what the limit may refer to."""

    fact: Fact
    limit: object
    facts: Mapping[str, Fact]
    rows: Rows
    clause: str


@dataclass(frozen=True, slots=True)
class Finding:
    """What a check found; `because` says why an unknown is unknown, `asks` what would settle it."""

    outcome: Outcome
    wanted: str
    because: str = ""
    asks: str = ""


Compare = Callable[[Fact, Limit], Outcome]
SIDES: dict[str, tuple[Compare, str]] = {
    "at_least": (compare.at_least, "≥"),
    "at_most": (compare.at_most, "≤"),
    "more_than": (compare.more_than, ">"),
}


def _number(asked: Asked, raw: object, over: Compare, sign: str) -> Finding:
    fact = asked.fact
    limit = limit_of(raw, name=fact.name, where=fact.where, facts=asked.facts, clause=asked.clause, unit=unit_of(fact))
    if isinstance(limit, Unstated):
        return Finding(Outcome.UNKNOWN, "", "verdict.unknown.limit", limit.asks)
    return _said(asked, over(asked.fact, limit), f"{sign} {limit.text}")


def _said(asked: Asked, outcome: Outcome, wanted: str) -> Finding:
    known = asked.fact.known
    because = "verdict.unknown.straddles" if known else "verdict.unknown.missing"
    return Finding(outcome, wanted, because if outcome is Outcome.UNKNOWN else "", asked.fact.asks)


def at_most(asked: Asked) -> Finding:
    return _number(asked, asked.limit, compare.at_most, "≤")


def at_least(asked: Asked) -> Finding:
    return _number(asked, asked.limit, compare.at_least, "≥")


def between(asked: Asked) -> Finding:
    """Both ends: `{low = …, high = …}`, each written as any limit is."""
    ends = _keys(asked, asked.limit, "low", "high")
    lower = _number(asked, ends["low"], compare.at_least, "≥")
    upper = _number(asked, ends["high"], compare.at_most, "≤")
    # one end alone can fail it; it takes both to pass
    first = worst((lower, upper))
    wanted = ", ".join(f.wanted for f in (lower, upper) if f.wanted)
    return Finding(first.outcome, wanted, first.because, first.asks)


def ratio(asked: Asked) -> Finding:
    """A share of another fact: `{of = "thinner_wall_m", at_most = "1/4"}`, `at_least` or `more_than`."""
    limit = asked.limit if isinstance(asked.limit, Mapping) else {}
    side = next((name for name in SIDES if name in limit), "at_most")
    keys = _keys(asked, asked.limit, "of", side)
    over, sign = SIDES[side]
    return _number(asked, {"of": keys["of"], "share": keys[side]}, over, sign)


def table_lookup(asked: Asked) -> Finding:
    """At most what the row says whose stretch `over`..`up_to` holds the fact named `by`; `column` is the limit's."""
    keys = _keys(asked, asked.limit, "by", "column")
    by = fact_at(asked.facts, str(keys["by"]), asked.fact.where)
    if by.number is None:
        return Finding(Outcome.UNKNOWN, "", "verdict.unknown.limit", by.asks)
    for row in asked.rows:
        if _holds(row, by, by.number, asked.clause):
            return _number(asked, row.get(str(keys["column"])), compare.at_most, "≤")
    return Finding(Outcome.UNKNOWN, "", "verdict.unknown.table", by.asks)


def _holds(row: Mapping[str, object], by: Fact, number: float, clause: str) -> bool:
    """Closed above, open below, so that a wall at the edge belongs to the thinner row. A blank end has no end."""

    def end(key: str) -> float | None:
        raw = row.get(key)
        found = None if raw in (None, "") else limit_of(raw, name=by.name, where="", facts={}, clause=clause)
        return found.low if isinstance(found, Limit) else None

    over, up_to = end("over"), end("up_to")
    return (over is None or not compare.within(number, over)) and (up_to is None or compare.within(number, up_to))


def one_of(asked: Asked) -> Finding:
    """A list: everything else fails. `{accept = […], refuse = […]}`: what is in neither is unknown, so decide it.

    `{fact = "…"}`: the words that another fact tells, with commas between.
    """
    limit = asked.limit
    if isinstance(limit, Mapping) and set(limit) == {"fact"}:
        other = fact_at(asked.facts, str(limit["fact"]), asked.fact.where)
        if not other.known:
            return Finding(Outcome.UNKNOWN, "", "verdict.unknown.limit", other.asks)
        limit = [word.strip() for word in str(other.value).split(",") if word.strip()]
    accept, refuse = limit, None
    if isinstance(limit, Mapping):
        keys = _keys(asked, limit, "accept", "refuse")
        accept, refuse = keys["accept"], keys["refuse"]
    if not isinstance(accept, list | tuple) or not isinstance(refuse, list | tuple | None):
        raise _broken(asked, "a list, or lists to accept and to refuse")
    wanted = ", ".join(map(str, accept))
    if not asked.fact.known:
        return _said(asked, Outcome.UNKNOWN, wanted)
    if any(_same(asked.fact.value, one) for one in accept):
        return Finding(Outcome.PASS, wanted)
    if refuse is None or any(_same(asked.fact.value, one) for one in refuse):
        return Finding(Outcome.FAIL, wanted)
    return Finding(Outcome.UNKNOWN, wanted, "verdict.unknown.undecided")


def equals(asked: Asked) -> Finding:
    """The same word, yes or number as the limit, or as the fact that the limit names."""
    limit: object = asked.limit
    if isinstance(limit, Mapping):
        other = fact_at(asked.facts, str(_keys(asked, limit, "fact")["fact"]), asked.fact.where)
        if not other.known:
            return Finding(Outcome.UNKNOWN, "", "verdict.unknown.limit", other.asks)
        limit = other.value
    wanted = {True: "yes", False: "no"}[limit] if isinstance(limit, bool) else str(limit)
    if not asked.fact.known:
        return _said(asked, Outcome.UNKNOWN, wanted)
    return Finding(Outcome.PASS if _same(asked.fact.value, limit) else Outcome.FAIL, wanted)


def present(asked: Asked) -> Finding:
    """Recorded at all. `no`, or a word listed as saying that there is none, fails; silence is unknown."""
    none = asked.limit if isinstance(asked.limit, list | tuple) else ()
    if not asked.fact.known:
        return _said(asked, Outcome.UNKNOWN, "")
    absent = asked.fact.value is False or any(_same(asked.fact.value, word) for word in none)
    return Finding(Outcome.FAIL if absent else Outcome.PASS, "")


CHECKS: dict[str, Callable[[Asked], Finding]] = {
    check.__name__: check for check in (at_most, at_least, between, one_of, equals, present, table_lookup, ratio)
}

SEVERITY = (Outcome.FAIL, Outcome.UNKNOWN, Outcome.PASS, Outcome.NOT_APPLICABLE)


def worst(findings: tuple[Finding, ...]) -> Finding:
    """FAIL beats UNKNOWN beats PASS; the first of the worst speaks."""
    return min(findings, key=lambda f: SEVERITY.index(f.outcome))


def _same(value: object, other: object) -> bool:
    """Words alike but for case and spaces; numbers alike but for the last digits; yes is no number."""
    if isinstance(value, bool) or isinstance(other, bool):
        return value is other
    if isinstance(value, str) and isinstance(other, str):
        return "".join(value.casefold().split()) == "".join(other.casefold().split())
    if isinstance(value, int | float) and isinstance(other, int | float):
        return compare.alike(float(value), float(other))
    return False


def _keys(asked: Asked, limit: object, *keys: str) -> Mapping[str, object]:
    if not isinstance(limit, Mapping) or set(limit) != set(keys):
        raise _broken(asked, " and ".join(keys))
    return limit


def _broken(asked: Asked, wanted: str) -> Broken:
    return Broken(where=f"clause {asked.clause}", wanted=f"a limit with {wanted}", got=repr(asked.limit))
