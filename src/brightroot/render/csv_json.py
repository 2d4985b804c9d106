"""The readings of a joint as CSV: SI values beside what was typed, one row a reading. Not recorded is an empty cell."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Iterable, Sequence
from typing import Any

from brightroot.base.instant import utc_of
from brightroot.model.codec import to_data
from brightroot.model.record import OxygenRead, TemperatureRead

OXYGEN_HEAD = ("at_utc", "state", "oxygen_frac", "oxygen_ppm", "place", "backing_flow_m3_s", "event")
TEMPERATURE_HEAD = (
    "at_utc", "temperature_K", "as_entered", "at_rad", "distance_m", "side", "method", "after_arc_off_s", "event",
)  # fmt: skip


def oxygen_csv(reads: Sequence[OxygenRead]) -> str:
    """The oxygen series. A display without digits keeps its state and has no number.

    >>> print(oxygen_csv([OxygenRead("b.1.4", 0.0, "over range", None, "vent", None)]).splitlines()[1])
    1970-01-01T00:00:00.000Z,over range,,,vent,,b.1.4
    """
    return _csv(
        OXYGEN_HEAD,
        (
            (
                utc_of(r.at_s), r.state, r.oxygen_frac, None if r.oxygen_frac is None else float(f"{r.oxygen_frac * 1e6:.9g}"),
                r.place, r.flow_m3_s, r.event,
            )
            for r in reads
        ),
    )  # fmt: skip


def temperature_csv(reads: Sequence[TemperatureRead]) -> str:
    """The temperature series, each reading with the seconds since the last arc went out."""
    return _csv(
        TEMPERATURE_HEAD,
        (
            (
                utc_of(r.at_s), r.temperature_K, r.as_entered, r.at_rad, r.distance_m, r.side, r.method,
                r.after_arc_off_s, r.event,
            )
            for r in reads
        ),
    )  # fmt: skip


def json_text(thing: Any) -> str:
    """Any of our values as JSON, keys in order, two spaces deep: the same value gives the same text."""
    return json.dumps(to_data(thing), ensure_ascii=False, sort_keys=True, indent=2, allow_nan=False) + "\n"


def _csv(head: Sequence[str], rows: Iterable[Sequence[object]]) -> str:
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(head)
    writer.writerows([_cell(value) for value in row] for row in rows)
    return out.getvalue()


def _cell(value: object) -> object:
    """Typed text that a spreadsheet would run as a formula is kept as text."""
    if value is None:
        return ""
    return f"'{value}" if isinstance(value, str) and value[:1] in ("=", "+", "-", "@") else value
