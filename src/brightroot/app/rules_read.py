"""The rules as they stand in a shop: every row with its standing, what was confirmed by whom, and what was tightened."""

from __future__ import annotations

import difflib
import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any, TypeVar

from brightroot.app.ports import Place
from brightroot.base.errors import Broken, Refused
from brightroot.base.instant import utc_of
from brightroot.base.source import Standing
from brightroot.model.entry import entered
from brightroot.model.event import Event
from brightroot.model.library import Clause, Code, CodeRow, Library
from brightroot.model.people import RULES_KINDS
from brightroot.model.qualification import Confirmation
from brightroot.model.streams import SHOP
from brightroot.records.order import settled
from brightroot.rules.confirm import Row
from brightroot.rules.own import tightening

R = TypeVar("R", Clause, CodeRow, Clause | CodeRow)

OWN = "own/shop"  # the code that the shop's tightened rows make, beside those they tighten
STAMP_WANTED = "your stamp, like W-07"


@dataclass(frozen=True, slots=True)
class Confirmed:
    """A confirmation that stands, with the event by which it can be taken back."""

    told: Confirmation
    event: str


@dataclass(frozen=True, slots=True)
class Tightened:
    """A stricter limit of the shop's own on the fact of a code's row."""

    limit: object
    why: str
    by: str
    at_utc: str
    event: str


@dataclass(frozen=True, slots=True)
class RuleRow:
    """One row of a code as a person reads it: a clause with a limit, or a row of one of its tables."""

    code: Code
    row: Clause | CodeRow
    confirmed: tuple[Confirmed, ...]
    tightened: Tightened | None

    @property
    def decides(self) -> bool:
        """Whether a verdict may rest on it today."""
        return self.row.standing is not Standing.MEMORY or any(one.told.complete for one in self.confirmed)

    @property
    def clause(self) -> Clause | None:
        """The clause, where it is one: only a clause has a limit that can be tightened."""
        return self.row if isinstance(self.row, Clause) else None


def rule_rows(place: Place) -> tuple[RuleRow, ...]:
    """Every row of every code, those that wait for confirmation first within their code."""
    events = _events(place)
    confirmed, tightened = _confirmed(events), _tightened(events)
    rows = [
        RuleRow(code, row, confirmed.get((code.id, row.id), ()), tightened.get((code.id, row.id)))
        for code in place.library.codes.values()
        for row in _rows_of(code)
    ]
    return tuple(sorted(rows, key=lambda row: (row.code.id, row.decides)))


def confirmed_rows(place: Place) -> frozenset[Row]:
    """The rows that somebody confirmed and nobody took back, as (code, clause)."""
    return frozenset((told.code, told.row) for told in confirmations(place) if told.complete)


def confirmations(place: Place) -> tuple[Confirmation, ...]:
    """Every confirmation that stands: which row, who, when, in which edition and where in it."""
    return tuple(one.told for found in _confirmed(_events(place)).values() for one in found)


def confirm_row(
    place: Place, code: str, row: str, *, edition: str, ref: str, by: str, at_utc: str = "", client_id: str = ""
) -> Event:
    """Record that a person read this row in the text itself: in which edition, and where. On disk when this returns.

    It confirms the row as it stands. Who reads another number there does not confirm: they write their own row.
    """
    of = _code(place.library, code)
    found = _named(of, row, _rows_of(of))
    data = {"code": of.id, "row": found.id, "edition": edition, "ref": ref}
    return _write(place, "row.confirmed", data, by=by, at_utc=at_utc, client_id=client_id)


def tighten(
    place: Place, code: str, clause: str, limit: object, *, why: str, by: str, at_utc: str = "", client_id: str = ""
) -> Event:
    """Set a stricter limit of the shop's own on the fact of a code's row. A looser one is Refused with both limits."""
    of = _code(place.library, code)
    row = _named(of, clause, of.clauses)
    if limit == row.limit and not row.table:
        raise Refused(field="limit", wanted="a stricter limit than the code's", got=str(limit), reason="refused.plain")
    own = _own_code(of.edition, (_own_clause(of, row, limit),), of)
    try:
        tightening(own=own, codes=(of,))
    except Broken as broken:  # the limit cannot be read: the person who typed it can mend that
        raise Refused(field="limit", wanted=broken.wanted, got=broken.got) from broken
    data = {"code": of.id, "row": row.id, "limit": limit, "why": why}
    return _write(place, "rule.tightened", data, by=by, at_utc=at_utc, client_id=client_id)


