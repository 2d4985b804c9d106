"""A clause's limit as a number: written in the code's own units, taken from another fact, or a share of one."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from brightroot.base.errors import Broken, Refused
from brightroot.base.show import show
from brightroot.base.units import ALIASES, UNITS, dimension_of, read
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


# units of a record that is kept in inches; a code that prints both systems is read in the record's own
US = ("in", "ft", "°F", "cfh", "psi", "kJ/in", "in/min", "inH2O", "ft³", "in²", "lb", "oz")


def limit_of(
    raw: object, *, name: str, where: str, facts: Mapping[str, Fact], clause: str, unit: str = ""
) -> Limit | Unstated:
    """`"1/32 in"`, `3` for a count, `{fact = "…"}`, `{of = "…", share = "1/4"}`, or `{of = "…", less = "55 °C"}`.

    Any text may be a pair, `{us = "1/16 in", si = "1.5 mm"}`, read in the system of `unit`. Broken for anything else.

    >>> limit_of("1/32 in", name="undercut_depth_m", where="", facts={}, clause="c").low
    0.00079375
    """
    if isinstance(raw, Mapping) and set(raw) == {"us", "si"}:
        raw = raw["us"] if unit in US else raw["si"]
    if isinstance(raw, str):
        return _written(raw, name, clause)
    if isinstance(raw, int | float) and not isinstance(raw, bool) and not dimension_of(name):
        return Limit(float(raw), float(raw), f"{raw:g}")
    if isinstance(raw, Mapping) and set(raw) == {"fact"}:
        return _of_fact(fact_at(facts, str(raw["fact"]), where))
    if isinstance(raw, Mapping) and set(raw) == {"of", "share"}:
        return _share(fact_at(facts, str(raw["of"]), where), str(raw["share"]), clause)
    if isinstance(raw, Mapping) and set(raw) in ({"of", "less"}, {"of", "more"}):
        return _shifted(fact_at(facts, str(raw["of"]), where), raw, clause, unit)
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


def _shifted(fact: Fact, raw: Mapping[str, object], clause: str, unit: str) -> Limit | Unstated:
    """A fact less or plus so much; of a temperature, so many degrees."""
    value = fact.number
    if value is None:
        return Unstated(fact.asks)
    by = "less" if "less" in raw else "more"
    dimension = "temperature difference" if fact.name.endswith("_K") else dimension_of(fact.name)
    stem = {"temperature difference": "step_dK"}.get(dimension, fact.name)
    step = limit_of(raw[by], name=stem, where="", facts={}, clause=clause, unit=unit)
    assert isinstance(step, Limit)  # a written limit is never unstated
    sign = -1 if by == "less" else 1
    moved = value + sign * step.low
    text = fact.entered or show(value, name=fact.name)
    return Limit(moved, moved, f"{show(moved, name=fact.name)} ({text} {'−' if sign < 0 else '+'} {step.text})")


def unit_of(fact: Fact) -> str:
    """The unit that a fact was typed in: its own, or the last word of its text; "" where there is none.

    >>> unit_of(Fact("wall_m", 0.0127, "1/2 in")), unit_of(Fact("wall_m", 0.003, unit="mm")), unit_of(Fact("a", "x"))
    ('in', 'mm', '')
    """
    if fact.unit or not dimension_of(fact.name):
        return fact.unit
    table = UNITS[dimension_of(fact.name)]
    word = fact.entered.rsplit(" ", 1)[-1]
    return word if word in table else ALIASES.get(word.lower(), "")


def _share(fact: Fact, share: str, clause: str) -> Limit | Unstated:
    value = fact.number
    if value is None:
        return Unstated(fact.asks)
    try:
        part = float(Fraction(share) * Fraction(value))
    except (ValueError, ZeroDivisionError) as fault:
        raise Broken(where=f"clause {clause}", wanted="a share like 1/4 or 0.2", got=share) from fault
    return Limit(part, part, f"{show(part, name=fact.name)} ({share} × {fact.entered or show(value, name=fact.name)})")
