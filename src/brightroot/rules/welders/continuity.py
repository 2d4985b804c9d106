"""How long a qualification lasts: by process, where any use keeps all, or by certificate, which also ends by itself.

The last day counts as in: who last welded on 25 May has gone six months without only when 25 November is over, so a
weld on 25 November still keeps it. Days after the one asked about are not looked at.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from itertools import pairwise

from brightroot.base.errors import Broken
from brightroot.base.source import Standing
from brightroot.model.clause import Outcome
from brightroot.model.library import CodeRow
from brightroot.model.qualification import JointNeeds, LastUse, Qualification
from brightroot.rules.welders.book import Book, number_of, standing_of, waits_for, words_of
from brightroot.rules.welders.dates import day_of, days_later, months_later

COUPON = "coupon"
WARN_DAYS = 30  # common practice, no source: early enough to plan a weld


@dataclass(frozen=True, slots=True)
class Continuity:
    """Whether a qualification still lasts on a day. `until` is the last day in; "" where nothing tells it.

    `because` is the id of a message; `params` fill it. `soon` warns that the last day is near. `renewed_by` is the
    planned joint that would keep it, `evidence` what shows the use it rests on.
    """

    outcome: Outcome
    until: str
    because: str
    params: tuple[tuple[str, str], ...]
    rows: tuple[CodeRow, ...]
    waits_for: tuple[str, ...]
    soon: bool = False
    last: LastUse | None = None
    renewed_by: str = ""

    @property
    def standing(self) -> Standing:
        return standing_of(self.rows)


def continuity_of(
    book: Book,
    uses: Sequence[LastUse],
    *,
    on: str,
    started_on: str = "",
    ends_from: str = "",
    confirmed: Collection[str] = (),
    warn_days: int = WARN_DAYS,
) -> Continuity:
    """Whether the process was used lately enough on a day.

    `started_on`: the day of the coupon or of a renewal, which is a use like any other. `ends_from`: the day from which
    a certificate that ends by itself counts. Without any recorded use it is unknown, never over.
    """
    day = day_of(on, field="on")
    row = _period(book)
    started = (LastUse(started_on, "", weld=COUPON),) if started_on else ()
    counted = (*_of_process(row, uses), *started)
    dated = [(day_of(u.date, field="last_use.date"), u) for u in counted]
    past = [(d, u) for d, u in dated if d <= day]
    if not past:
        because = "continuity.no_use" if not dated else "continuity.later_only"
        return Continuity(Outcome.UNKNOWN, "", because, (("on", on),), (row,), ())
    last_day, last = max(past, key=lambda pair: pair[0])
    end, rows, ends_told = _end(book, row, last_day, ends_from)
    rows = (*rows, *_event(book, "started")) if last.weld == COUPON else rows
    return _said(day, end, last, rows, waits_for(rows, confirmed), ends_told, warn_days)


def _period(book: Book) -> CodeRow:
    row = next((row for row in book.table("welder_continuity") if "months" in row.cells), None)
    if row is None or row.cells.get("per") not in ("process", "certificate"):
        wanted = "a row with months per process or per certificate"
        raise Broken(where=f"{book.code}, welder_continuity", wanted=wanted, got=row.id if row else "nothing")
    return row


def _event(book: Book, event: str) -> tuple[CodeRow, ...]:
    return tuple(row for row in book.table("welder_continuity") if row.cells.get("event") == event)


def _of_process(row: CodeRow, uses: Iterable[LastUse]) -> tuple[LastUse, ...]:
    """Those of the row's process, by any of its names."""
    names = {name.casefold() for name in words_of(row, "processes")}
    return tuple(use for use in uses if " ".join(use.process.split()).casefold() in names)


def _end(book: Book, row: CodeRow, last: date, ends_from: str) -> tuple[date, tuple[CodeRow, ...], bool]:
    """The last day in, the rows behind it, and whether every day that it needs is told."""
    end = months_later(last, int(number_of(row, "months")))
    ends = next(iter(_event(book, "ends")), None)
    if ends is None:
        return end, (row,), True
    if not ends_from:
        return end, (row, ends), False
    by_itself = months_later(day_of(ends_from, field="issued_on"), 12 * int(number_of(ends, "years")))
    return min(end, by_itself), (row, ends), True


def _said(
    day: date, end: date, last: LastUse, rows: tuple[CodeRow, ...], waiting: tuple[str, ...], told: bool, warn_days: int
) -> Continuity:
    over = day > end
    params = (("on", day.isoformat()), ("last", last.date), ("until", end.isoformat()), ("ref", rows[0].ref))
    outcome, because = (Outcome.FAIL, "continuity.over") if over else (Outcome.PASS, "continuity.lasts")
    if waiting:
        because = "continuity.not_confirmed_over" if over else "continuity.not_confirmed_lasts"
    elif not told and not over:
        because = "continuity.end_not_told"
    sure = not waiting and (told or over)
    soon = not over and end <= days_later(day, warn_days)
    return Continuity(outcome if sure else Outcome.UNKNOWN, end.isoformat(), because, params, rows, waiting, soon, last)


