"""A clause's limit as a number: written in the code's own units, taken from another fact, or a share of one."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from brightroot.base.errors import Broken, Refused
from brightroot.base.show import show
from brightroot.base.units import dimension_of, read
from brightroot.rules.fact import Fact


@dataclass(frozen=True, slots=True)
class Limit:
    """A limit in SI with its text as the code or the procedure writes it; it spreads only where it was estimated."""

    low: float
    high: float
    text: str


@dataclass(frozen=True, slots=True)
class Unstated:
    """There is a limit, but the fact that it rests on is not recorded; `asks` says what is wanted."""

    asks: str = ""


def limit_of(raw: object, *, name: str, where: str, facts: Mapping[str, Fact], clause: str) -> Limit | Unstated:
    """`"1/32 in"`, `3` for a count, `{fact = "…"}`, or `{of = "…", share = "1/4"}`; Broken for anything else.

    >>> limit_of("1/32 in", name="undercut_depth_m", where="", facts={}, clause="c").low
    0.00079375
    """
    if isinstance(raw, str):
        return _written(raw, name, clause)
    if isinstance(raw, int | float) and not isinstance(raw, bool) and not dimension_of(name):
        return Limit(float(raw), float(raw), f"{raw:g}")
    if isinstance(raw, Mapping) and set(raw) == {"fact"}:
        return _of_fact(fact_at(facts, str(raw["fact"]), where))
    if isinstance(raw, Mapping) and set(raw) == {"of", "share"}:
        return _share(fact_at(facts, str(raw["of"]), where), str(raw["share"]), clause)
    raise Broken(where=f"clause {clause}", wanted="a limit with its unit, a count, or a fact", got=repr(raw))


def fact_at(facts: Mapping[str, Fact], name: str, where: str = "") -> Fact:
    """The fact of that name, at that place where it has one for each; nothing recorded where there is none."""
    fact = facts.get(name, Fact(name))
    if not fact.each:
        return fact
    return next((f for f in fact.each if f.where == where), Fact(name, where=where, asks=fact.asks))


def _written(text: str, name: str, clause: str) -> Limit:
    try:
        value = read(text, field=name).value
    except (Refused, KeyError) as fault:
        raise Broken(where=f"clause {clause}", wanted=f"a limit that fits {name}", got=text) from fault
    return Limit(value, value, text)


def _of_fact(fact: Fact) -> Limit | Unstated:
    value = fact.number
    if value is None:
        return Unstated(fact.asks)
    low, high = (value if end is None else end for end in (fact.low, fact.high))
    return Limit(low, high, fact.entered or show(value, name=fact.name))


def _share(fact: Fact, share: str, clause: str) -> Limit | Unstated:
    value = fact.number
    if value is None:
        return Unstated(fact.asks)
    try:
        part = float(Fraction(share) * Fraction(value))
    except (ValueError, ZeroDivisionError) as fault:
        raise Broken(where=f"clause {clause}", wanted="a share like 1/4 or 0.2", got=share) from fault
    return Limit(part, part, f"{show(part, name=fact.name)} ({share} × {fact.entered or show(value, name=fact.name)})")
