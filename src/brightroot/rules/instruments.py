"""Whether an instrument was last found good: what a bad one shows proves nothing."""

from __future__ import annotations

from brightroot.model.record import JointRecord


def found_bad(record: JointRecord, instrument: str, at_s: float) -> bool:
    """Whether the last check of that instrument before then said bad. Unchecked is not bad."""
    checks = [c for c in record.checks if c.data.get("instrument") == instrument and c.at_s <= at_s]
    return bool(checks) and checks[-1].data.get("result") == "bad"
