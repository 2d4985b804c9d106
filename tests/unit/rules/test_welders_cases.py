"""Worked cases of every code's rows for welders run themselves, and each row, changed in any cell, is caught by one."""

import copy
import tomllib
from dataclasses import replace

import pytest

from brightroot.base.errors import Broken, Refused
from brightroot.base.source import Standing
from brightroot.library.load import OURS, load_library
from brightroot.rules.tint_table import TABLE as COLOUR
from brightroot.rules.welders.book import Book, book_of
from brightroot.rules.welders.cases import run_case

FOLDERS = sorted(path.parent for path in (OURS / "codes").glob("*/*/welder_cases.toml"))


def book_in(folder):
    return book_of(load_library().codes["/".join(folder.parts[-2:])])


def read_cases(folder):
    data = tomllib.loads((folder / "welder_cases.toml").read_text(encoding="utf-8"))
    return data.pop("case"), data


def every_case():
    for folder in FOLDERS:
        cases, base = read_cases(folder)
        for number, case in enumerate(cases, 1):
            yield pytest.param(folder, case, base, id=f"{folder.parent.name}-{number}-{case['kind']}-{case['rows'][0]}")


@pytest.mark.parametrize(("folder", "case", "base"), list(every_case()))
def test_case(folder, case, base):
    assert run_case(book_in(folder), case, base) == {}, case["why"]


def test_there_are_enough_and_each_is_argued():
    cases = [(folder, case) for folder in FOLDERS for case in read_cases(folder)[0]]
    assert len(cases) >= 200
    for folder, case in cases:
        assert len(case["why"]) > 12 and case["why"].endswith(".") and case["gives"]
        assert set(case["rows"]) <= set(book_in(folder).rows), case


def test_an_unknown_kind_is_refused():
    with pytest.raises(Broken, match="kind"):
        run_case(book_in(FOLDERS[0]), {"kind": "guess", "gives": {}}, {})


# ---------- mutation


def changed(value):
    """Every way to change a cell a little: a number shifted, an item dropped, a word or a yes turned."""
    if isinstance(value, bool):
        yield not value
    elif isinstance(value, int | float):
        yield value + 1
        yield value - 1 if value > 0 else value + 2
    elif isinstance(value, str):
        number, _, unit = value.rpartition(" ")
        yield (
            f"{number} 1/16 {unit}"
            if number.isdigit() and unit == "in"
            else f"1{value}"
            if unit == "mm"
            else f"{value}x"
        )
    elif isinstance(value, list):
        yield from ([*value[:i], *value[i + 1 :]] for i in range(len(value)))
        yield from (
            [*value[:i], new, *value[i + 1 :]] for i, v in enumerate(value) if isinstance(v, list) for new in changed(v)
        )
    elif isinstance(value, dict):
        yield from ({**value, key: new} for key, inner in value.items() for new in changed(inner))


def mutants(row):
    other = Standing.PUBLISHED if row.standing is Standing.MEMORY else Standing.MEMORY
    yield "standing", replace(row, standing=other)
    for cell, value in row.cells.items():
        for new in changed(value):
            yield f"{cell} = {new}", replace(row, cells={**row.cells, cell: new})
        if cell not in ("variable", "check", "test", "event", "metal", "filler", "position"):
            rest = {name: old for name, old in row.cells.items() if name != cell}
            yield f"no {cell}", replace(row, cells=rest)


def with_row(book, row, new):
    rows = [new if r is row else r for r in book.table(row.table)]
    rows = [r for r in rows if r is not None]
    kept = {name: r for name, r in book.rows.items() if r is not row} | ({new.id: new} if new else {})
    return Book(book.code, book.edition, {**book.tables, row.table: tuple(rows)}, kept)


def caught(book, cases, base):
    for case in cases:
        try:
            if run_case(book, case, base):
                return True
        except (Broken, Refused, KeyError, StopIteration, ValueError, TypeError, ZeroDivisionError):
            return True
    return False


@pytest.mark.parametrize(
    ("folder", "name"),
    [(folder, name) for folder in FOLDERS for name, row in sorted(book_in(folder).rows.items()) if row.table != COLOUR],
    ids=lambda value: value if isinstance(value, str) else value.parent.name,
)
def test_a_changed_row_is_caught(folder, name):
    book = book_in(folder)
    row = book.rows[name]
    cases, base = read_cases(folder)
    own = [case for case in cases if name in case["rows"]]
    assert own, "no case is argued from this row"
    cases = copy.copy(own) + [case for case in cases if case not in own]
    survivors = [
        what for what, new in (*mutants(row), ("no row", None)) if not caught(with_row(book, row, new), cases, base)
    ]
    assert survivors == []
