"""Instants as ISO 8601 text in UTC and as seconds. There is no clock here: time always comes in as an argument."""

from __future__ import annotations

from datetime import UTC, date, datetime

from brightroot.base.errors import Refused


def seconds_of(at_utc: str, *, field: str = "at_utc") -> float:
    """Seconds since 1970 of an ISO 8601 instant that carries its offset.

    >>> seconds_of("2026-03-02T10:42:00Z")
    1772448120.0
    """
    try:
        moment = datetime.fromisoformat(at_utc)
    except ValueError:
        raise Refused(field=field, wanted="a time like 2026-03-02T10:42:00Z", got=at_utc) from None
    if moment.tzinfo is None:
        raise Refused(field=field, wanted="a time with its offset, like 2026-03-02T10:42:00Z", got=at_utc)
    return moment.timestamp()


def utc_of(seconds: float) -> str:
    """The ISO text, to the millisecond, of seconds since 1970.

    >>> utc_of(1772448120.0)
    '2026-03-02T10:42:00.000Z'
    """
    return datetime.fromtimestamp(seconds, UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")


def read_day(text: str, *, field: str) -> str:
    """A day as it stands in a certificate, in ISO 8601. Days are compared as days: no clock and no zone moves them.

    >>> read_day(" 2026-02-28 ", field="on")
    '2026-02-28'
    """
    try:
        return date.fromisoformat(text.strip()).isoformat()
    except ValueError:
        raise Refused(field=field, wanted="a day like 2026-03-02", got=text or "nothing") from None
