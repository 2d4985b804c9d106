"""What the live page says: what next, why, and from which readings. Data, so web, CLI and sound say the same."""

from __future__ import annotations

from dataclasses import dataclass
from enum import IntEnum

from brightroot.base.formula import Estimate


class Level(IntEnum):
    """How loudly it is said. STOP names the safe way out."""

    QUIET = 0
    NEXT = 1
    WARN = 2
    STOP = 3


@dataclass(frozen=True, slots=True)
class Because:
    """One reason: a message id and what fills it."""

    says: str
    params: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Advice:
    """One verb, one number, one button.

    `number` is an Estimate (or None); `until_s` are the instants (low, value, high) at which a countdown ends;
    `event` is the kind that the button records, `params` what is already known of it.
    """

    level: Level
    says: str
    event: str = ""
    params: tuple[tuple[str, str], ...] = ()
    number: Estimate | None = None
    until_s: tuple[float, float, float] | None = None
    because: tuple[Because, ...] = ()
    from_events: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    run: int = 0
    arc: str = ""
    tack: str = ""
