"""What a document needs in order to speak: words by id, and numbers in the person's units."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from brightroot.base.formula import Estimate
from brightroot.base.show import show, show_range


@dataclass(frozen=True, slots=True)
class Speech:
    """`say(id, **params)` gives words in one language; `system` is metric or us."""

    say: Callable[..., str]
    system: str = "metric"
    language: str = "en"

    def number(self, value: float, name: str) -> str:
        """A number with both units, the person's first."""
        return show(value, name=name, system=self.system)

    def figure(self, figure: Estimate) -> str:
        """A figure with its range."""
        return show_range(figure.low, figure.value, figure.high, name=figure.name, system=self.system)
