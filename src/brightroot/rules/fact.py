"""One fact of a joint as the rules see it: what is known, how sure, from which events, and what is missing."""

from __future__ import annotations

import math
from dataclasses import dataclass

from brightroot.base.show import show, show_range

Value = float | str | bool | None


@dataclass(frozen=True, slots=True)
class Fact:
    """A value with its text as entered and the events that prove it. `value` None, NaN or "": not recorded.

    `low` and `high` bound a number. On a fact without a value they are what is sure all the same: a temperature still
    rising is at least what was read, so it can fail a limit and never pass one. `each` holds one fact per place (per
    run, tack, end); the whole fact is then as good as the worst of them, and nothing where there is none.
    """

    name: str
    value: Value = None
    entered: str = ""
    from_events: tuple[str, ...] = ()
    low: float | None = None
    high: float | None = None
    where: str = ""  # which run, tack or end
    asks: str = ""  # id of the message that says what would make it known
    each: tuple[Fact, ...] = ()
    unit: str = ""  # as typed, where the text does not end in it; a code that prints two systems is read in this one

    @property
    def known(self) -> bool:
        """Whether there is a value at all.

        >>> Fact("a", 0.0).known, Fact("a", "").known, Fact("a", float("nan")).known, Fact("a").known
        (True, False, False, False)
        """
        if isinstance(self.value, bool):
            return True
        if isinstance(self.value, int | float):
            return math.isfinite(self.value)
        return bool(self.value and self.value.strip())

    @property
    def number(self) -> float | None:
        """The value where it is a number; a yes, a word or nothing is no number."""
        ok = self.known and isinstance(self.value, int | float) and not isinstance(self.value, bool)
        return float(self.value) if ok else None  # type: ignore[arg-type]

    @property
    def text(self) -> str:
        """As entered; failing that, as a screen would show it. Empty where nothing is known."""
        shown = self.entered if self.entered or not self.known else _shown(self)
        return f"{self.where}: {shown}" if self.where and shown else shown or self.where


def _shown(fact: Fact) -> str:
    if isinstance(fact.value, bool):
        return "yes" if fact.value else "no"
    number = fact.number
    if number is None:
        return str(fact.value)
    if fact.low is not None and fact.high is not None and fact.low < fact.high:
        return show_range(fact.low, number, fact.high, name=fact.name)
    return show(number, name=fact.name)
