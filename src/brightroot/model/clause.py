"""What a clause says of a joint. Missing evidence is unknown, never pass."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from brightroot.base.source import Standing


class Outcome(StrEnum):
    FAIL = "fail"
    UNKNOWN = "unknown"
    PASS = "pass"
    NOT_APPLICABLE = "not applicable"


@dataclass(frozen=True, slots=True)
class Verdict:
    """One clause laid against the record: the outcome, why (message id and params), and the events that prove it."""

    clause: str
    code: str
    ref: str
    subject: str
    says: str
    outcome: Outcome
    because: str
    wanted: str
    got: str
    from_events: tuple[str, ...]
    source: str
    standing: Standing
    asks: str = ""


def overall(verdicts: tuple[Verdict, ...]) -> Outcome:
    """FAIL beats UNKNOWN beats PASS; where nothing applies, nothing is proved.

    >>> overall(())
    <Outcome.UNKNOWN: 'unknown'>
    """
    outcomes = {v.outcome for v in verdicts} - {Outcome.NOT_APPLICABLE}
    if not outcomes:
        return Outcome.UNKNOWN
    return next(o for o in (Outcome.FAIL, Outcome.UNKNOWN, Outcome.PASS) if o in outcomes)
