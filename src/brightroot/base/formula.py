"""Formulas that carry their card, and estimates that carry their range.

A formula is a pure, keyword-only function. Called bare it is strict and raises OutOfRange. Asked through `estimate`
it is lenient: it answers with an Estimate whose range comes from the ranges of its inputs, whose caveats name every
input that lies outside the card's range, and whose inputs say where each number came from.
"""

from __future__ import annotations

import functools
import inspect
import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import Any, NamedTuple, Protocol

from brightroot.base.errors import OutOfRange, Refused
from brightroot.base.source import Standing, weakest


class Band(NamedTuple):
    """What a formula returns when its own physics gives bounds rather than a point."""

    low: float
    value: float
    high: float


class Known(Protocol):
    """Anything that can feed an estimate: a Reading, a Datum, an Assumed or another Estimate."""

    @property
    def value(self) -> float: ...
    @property
    def low(self) -> float: ...
    @property
    def high(self) -> float: ...
    @property
    def standing(self) -> Standing: ...
    @property
    def origin(self) -> str: ...
    @property
    def ref(self) -> str: ...


@dataclass(frozen=True, slots=True)
class Assumed:
    """A number nobody typed: a default with its spread and its source, shown wherever it was used."""

    value: float
    low: float
    high: float
    ref: str
    standing: Standing = Standing.PRACTICE
    origin: str = "assumed"


@dataclass(frozen=True, slots=True)
class Input:
    """One input of an estimate: its value and range, where it came from, and its share of the result's spread."""

    name: str
    value: float
    low: float
    high: float
    origin: str  # typed | library | assumed | figure | exact
    ref: str
    standing: Standing
    share_frac: float


@dataclass(frozen=True, slots=True)
class Card:
    """What a formula says of itself."""

    id: str
    result: str  # the numeric name of the result; its last part is the unit
    equation: str
    hand: str  # a sentence with {name:unit} slots that a person can re-do on paper
    source: str
    where: str
    standing: Standing
    holds: Mapping[str, tuple[float, float]]
    function: Callable[..., Any]
    together: bool = False


@dataclass(frozen=True, slots=True)
class Estimate:
    """A figure: value, low, high; the formula and inputs it came from; its standing and caveats."""

    name: str
    value: float
    low: float
    high: float
    formula: str
    inputs: tuple[Input, ...] = ()
    standing: Standing = Standing.DERIVED
    caveats: tuple[str, ...] = ()
    key: str = ""

    @property
    def origin(self) -> str:
        return "figure"

    @property
    def ref(self) -> str:
        return self.key or self.formula

    @property
    def dominant(self) -> Input | None:
        """The input that makes most of the spread, or None where nothing spreads."""
        top = max(self.inputs, key=lambda i: i.share_frac, default=None)
        return top if top is not None and top.share_frac > 0 else None


FORMULAS: dict[str, Card] = {}


def formula(
    *,
    result: str,
    equation: str,
    hand: str,
    source: str,
    where: str = "",
    standing: Standing = Standing.DERIVED,
    holds: Mapping[str, tuple[float, float]] | None = None,
    together: bool = False,
) -> Callable[[Callable[..., Any]], Callable[..., Any]]:
    """Register a pure keyword-only function with its card. The bare call is strict about the card's range.

    `together`: the inputs share their doubts (the same hand, the same arc), so their ends are taken all at once.
    """

    def wrap(function: Callable[..., Any]) -> Callable[..., Any]:
        module = function.__module__.removeprefix("brightroot.physics.")
        name = f"{module}.{function.__name__}"
        card = Card(name, result, equation, hand, source, where, standing, dict(holds or {}), function, together)
        parameters = inspect.signature(function).parameters
        if any(p.kind not in (p.KEYWORD_ONLY, p.VAR_KEYWORD) for p in parameters.values()):
            raise TypeError(f"{name}: formulas are keyword-only")
        open_ended = any(p.kind is p.VAR_KEYWORD for p in parameters.values())
        unknown = set(card.holds) - set(parameters)
        if unknown and not open_ended:
            raise TypeError(f"{name}: range given for {unknown}, which it does not take")
        FORMULAS[name] = card

        @functools.wraps(function)
        def strict(**inputs: Any) -> Any:
            for caveat, key, value, (low, high) in _outside(card, inputs):
                raise OutOfRange(field=key, wanted=f"{low:g} to {high:g}", got=f"{value:g}", reason=caveat)
            return function(**inputs)

        strict.card = card  # type: ignore[attr-defined]
        return strict

    return wrap


