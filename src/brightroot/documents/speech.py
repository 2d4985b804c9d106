"""What a document needs in order to speak: words by id, and numbers in the person's units."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from brightroot.base.formula import Estimate
from brightroot.base.show import show, show_range
from brightroot.base.units import dimension_of


@dataclass(frozen=True, slots=True)
class Speech:
    """`say(id, **params)` gives words in one language; `system` is metric or us."""

    say: Callable[..., str]
    system: str = "metric"
    language: str = "en"

    def number(self, value: float, name: str) -> str:
        """A number with both units, the person's first."""
        return show(value, name=name, system=self.system)

    def told(self, says: str, params: tuple[tuple[str, str], ...] = (), **more: str) -> str:
        """A message whose numbers (params named with their unit) are shown in the person's units."""
        shown = {name: self._shown(name, text) for name, text in params}
        return self.say(says, **{**shown, **more})

    def _shown(self, name: str, text: str) -> str:
        try:
            return self.number(float(text), name) if dimension_of(name) else text
        except ValueError:
            return text

    def figure(self, figure: Estimate) -> str:
        """A figure with its range."""
        return show_range(figure.low, figure.value, figure.high, name=figure.name, system=self.system)
