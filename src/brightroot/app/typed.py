"""What a person typed, read fact by fact. Every field that cannot be understood is told, all of them at once, by name."""

from __future__ import annotations

import difflib
from collections.abc import Callable, Mapping
from typing import Any

from brightroot.base.errors import Refused
from brightroot.base.units import Reading, read
from brightroot.model.entry import NO, YES
from brightroot.model.facts import Fact
from brightroot.model.find import find_alloy, find_filler, find_pipe
from brightroot.model.library import Library

Reader = Callable[[Fact, str, Library], Any]
Limits = Mapping[str, tuple[float, float, str]]  # by fact: low, high and how a person would say it


def typed_facts(
    facts: Mapping[str, Any], asked: tuple[Fact, ...], readers: Mapping[str, Reader], *, library: Library, of: str
) -> tuple[dict[str, Any], list[Refused]]:
    """Every fact that is asked for as it was understood (None, or no text, where nothing was typed), and what was refused."""
    refusals: list[Refused] = []
    understood = {fact.name: _tried(refusals, fact, facts, readers, library) for fact in asked}
    for name in sorted(set(facts) - set(understood)):
        near = tuple(difflib.get_close_matches(name, understood, n=2))
        refusals.append(Refused(field=name, wanted=f"a fact of a {of}", got=name, near=near, reason="refused.name"))
    return understood, refusals


def _tried(
    refusals: list[Refused], fact: Fact, facts: Mapping[str, Any], readers: Mapping[str, Reader], library: Library
) -> Any:
    text = str(facts.get(fact.name) or "").strip() or fact.start
    try:
        return readers[fact.kind](fact, text, library) if text else _blank(fact)
    except Refused as refusal:
        refusals.append(refusal)
        return None


def _blank(fact: Fact) -> str | None:
    if fact.required:
        wanted = f"something like {fact.example}" if fact.example else "an answer"
        raise Refused(field=fact.name, wanted=wanted, got="nothing", reason="refused.missing")
    return "" if fact.kind == "text" else None


def number_within(limits: Limits) -> Reader:
    """A reader of numbers that refuses what lies outside a fact's limits; nothing is clipped to them."""

    def number(fact: Fact, text: str, library: Library) -> Reading:
        reading = read(text, field=fact.name)
        low, high, words = limits[fact.name]
        if not low * (1 - 1e-9) <= reading.value <= high * (1 + 1e-9):
            raise Refused(field=fact.name, wanted=words, got=text, reason="refused.range")
        return reading

    return number


def _choice(fact: Fact, text: str, library: Library) -> str:
    folded = {choice.lower(): choice for choice in fact.choices if choice}
    if text.lower() not in folded:
        near = tuple(difflib.get_close_matches(text, fact.choices, n=2))
        wanted = "one of " + ", ".join(folded.values())
        raise Refused(field=fact.name, wanted=wanted, got=text, near=near, reason="refused.choice")
    return folded[text.lower()]


def _yes_no(fact: Fact, text: str, library: Library) -> bool:
    if text.lower() not in (*YES, *NO):
        raise Refused(field=fact.name, wanted="yes or no", got=text, reason="refused.choice")
    return text.lower() in YES


READERS: dict[str, Reader] = {
    "choice": _choice,
    "yes_no": _yes_no,
    "text": lambda fact, text, library: text,
    "metal": lambda fact, text, library: find_alloy(library, text, field=fact.name),
    "filler": lambda fact, text, library: find_filler(library, text, field=fact.name),
    "pipe": lambda fact, text, library: find_pipe(library, text, field=fact.name),
}
