"""Local dates as typed, and months counted on the calendar.

A day is the day at the place where the weld was made, as the record has it: no hour, no time zone, nothing to convert.
A period of months ends on the same day of the month; where that month has no such day, on its last: 31 August and six
months is 28 February, or the 29th in a leap year. That is the earlier of the two readings (the other is 1 March), so
nobody is let go on longer than either would; it is also how periods in months are counted in civil law.
"""

from __future__ import annotations

import calendar
import re
from datetime import date, timedelta

from brightroot.base.errors import Refused

_DAY = re.compile(r"\d{4}-\d{2}-\d{2}")
WANTED = "a local date like 2026-05-25, without hour or time zone"


def day_of(text: str, *, field: str) -> date:
    """A date as typed. Refused for anything but a calendar day.

    >>> day_of("2026-05-25", field="on").isoformat()
    '2026-05-25'
    """
    try:
        if _DAY.fullmatch(text):
            return date.fromisoformat(text)
    except ValueError:
        pass
    raise Refused(field=field, wanted=WANTED, got=text or "nothing", reason="refused.case")


def months_later(day: date, months: int) -> date:
    """The same day so many months on, or the last day of that month where it has no such day.

    >>> months_later(date(2026, 8, 31), 6).isoformat(), months_later(date(2027, 8, 31), 6).isoformat()
    ('2027-02-28', '2028-02-29')
    """
    year, month = divmod(day.year * 12 + day.month - 1 + months, 12)
    return date(year, month + 1, min(day.day, calendar.monthrange(year, month + 1)[1]))


def days_later(day: date, days: int) -> date:
    """So many days on."""
    return day + timedelta(days=days)
