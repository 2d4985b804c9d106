"""A folder of rules checked by its own worked cases: each runs, and each row is shown passing, failing and unknown."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from brightroot.base.errors import Broken, OutOfRange, Refused
from brightroot.base.source import Source
from brightroot.base.units import dimension_of, read
from brightroot.model.library import Clause, Code, CodeRow
from brightroot.rules.checks import CHECKS
from brightroot.rules.fact import Fact
from brightroot.rules.judge import judge
from brightroot.rules.own import tightening
from brightroot.rules.welders.book import book_of
from brightroot.rules.welders.cases import run_case

THREE_WAYS = ("pass", "fail", "unknown")
Case = Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Problem:
    """What is wrong, and where: a row or a case by its number."""

    where: str
    says: str


def problems_of(
    code: Code,
    *,
    cases: Sequence[Case],
    welder_cases: Sequence[Case] = (),
    welder_base: Case | None = None,
    sources: Mapping[str, Source],
    beside: Sequence[Code] = (),
    released: str = "",
    frozen: str = "",
    digest: str = "",
) -> tuple[Problem, ...]:
    """Everything that is wrong with a folder of rules, each by its name; nothing where all its cases run as they say.

    `beside` are the codes that these rules stand beside: they may be stricter than those and never looser.
    """
    return (
        *_frozen(released, frozen, digest),
        *_rows(code, sources),
        *_loosened(code, beside),
        *_cases(code, cases),
        *_shown(code, cases),
        *_welder_cases(code, welder_cases, welder_base or {}),
    )


def _frozen(released: str, frozen: str, digest: str) -> Iterator[Problem]:
    if released and not frozen:
        yield Problem("about.toml", f'released {released} without its digest; write frozen = "{digest}"')
    if frozen and frozen != digest:
        yield Problem("about.toml", "the rows were changed after the release; put them back and write an erratum")


def _rows(code: Code, sources: Mapping[str, Source]) -> Iterator[Problem]:
    seen: set[str] = set()
    rows: tuple[Clause | CodeRow, ...] = (*code.clauses, *code.rows)
    for row in rows:
        if row.id in seen:
            yield Problem(row.id, "the name is used twice")
        seen.add(row.id)
        if row.source not in sources:
            yield Problem(row.id, f"no source {row.source!r}")
    for clause in code.clauses:
        if clause.check not in CHECKS:
            yield Problem(clause.id, f"check: one of {', '.join(CHECKS)} is wanted, not {clause.check!r}")
        if clause.table and clause.table not in code.tables:
            yield Problem(clause.id, f"no table {clause.table!r}")
    if not seen:
        yield Problem(code.id, "no clause and no row")


def _loosened(code: Code, beside: Sequence[Code]) -> Iterator[Problem]:
    try:
        tightening(own=code, codes=[other for other in beside if other.id != code.id])
    except (Refused, Broken) as fault:
        yield Problem(getattr(fault, "field", getattr(fault, "where", "")), str(fault))


def _cases(code: Code, cases: Sequence[Case]) -> Iterator[Problem]:
    for number, case in enumerate(cases, 1):
        where = f"cases.toml, case {number}"
        missing = next((name for name in ("clause", "facts", "verdict") if name not in case), "")
        if missing:
            yield Problem(where, f"{missing} is missing")
            continue
        yield from _run(f"{where}, {case['clause']}", lambda case=case: _judged(code, case))  # type: ignore[misc]


def _judged(code: Code, case: Case) -> str:
    """What differs, or nothing."""
    facts = {name: fact_typed(name, typed) for name, typed in case["facts"].items()}
    found = next((v for v in judge(code=code, facts=facts) if v.clause == case["clause"]), None)
    if found is None:
        return f"no clause {case['clause']!r}"
    if found.outcome.value == case["verdict"]:
        return ""
    return (
        f"says {case['verdict']}, comes out {found.outcome.value}: wanted {found.wanted}, got {found.got or 'nothing'}"
    )


def fact_typed(name: str, typed: Any, where: str = "") -> Fact:
    """A fact of a case as it is typed: a list is one for each place, text with a unit is read, "" is not recorded."""
    if isinstance(typed, list):
        return Fact(name, each=tuple(fact_typed(name, one, f"run {i}") for i, one in enumerate(typed, 1)))
    if isinstance(typed, str) and typed and dimension_of(name):
        reading = read(typed, field=name)
        return Fact(name, reading.value, reading.as_entered, where=where)
    return Fact(name, typed, where=where)


def _shown(code: Code, cases: Sequence[Case]) -> Iterator[Problem]:
    shown = {(case.get("clause"), case.get("verdict")) for case in cases}
    for clause in code.clauses:
        missing = [way for way in THREE_WAYS if (clause.id, way) not in shown]
        if missing:
            yield Problem(clause.id, f"no worked case that is {' or '.join(missing)}")


def _welder_cases(code: Code, cases: Sequence[Case], base: Case) -> Iterator[Problem]:
    if not any(row.table == "welder_variables" for row in code.rows):
        return
    book = book_of(code)
    if not cases:
        yield Problem("welder_cases.toml", "no worked case for its rows")
    for number, case in enumerate(cases, 1):
        where = f"welder_cases.toml, case {number}"

        def differs(case: Case = case) -> str:
            found = run_case(book, case, base)
            return "; ".join(f"{name}: says {said!r}, comes out {got!r}" for name, (said, got) in found.items())

        yield from _run(where, differs)


def _run(where: str, differs: Callable[[], str]) -> Iterator[Problem]:
    """A case that cannot be run is a problem of its own, and the others run on."""
    try:
        says = differs()
    except (Refused, OutOfRange, Broken) as fault:
        says = str(fault)
    except (KeyError, TypeError, ValueError, AttributeError) as fault:
        says = f"cannot be run: {fault!r}"
    if says:
        yield Problem(where, says)
