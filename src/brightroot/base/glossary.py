"""Every name in the program once: what it means, in which units it comes, and what a standard calls it.

A name's stem is the name without the unit at its end (`show.stem_of`). A test holds this list against the fields of the
model, the facts, the events, the formulas and the figures of plans: nothing is missing, nothing is left over.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from brightroot.base.glossary_numbers import NUMBERS
from brightroot.base.glossary_optics import OPTICS
from brightroot.base.glossary_rules import RULES
from brightroot.base.glossary_welders import WELDERS
from brightroot.base.glossary_words import WORDS
from brightroot.base.units import dimension_of


@dataclass(frozen=True, slots=True)
class Term:
    """One name. `units` are the SI endings it is used with; `standard` is another's word for it, from memory."""

    stem: str
    meaning: str
    units: tuple[str, ...] = ()
    standard: str = ""

    @property
    def dimensions(self) -> tuple[str, ...]:
        """What it measures, in the order of its units; '' for a count or an internal number.

        >>> GLOSSARY["gap"].dimensions
        ('length',)
        """
        return tuple(dimension_of(f"{self.stem}_{unit}") for unit in self.units)


def _read(table: str) -> dict[str, Term]:
    terms: dict[str, Term] = {}
    for line in table.strip().splitlines():
        stem, units, meaning, *standard = (cell.strip() for cell in line.split("|"))
        if stem in terms:
            raise ValueError(f"{stem} stands in the glossary twice")
        terms[stem] = Term(stem, meaning, () if units == "-" else tuple(units.split()), *standard)
    return terms


GLOSSARY: Mapping[str, Term] = MappingProxyType(
    {**_read(NUMBERS), **_read(WORDS), **_read(RULES), **_read(WELDERS), **_read(OPTICS)}
)
