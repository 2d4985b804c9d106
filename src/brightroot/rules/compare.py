"""The one comparison of rules: closed, and tolerant of the last float digits, so that a joint at its limit passes."""

from __future__ import annotations

import math

from brightroot.model.clause import Outcome
from brightroot.rules.fact import Fact
from brightroot.rules.limits import Limit

REL = 1e-9


def within(lesser: float, greater: float) -> bool:
    """Whether the first is no more than the second.

    >>> within(0.3, 0.1 + 0.2), within(0.1 + 0.2, 0.3), within(0.0009001, 0.0009)
    (True, True, False)
    """
    return lesser <= greater or math.isclose(lesser, greater, rel_tol=REL)


def alike(one: float, other: float) -> bool:
    """Whether two numbers are the same but for the last float digits."""
    return math.isclose(one, other, rel_tol=REL)


def at_most(fact: Fact, limit: Limit) -> Outcome:
    """PASS where the whole range of the fact is under the whole of the limit, FAIL where it is over, else UNKNOWN."""
    low, high = _ends(fact)
    if not (math.isfinite(limit.low) and math.isfinite(limit.high)):
        return Outcome.UNKNOWN
    if low is not None and not within(low, limit.high):
        return Outcome.FAIL
    return Outcome.PASS if fact.number is not None and high is not None and within(high, limit.low) else Outcome.UNKNOWN


def at_least(fact: Fact, limit: Limit) -> Outcome:
    """The mirror of `at_most`."""
    low, high = _ends(fact)
    if not (math.isfinite(limit.low) and math.isfinite(limit.high)):
        return Outcome.UNKNOWN
    if high is not None and not within(limit.low, high):
        return Outcome.FAIL
    return Outcome.PASS if fact.number is not None and low is not None and within(limit.high, low) else Outcome.UNKNOWN


def more_than(fact: Fact, limit: Limit) -> Outcome:
    """As `at_least`, but at the limit itself it fails: a cut of a tenth or more is a cut of a tenth."""
    found = at_least(fact, limit)
    if found is Outcome.PASS and at_most(fact, limit) is not Outcome.FAIL:
        return Outcome.FAIL if fact.number is not None and within(fact.number, limit.low) else Outcome.UNKNOWN
    return found


def _ends(fact: Fact) -> tuple[float | None, float | None]:
    """What is sure of the number from below and from above. A range that is no number is no range."""
    low = fact.number if fact.low is None else fact.low
    high = fact.number if fact.high is None else fact.high
    return (low if low is None or math.isfinite(low) else None), (high if high is None or math.isfinite(high) else None)