def of_qualification(
    book: Book,
    held: Qualification,
    uses: Sequence[LastUse],
    *,
    on: str,
    confirmed: Collection[str] = (),
    also: Sequence[Qualification] = (),
) -> Continuity:
    """Of one qualification on a day: its coupon and renewals start the period, a revocation ends it.

    `also` are the welder's other qualifications: by process, their coupons and renewals bring this one back too.
    """
    day = day_of(on, field="on")
    if held.revoked_on and day_of(held.revoked_on, field="revoked_on") <= day:
        rows = _event(book, "revoked")
        params = (("on", on), ("revoked", held.revoked_on))
        return Continuity(Outcome.FAIL, held.revoked_on, "continuity.revoked", params, rows, waits_for(rows, confirmed))
    if day_of(held.coupon.welded_on, field="welded_on") > day:
        return Continuity(Outcome.FAIL, "", "continuity.not_yet", (("on", on),), (), ())
    by_process = _period(book).cells.get("per") == "process"
    renewal = _event(book, "renewed")
    others = [q for q in also if by_process and q.coupon.process == held.coupon.process and passed(q)]
    back = [d for q in (held, *others) for d in (q.coupon.welded_on, *q.renewed_on) if renewal or q is held]
    started = max(d for d in back if d <= on)
    if not by_process:
        uses = [u for u in uses if u.metal and u.metal in (held.coupon.p_number, held.coupon.metal)]
    lapsed = lapse(book, uses, since=started, on=on)
    if lapsed:
        gap = (("on", on), ("after", lapsed[0]), ("before", lapsed[1]))
        return Continuity(Outcome.UNKNOWN, "", "continuity.gap", gap, (_period(book),), ())
    ends_from = max((held.issued_on or held.coupon.welded_on, *held.renewed_on))
    found = continuity_of(book, uses, on=on, started_on=started, ends_from=ends_from, confirmed=confirmed)
    rows = (*found.rows, *(renewal if started != held.coupon.welded_on else ()))
    return _resting_on(found, rows, confirmed)


def _resting_on(found: Continuity, rows: tuple[CodeRow, ...], confirmed: Collection[str]) -> Continuity:
    """The same resting on these rows: a renewal by a row that nobody confirmed brings nothing back yet."""
    waiting = waits_for(rows, confirmed)
    if not waiting or found.outcome is Outcome.UNKNOWN:
        return replace(found, rows=rows, waits_for=waiting)
    because = "not_confirmed_over" if found.outcome is Outcome.FAIL else "not_confirmed_lasts"
    return replace(found, outcome=Outcome.UNKNOWN, because=f"continuity.{because}", rows=rows, waits_for=waiting)


def passed(held: Qualification) -> bool:
    """Whether its coupon's tests are recorded and none failed."""
    return bool(held.coupon.tests) and all(test.result == "passed" for test in held.coupon.tests)


def lapse(book: Book, uses: Sequence[LastUse], *, since: str, on: str) -> tuple[str, str] | None:
    """The first two recorded uses from a start on that lie too far apart. What is not recorded may still have been.

    A later weld does not bring back what was over, so a gap must be explained or renewed.
    """
    row = _period(book)
    days = sorted({since, *(u.date for u in _of_process(row, uses) if since <= u.date <= on)})
    for sooner, later in pairwise(days):
        end = months_later(day_of(sooner, field="date"), int(number_of(row, "months")))
        if day_of(later, field="date") > end:
            return sooner, later
    return None


def renewing(
    book: Book, now: Continuity, planned: Iterable[JointNeeds], *, on: str, within_range: Collection[str] = ()
) -> JointNeeds | None:
    """The first planned joint that would keep it: from that day to the last day in, by the process.

    By process any joint will do. By certificate only one that it covers: `within_range` names those.
    """
    if now.outcome is Outcome.FAIL or not now.until:
        return None
    row = _period(book)
    own = {name.casefold() for name in words_of(row, "processes")}
    by_process = row.cells.get("per") == "process"
    fits = [
        joint
        for joint in planned
        if joint.planned_on
        and on <= joint.planned_on <= now.until
        and joint.process.casefold() in own
        and (by_process or joint.joint in within_range)
    ]
    return min(fits, key=lambda joint: (joint.planned_on, joint.joint), default=None)
