"""Where a number comes from and how far it may be trusted."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Standing(StrEnum):
    """How a number is known, strongest first. Nothing is ever called validated.

    >>> weakest([Standing.PUBLISHED, Standing.MEMORY, Standing.DERIVED])
    <Standing.MEMORY: 'memory'>
    """

    PUBLISHED = "published"  # seen in a printed or posted text
    MEASURED = "measured"  # read from an instrument, or from a reference library run by us
    DERIVED = "derived"  # follows from geometry or from the others by computation
    PRACTICE = "practice"  # common practice, no source
    MEMORY = "memory"  # recalled; verify before relying on it


_ORDER = list(Standing)


def weakest(standings: list[Standing]) -> Standing:
    """A figure stands no better than the weakest thing it rests on. An empty list is DERIVED (pure geometry)."""
    return max(standings, key=_ORDER.index, default=Standing.DERIVED)


@dataclass(frozen=True, slots=True)
class Source:
    """One document, data set or habit that numbers come from; the rows of `library/sources.toml`."""

    id: str
    kind: str  # standard | handbook | paper | datasheet | derivation | measurement | practice | memory
    title: str
    standing: Standing
    author: str = ""
    edition: str = ""
    where: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class Datum:
    """One cell of the library: a value with its spread, its source and its standing. Never a bare number."""

    value: float
    low: float
    high: float
    source: str
    standing: Standing
    where: str = ""
    note: str = ""

    @property
    def origin(self) -> str:
        return "library"

    @property
    def ref(self) -> str:
        return self.source
