"""A code's rows for welders, found by table; and which of them decide nothing yet because they are from memory."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass

from brightroot.base.errors import Broken, Refused
from brightroot.base.source import Standing, weakest
from brightroot.model.library import Code, CodeRow
from brightroot.model.qualification import Confirmation


@dataclass(frozen=True, slots=True, eq=False)
class Book:
    """The rows of one edition of one code, by table and by name."""

    code: str
    edition: str
    tables: Mapping[str, tuple[CodeRow, ...]]
    rows: Mapping[str, CodeRow]

    def table(self, name: str) -> tuple[CodeRow, ...]:
        """The rows of a table in their order; none where the code has no such table here."""
        return self.tables.get(name, ())


def book_of(code: Code) -> Book:
    """The book of a code whose rows judge welders. Refused for a code that has none."""
    tables: dict[str, tuple[CodeRow, ...]] = {}
    for row in code.rows:
        tables[row.table] = (*tables.get(row.table, ()), row)
    if "welder_variables" not in tables:
        raise Refused(field="code", wanted="a code with rows for welders", got=code.id, reason="refused.name")
    return Book(code.id, code.edition, tables, {row.id: row for row in code.rows})


def confirmed_in(book: Book, confirmations: Iterable[Confirmation]) -> frozenset[str]:
    """The rows of this book that somebody confirmed with their stamp, the day and the edition they read."""
    return frozenset(c.row for c in confirmations if c.complete and c.code == book.code and c.row in book.rows)


def waits_for(rows: Iterable[CodeRow], confirmed: Collection[str]) -> tuple[str, ...]:
    """The rows that are from memory and unconfirmed, each once, in order: nothing may rest on them."""
    return tuple(dict.fromkeys(r.id for r in rows if r.standing is Standing.MEMORY and r.id not in confirmed))


def standing_of(rows: Iterable[CodeRow]) -> Standing:
    """A figure stands no better than the weakest row it rests on; without any row nobody has seen it."""
    found = [row.standing for row in rows]
    return weakest(found) if found else Standing.MEMORY


def seen_first(rows: Iterable[CodeRow], confirmed: Collection[str]) -> tuple[CodeRow, ...]:
    """Rows that decide before rows that wait; else as they stand in the table."""
    return tuple(sorted(rows, key=lambda row: bool(waits_for((row,), confirmed))))


def words_of(row: CodeRow, cell: str) -> tuple[str, ...]:
    """A cell that lists words. Broken where it does not."""
    found = row.cells.get(cell, ())
    if not isinstance(found, list | tuple) or not all(isinstance(word, str) for word in found):
        raise Broken(where=f"{row.table}, {row.id}, {cell}", wanted="a list of words", got=repr(found))
    return tuple(found)


def number_of(row: CodeRow, cell: str) -> float:
    """A cell that is a number. Broken where it is not."""
    found = row.cells.get(cell)
    if isinstance(found, bool) or not isinstance(found, int | float):
        raise Broken(where=f"{row.table}, {row.id}, {cell}", wanted="a number", got=repr(found))
    return float(found)
