"""Figures, times and advice as this person reads them: their language, their units first."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime

from brightroot.base.clock import show_clock
from brightroot.base.errors import Refused
from brightroot.base.formula import Estimate
from brightroot.base.show import show, show_time
from brightroot.base.units import dimension_of, from_si
from brightroot.documents.speech import Speech
from brightroot.model.advice import Advice
from brightroot.render.words import Words, words
from brightroot.web.settings import Settings

_NUMBERED = re.compile(r"^(run|pass)_(\d+)_")


@dataclass(frozen=True, slots=True)
class Figure:
    """A figure taken apart for the screen, so that its unit can be set smaller than its value."""

    key: str
    label: str
    value: str
    unit: str
    low: str
    high: str
    other: str  # the same value in the other system, or ''
    standing: str

    @property
    def range(self) -> str:
        """`18–33`, or nothing where nothing spreads."""
        return f"{self.low}–{self.high}" if self.low != self.high else ""


@dataclass(frozen=True, slots=True)
class Shown:
    """Says and shows for one person's settings."""

    settings: Settings

    @property
    def words(self) -> Words:
        return words(self.settings.language)

    @property
    def speech(self) -> Speech:
        """The same words and units for `documents/`."""
        return Speech(self.say, self.settings.units, self.settings.language)

    def say(self, message_id: str, **params: object) -> str:
        return self.words.say(message_id, **params)

    def choice(self, value: str) -> str:
        """A choice of the core in this language; the bare value where nobody has named it."""
        for table in ("choice", "fact_choice"):
            if (message_id := f"{table}.{slug(value)}") in self.words.english:
                return self.say(message_id)
        return value

    def number(self, value: float, name: str, *, both: bool = True) -> str:
        """A number whose name ends in its unit."""
        return show(value, name=name, system=self.settings.units, both=both)

    def figure(self, estimate: Estimate, key: str = "") -> Figure:
        """A figure with its range and its label."""
        system = self.settings.units
        said = [show(x, name=estimate.name, system=system, both=False) for x in (estimate.low, estimate.high)]
        whole = show(estimate.value, name=estimate.name, system=system)
        first, _, other = whole.partition(" / ")
        value, _, unit = first.partition(" ")
        # a unit is left out of the range only where it is the same at both ends: 69 s–2.7 min keeps both
        alike = all(text.partition(" ")[2] == unit for text in said)
        low, high = (text.partition(" ")[0] if alike else text for text in said)
        key = key or estimate.key
        return Figure(key, self.label(key), value, unit, low, high, other, str(estimate.standing))

    def label(self, key: str) -> str:
        """The words for a figure's key: what it is, and of which pass, run or arc."""
        head, *middle, stem = key.split(".")
        own = f"figure.{head}.{stem}"
        name = self.say(own if own in self.words.english else f"figure.{stem}")
        place = {"passes": "pass", "runs": "run", "arcs": "arc", "dams": "dams", "pause": "pause"}.get(head)
        if not place or not middle:
            return name
        slot = {"name": middle[0]} if place == "arc" else {"number": middle[0]}
        if place in ("dams", "pause"):
            slot = {"name": self.choice(middle[0])}
        return f"{name}, {self.say(f'web.place.{place}', **slot)}"

    def input_label(self, name: str) -> str:
        """The words for an input of a formula."""
        if numbered := _NUMBERED.match(name):
            return self.say(f"web.place.{numbered[1]}", number=numbered[2])
        for message_id in (f"figure.{name}", f"input.{name}"):
            if message_id in self.words.english:
                return self.say(message_id)
        return self.words.field(name)

    def clock(self, at_rad: float) -> str:
        return show_clock(at_rad)

    def time(self, seconds: float) -> str:
        return show_time(seconds)

    def instant(self, at_s: float) -> str:
        """`2026-03-02 10:42 UTC`: the log's own time."""
        return datetime.fromtimestamp(at_s, UTC).strftime("%Y-%m-%d %H:%M UTC")

    def gas(self, volume_m3: float) -> str:
        """A large volume of gas in round numbers."""
        if self.settings.units == "us":
            return f"{from_si(volume_m3, unit='ft³', dimension='volume'):.0f} ft³"
        return f"{volume_m3:.1f} m³" if volume_m3 >= 0.5 else f"{volume_m3 * 1000:.0f} L"

    def advice(self, advice: Advice) -> str:
        """The verb of an advice with its slots in this person's words."""
        return self.say(advice.says, **self.slots(advice.params))

    def slots(self, params: tuple[tuple[str, str], ...] | Mapping[str, str]) -> dict[str, str]:
        """Parameters of a message: choices said, clock positions and numbers shown."""
        return {name: self._slot(name, value) for name, value in dict(params).items()}

    def _slot(self, name: str, value: object) -> str:
        text = str(value)
        if name == "pass":
            return self.say(f"pass.{text}")
        try:
            number = float(text)
        except ValueError:
            return self.choice(text)
        return self.number(number, name) if dimension_of(name) else text

    def refused(self, refusal: Refused) -> str:
        return self.words.say_refused(refusal)

    def errors(self, refusal: Refused) -> dict[str, str]:
        """Every field of a refusal with its sentence, in the order in which they were found."""
        found: dict[str, str] = {}
        for one in (refusal, *refusal.also):
            found[one.field] = f"{found[one.field]} {self.refused(one)}" if one.field in found else self.refused(one)
        return found


def slug(text: str) -> str:
    """A choice as the last part of a message id.

    >>> slug("3/16 in deposit"), slug("fit-up"), slug("bottom first, opposite next")
    ('3_16_in_deposit', 'fit-up', 'bottom_first_opposite_next')
    """
    return re.sub(r"[^\w-]+", "_", text)
