"""What an instrument's checks are worth: one found bad doubts every reading back to the last good check of that point."""

from __future__ import annotations

import math
from dataclasses import dataclass

from brightroot.model.record import JointRecord, OxygenRead, Seen, TemperatureRead

ROUNDING_S = 1e-6


@dataclass(frozen=True, slots=True)
class Doubt:
    """A stretch of time in which an instrument's readings prove nothing, and the check that found it bad."""

    instrument: str
    tag: str
    against: str
    event: str
    from_s: float  # the last good check of that point, minus infinity where there was none
    until_s: float  # the next good check of that point, infinity where there is none yet


@dataclass(frozen=True, slots=True)
class Suspect:
    """A reading that a bad check doubts."""

    event: str
    at_s: float
    doubt: Doubt


def doubts_of(record: JointRecord, instrument: str) -> tuple[Doubt, ...]:
    """Every stretch in which that instrument is doubted.

    Readings do not say which tag they were made with, so a bad check doubts all of them between the good checks of the
    same point; a good check of another point does not lift it.
    """
    checks = sorted((c for c in record.checks if c.data.get("instrument") == instrument), key=lambda c: c.at_s)
    return tuple(_doubt(bad, checks) for bad in checks if bad.data.get("result") == "bad")


def _doubt(bad: Seen, checks: list[Seen]) -> Doubt:
    point, tag = str(bad.data.get("against")), str(bad.data.get("tag"))
    good = [c for c in checks if c.data.get("against") == point and c.data.get("result") == "good"]
    own = [c.at_s for c in good if c.data.get("tag") == tag and c.at_s < bad.at_s]
    before = own or [c.at_s for c in good if c.at_s < bad.at_s]
    after = [c.at_s for c in good if c.at_s > bad.at_s]
    return Doubt(
        str(bad.data.get("instrument")), tag, point, bad.event, max(before, default=-math.inf), min(after, default=math.inf)
    )  # fmt: skip


def found_bad(record: JointRecord, instrument: str, at_s: float) -> bool:
    """Whether a reading of that moment is doubted by a check before or after it. Unchecked is not bad."""
    return any(d.from_s - ROUNDING_S < at_s < d.until_s for d in doubts_of(record, instrument))


def suspects(record: JointRecord) -> tuple[Suspect, ...]:
    """Every reading of the record that a bad check doubts, in order of time; each once, by the first that doubts it."""
    found: dict[str, Suspect] = {}
    readings: dict[str, tuple[OxygenRead, ...] | tuple[TemperatureRead, ...]] = {
        "oxygen monitor": record.oxygen,
        "thermometer": record.temperatures,
    }
    for instrument, reads in readings.items():
        for doubt in doubts_of(record, instrument):
            for read in reads:
                if doubt.from_s - ROUNDING_S < read.at_s < doubt.until_s:
                    found.setdefault(read.event, Suspect(read.event, read.at_s, doubt))
    return tuple(sorted(found.values(), key=lambda s: s.at_s))
