"""What a joint still owes before its dossier is whole, who owes it and since when."""

from __future__ import annotations

from dataclasses import dataclass

from brightroot.model.clause import Outcome
from brightroot.model.record import Seen


@dataclass(frozen=True, slots=True)
class Owing:
    """By the name of what is asked: whose it is, and the kind of entry from which on it is due ("" from the start)."""

    by: str
    due: str


@dataclass(frozen=True, slots=True)
class Owed:
    """One clause that does not pass. `since_s` is None while it is not due yet; `conceded` is the signed concession."""

    code: str
    clause: str
    ref: str
    subject: str
    outcome: Outcome
    asks: str
    by: str
    since_s: float | None
    conceded: Seen | None = None

    @property
    def key(self) -> str:
        """How a concession names it.

        >>> Owed("joint-procedure/1", "interpass", "", "", Outcome.UNKNOWN, "", "welder", None).key
        'joint-procedure/1 interpass'
        """
        return f"{self.code} {self.clause}"


def still_owed(owed: tuple[Owed, ...]) -> tuple[Owed, ...]:
    """What nobody has given and nobody has conceded."""
    return tuple(one for one in owed if one.conceded is None)