def limit_typed(clause: Clause, text: str) -> object:
    """A limit as it was typed: words with their unit, a count where the row has one, or JSON for ends and lists.

    >>> from brightroot.base.source import Standing
    >>> count = Clause("c", "", "", "at_most", "n_count", "", "", Standing.MEMORY, limit=3)
    >>> limit_typed(count, "2"), limit_typed(replace(count, limit="1 mm"), "0.5 mm")
    (2, '0.5 mm')
    """
    text = text.strip()
    if not text:
        raise Refused(field="limit", wanted="a limit", got="nothing", reason="refused.missing")
    counted = isinstance(clause.limit, int | float) and not isinstance(clause.limit, bool)
    if text[0] not in "[{" and not counted:
        return text
    try:
        return json.loads(text)
    except ValueError:
        wanted = "a number" if counted else 'JSON like ["silver"]'
        raise Refused(field="limit", wanted=wanted, got=text) from None


def take_back(place: Place, event: str, *, why: str, by: str) -> Event:
    """Withdraw a confirmation or a tightening. Both stay in the log."""
    if event not in {e.id for e in _events(place)}:
        raise Refused(
            field="event", wanted="an event of the shop's rules that stands", got=event, reason="refused.name"
        )
    return _write(place, "event.withdrawn", {"why": why}, by=by, corrects=event)


def own_codes(place: Place, *, judges: str = "joint") -> tuple[Code, ...]:
    """The shop's tightened rows as a code of its own, judged beside the others; nothing where nothing is tightened."""
    rows = [
        (of, _own_clause(of, row, told.limit))
        for (code, clause), told in _tightened(_events(place)).items()
        if (of := place.library.codes.get(code)) and of.judges == judges and (row := _clause(of, clause))
    ]
    if not rows:
        return ()
    tables = {name: table for of, _ in rows for name, table in of.tables.items()}
    own = _own_code("", tuple(row for _, row in rows), rows[0][0])
    return (replace(own, tables=tables, judges=judges),)


def check_own_folders(library: Library, ours: Library) -> None:
    """Own folders may tighten a code and never loosen it: Refused with both limits where one does."""
    for name, own in library.codes.items():
        if name not in ours.codes:
            tightening(own=own, codes=tuple(ours.codes.values()))


def _own_clause(of: Code, row: Clause, limit: object) -> Clause:
    """The row under a name of the shop's own. What the shop decided needs nobody's memory: it is written in its log."""
    name = f"{of.id.replace('/', '-')}.{row.id}"
    return replace(row, id=name, limit=limit, ref=f"{OWN}: {row.ref}", source=OWN, standing=Standing.PUBLISHED)


def _own_code(edition: str, rows: tuple[Clause, ...], of: Code) -> Code:
    return Code(id=OWN, title=OWN, edition=edition, covers="", left_out="", clauses=rows, tables=of.tables)


def _code(library: Library, code: str) -> Code:
    if code not in library.codes:
        near = tuple(difflib.get_close_matches(code, library.codes, n=3)) or tuple(library.codes)[:3]
        wanted = "a code of the library"
        raise Refused(field="code", wanted=wanted, got=code or "nothing", near=near, reason="refused.name")
    return library.codes[code]


def _rows_of(code: Code) -> tuple[Clause | CodeRow, ...]:
    return (*code.clauses, *code.rows)


def _named(of: Code, name: str, rows: Sequence[R]) -> R:
    found = next((row for row in rows if row.id == name), None)
    if found is None:
        near = tuple(difflib.get_close_matches(name, [row.id for row in rows], n=3))
        wanted = f"a row of {of.id}"
        raise Refused(field="row", wanted=wanted, got=name or "nothing", near=near, reason="refused.name")
    return found


def _clause(code: Code, name: str) -> Clause | None:
    return next((clause for clause in code.clauses if clause.id == name), None)


def _events(place: Place) -> tuple[Event, ...]:
    return settled(place.store.events(SHOP)).events


def _confirmed(events: tuple[Event, ...]) -> dict[Row, tuple[Confirmed, ...]]:
    found: dict[Row, tuple[Confirmed, ...]] = {}
    for (code, row), event in _of_kind(events, "row.confirmed"):
        told = Confirmation(code, row, event.by, event.at_utc, event.data["edition"], event.data["ref"])
        found[code, row] = (*found.get((code, row), ()), Confirmed(told, event.id))
    return found


def _tightened(events: tuple[Event, ...]) -> dict[Row, Tightened]:
    """The newest limit for each row."""
    return {
        row: Tightened(event.data["limit"], event.data["why"], event.by, event.at_utc, event.id)
        for row, event in _of_kind(events, "rule.tightened")
    }


def _of_kind(events: tuple[Event, ...], kind: str) -> Iterator[tuple[Row, Event]]:
    return (((event.data["code"], event.data["row"]), event) for event in events if event.kind == kind)


def _write(place: Place, kind: str, facts: dict[str, Any], *, by: str, at_utc: str = "", client_id: str = "",
           corrects: str = "") -> Event:  # fmt: skip
    if not by.strip():
        raise Refused(field="by", wanted=STAMP_WANTED, got="nothing", reason="refused.missing")
    data = entered(kind, facts, RULES_KINDS)
    at = at_utc or utc_of(place.now_s())
    return place.store.append(SHOP, at, by.strip(), kind, data, corrects=corrects, client_id=client_id)
