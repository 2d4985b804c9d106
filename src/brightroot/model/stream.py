"""What an instrument sends by itself: dense samples, and the stretches of them that are not believed."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum

STATES = ("reading", "over range", "under range", "no digits")


@dataclass(frozen=True, slots=True)
class Sample:
    """One value as it came. `value` is None where the instrument showed none; `state` then says what it showed."""

    at_s: float
    value: float | None
    state: str = "reading"


class Doubt(StrEnum):
    """Why a stretch of samples is not believed."""

    FROZEN = "frozen"  # the value stands still although it used to move
    JUMP = "jump"  # it changed faster than gas or metal can
    BURST = "burst"  # it was thrown to and fro, as by a high-frequency start
    SILENT = "silent"  # nothing came


@dataclass(frozen=True, slots=True)
class Doubted:
    """A stretch that is not believed; `until_s` is None while it lasts. `noticed_s` is when it could first be known."""

    why: Doubt
    began_s: float
    noticed_s: float
    until_s: float | None = None


@dataclass(frozen=True, slots=True)
class Watched:
    """A stream with its doubtful stretches. `believed` has the samples outside them, in time order."""

    samples: tuple[Sample, ...]
    doubted: tuple[Doubted, ...]
    believed: tuple[Sample, ...]

    @property
    def now(self) -> Doubted | None:
        """The doubt that lasts, if there is one."""
        return next((one for one in reversed(self.doubted) if one.until_s is None), None)


@dataclass(frozen=True, slots=True)
class Stream:
    """Which instrument sends what, and where it stands: the facts that every reading of it shares."""

    tag: str
    measures: str  # oxygen_frac | temperature_K | room_oxygen_frac
    facts: dict[str, str] = field(default_factory=dict)  # place, or at_rad, distance_m, side, method