def _outside(card: Card, inputs: Mapping[str, Any]) -> list[tuple[str, str, float, tuple[float, float]]]:
    found = []
    for key, (low, high) in card.holds.items():
        value = inputs.get(key)
        if value is None or isinstance(value, str):
            continue
        for end in _ends(value):
            if not low <= end <= high:
                found.append(("out_of_range", key, end, (low, high)))
                break
    return found


def _ends(value: Any) -> tuple[float, float]:
    if hasattr(value, "min") and hasattr(value, "max"):
        return float(value.min()), float(value.max())
    return float(value), float(value)


def estimate(function: Callable[..., Any], *, key: str = "", **inputs: Any) -> Estimate:
    """Ask a formula politely. Inputs may be Known things, bare numbers (exact) or text; the answer is an Estimate.

    Each input is moved to its low and its high end in turn; the swings are combined in quadrature (inputs taken as
    independent) around the value, or around the Band where the formula itself gives bounds.
    """
    card: Card = function.card  # type: ignore[attr-defined]
    values = {name: thing.value if hasattr(thing, "ref") else thing for name, thing in inputs.items()}
    centre = _band(card.function(**values))
    if not all(math.isfinite(x) for x in centre):
        raise Refused(field=card.result, wanted="a finite number", got=str(centre.value), reason="refused.not_finite")
    below = above = 0.0
    swings: dict[str, float] = {}
    unreached: list[str] = []
    for name, thing in inputs.items():
        if not hasattr(thing, "ref") or thing.low == thing.high:
            continue
        ends = [found for end in (thing.low, thing.high) if (found := _end(card, values, name, end)) is not None]
        if len(ends) < 2:
            unreached.append(f"{card.result} does not come about at an end of {name}")
        if not ends:
            continue
        down = max(0.0, centre.low - min(end.low for end in ends))
        up = max(0.0, max(end.high for end in ends) - centre.high)
        below, above = (below + down, above + up) if card.together else (math.hypot(below, down), math.hypot(above, up))
        swings[name] = down + up
    total = sum(s * s for s in swings.values())
    rows = tuple(
        _input(name, thing, swings.get(name, 0.0) ** 2 / total if total else 0.0)
        for name, thing in inputs.items()
        if not isinstance(thing, str | tuple)
    )
    outside = tuple(
        f"{name} {value:g} lies outside {low:g} to {high:g}" for _, name, value, (low, high) in _outside(card, values)
    )
    inherited = tuple(c for thing in inputs.values() for c in getattr(thing, "caveats", ()))
    return Estimate(
        name=card.result,
        value=centre.value,
        low=centre.low - below,
        high=centre.high + above,
        formula=card.id,
        inputs=rows,
        standing=weakest([card.standing, *(row.standing for row in rows)]),
        caveats=tuple(dict.fromkeys((*outside, *unreached, *inherited))),
        key=key,
    )


def _end(card: Card, values: Mapping[str, Any], name: str, end: float) -> Band | None:
    """The answer at one end of one input; None where the formula refuses it (a target that is never reached)."""
    try:
        return _band(card.function(**{**values, name: end}))
    except Refused:
        return None


def _band(answer: Any) -> Band:
    return answer if isinstance(answer, Band) else Band(float(answer), float(answer), float(answer))


def _input(name: str, thing: Any, share_frac: float) -> Input:
    if hasattr(thing, "ref"):
        return Input(name, thing.value, thing.low, thing.high, thing.origin, thing.ref, thing.standing, share_frac)
    return Input(name, float(thing), float(thing), float(thing), "exact", "", Standing.DERIVED, 0.0)


def named(figure: Estimate, key: str) -> Estimate:
    """The same figure under the key by which a plan knows it."""
    return replace(figure, key=key)


def card_of(function: Callable[..., Any]) -> Card:
    """The card of a formula."""
    card: Card = function.card  # type: ignore[attr-defined]
    return card
