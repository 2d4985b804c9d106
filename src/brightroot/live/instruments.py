"""The health of the instruments: each one's points and lag, how it drifts, what its sample line adds, what it puts in doubt."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from brightroot.base.formula import Estimate, estimate
from brightroot.base.source import Datum
from brightroot.live.estimators.purge import POINTS, SHIFT_S
from brightroot.model.entry import number_of
from brightroot.model.record import JointRecord, Seen
from brightroot.physics.purge.gas_properties import AIR_OXYGEN_FRAC
from brightroot.physics.purge.sample_line import line_adds_frac
from brightroot.rules.instruments import doubts_of

DAY_S = 86400.0
SOON_S = 3600.0  # two checks so far apart tell the scatter, not a drift


@dataclass(frozen=True, slots=True)
class Point:
    """One point of one instrument: when it was last checked, what it showed, and what was found."""

    against: str
    at_s: float
    result: str
    oxygen_frac: float | None
    off_frac: float | None  # from what it should have shown; None where that is not known
    odd: bool  # called good although what it showed is off by more than it may
    drift_frac_day: float | None


@dataclass(frozen=True, slots=True)
class Health:
    """One instrument by its tag. `missing`: points nobody has found good in this shift."""

    instrument: str
    tag: str
    points: tuple[Point, ...]
    missing: tuple[str, ...]
    lag_s: float | None
    line_adds: Estimate | None
    bad: bool
    doubts_count: int


def health_of(record: JointRecord, *, now_s: float, cells: Mapping[str, Datum]) -> tuple[Health, ...]:
    """Every instrument that was ever checked in this log, the last used first."""
    tags: dict[tuple[str, str], list[Seen]] = {}
    for check in sorted(record.checks, key=lambda c: c.at_s):
        if check.at_s <= now_s:
            tags.setdefault((str(check.data["instrument"]), str(check.data["tag"])), []).append(check)
    rows = [_health(record, instrument, tag, checks, now_s, cells) for (instrument, tag), checks in tags.items()]
    return tuple(sorted(rows, key=lambda h: -max(p.at_s for p in h.points)))


def _health(
    record: JointRecord, instrument: str, tag: str, checks: list[Seen], now_s: float, cells: Mapping[str, Datum]
) -> Health:
    against = tuple(dict.fromkeys(str(c.data["against"]) for c in checks))
    points = tuple(_point(a, [c for c in checks if c.data["against"] == a], cells) for a in against)
    good = {p.against for p in points if p.result == "good" and now_s - p.at_s <= SHIFT_S}
    missing = tuple(p for p in POINTS if p not in good) if instrument == "oxygen monitor" else ()
    lags = [x for c in checks if (x := number_of(c.data, "lag_s")) is not None]
    doubts = [d for d in doubts_of(record, instrument) if d.tag == tag and d.from_s < now_s < d.until_s]
    return Health(
        instrument, tag, points, missing, lags[-1] if lags else None, _line(points), bool(doubts), len(doubts)
    )


def _point(against: str, checks: list[Seen], cells: Mapping[str, Datum]) -> Point:
    last = checks[-1]
    oxygen = number_of(last.data, "oxygen_frac")
    off = None if oxygen is None or against not in ("air", "cylinder argon") else oxygen - _should(against)
    most = {"air": cells["monitor_air_off_frac"], "cylinder argon": cells["monitor_argon_frac"]}.get(against)
    odd = off is not None and most is not None and abs(off) > most.high and last.data["result"] == "good"
    return Point(against, last.at_s, str(last.data["result"]), oxygen, off, odd, _drift(checks))


def _should(against: str) -> float:
    return AIR_OXYGEN_FRAC if against == "air" else 0.0


def _drift(checks: list[Seen]) -> float | None:
    """Change a day between the last two numbers at the same point, where they lie far enough apart to tell."""
    read = [(c.at_s, x) for c in checks if (x := number_of(c.data, "oxygen_frac")) is not None]
    if len(read) < 2 or read[-1][0] - read[-2][0] < SOON_S:
        return None
    (sooner, before), (later, after) = read[-2:]
    return (after - before) / (later - sooner) * DAY_S


def _line(points: tuple[Point, ...]) -> Estimate | None:
    """What the sample line adds, where the same gas was read with it and without it."""
    read = {p.against: p.oxygen_frac for p in points}
    hose, straight = read.get("hose end"), read.get("cylinder argon")
    if hose is None or straight is None:
        return None
    return estimate(line_adds_frac, key="live.line_adds_frac", hose_end_frac=hose, cylinder_argon_frac=straight)
