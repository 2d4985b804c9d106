"""A record of a welder's qualification in our own arrangement: what the coupon was, what it brings, and which clause asks.

It is no form of any code and promises nothing: every line names the clause that wants the field, and how that is known.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence

from brightroot.base.source import Standing
from brightroot.documents.speech import Speech
from brightroot.documents.who import Say, worded
from brightroot.model.library import CodeRow
from brightroot.model.outline import Block, Boxes, Heading, Para, Table
from brightroot.model.qualification import Coupon, Qualification
from brightroot.rules.welders.book import Book
from brightroot.rules.welders.continuity import Continuity
from brightroot.rules.welders.ranges import COLUMNS, Ranges, members_of
from brightroot.rules.welders.spans import Span

# field of the coupon -> the variable of the code that asks for it; "" for what no variable decides
FIELDS = (
    ("procedure", ""), ("welded_on", ""), ("process", "process"), ("metal", ""), ("p_number", "base_metal"),
    ("outer_diameter_m", "diameter"), ("wall_m", ""), ("position", "position"), ("progression", "progression"),
    ("filler", ""), ("f_number", "filler"), ("filler_used", "filler_used"), ("filler_form", "filler_form"),
    ("insert", "insert"), ("deposit_m", "deposit"), ("layers_count", ""), ("backing", "backing"),
    ("gas_backing", "gas_backing"), ("current", "current"),
)  # fmt: skip
WIDTHS = (1.5, 1.6, 2.6, 1.7, 1.3)


def record_sheet(
    book: Book,
    held: Qualification,
    ranges: Ranges,
    lasting: Continuity | None,
    *,
    confirmed: Collection[str],
    speech: Speech,
) -> tuple[Block, ...]:
    """The blocks of one record."""
    say = speech.say
    rows = [_row(book, name, variable, held.coupon, ranges, confirmed, speech) for name, variable in FIELDS]
    return (
        Heading(say("sheet.record.coupon_heading"), 1),
        Table(_head(say("sheet.record.coupon"), speech), tuple(rows), WIDTHS),
        *_tests(book, held.coupon, speech),
        *_lasting(lasting, speech),
        *_papers(held.evidence, speech),
        _boxes(speech),
    )


def blank_sheet(book: Book, *, speech: Speech) -> tuple[Block, ...]:
    """The same record with empty fields for a pen."""
    say = speech.say
    empty = " " * 24
    rows = tuple(
        (say(f"field.{name}"), empty, empty, _clause(book, variable), _standing(book, variable, say))
        for name, variable in FIELDS
    )
    wanted = [row for row in book.table("welder_tests") if "test" in row.cells]
    tests = tuple((worded(str(r.cells["test"]), say), empty, empty, r.ref) for r in wanted)
    return (
        Para(say("sheet.record.blank")),
        Table(_head(say("sheet.record.coupon"), speech), rows, WIDTHS),
        Heading(say("sheet.record.tests_heading"), 1),
        Table(_test_head(speech), tests, (2, 1.5, 2, 1.5)),
        _boxes(speech),
    )


def _head(coupon: str, speech: Speech) -> tuple[str, ...]:
    say = speech.say
    names = ("range", "clause")
    return say("sheet.record.field"), coupon, *(say(f"sheet.record.{n}") for n in names), say("sheet.standing")


def _row(
    book: Book, name: str, variable: str, coupon: Coupon, ranges: Ranges, confirmed: Collection[str], speech: Speech
) -> tuple[str, ...]:
    say = speech.say
    return (
        say(f"field.{name}"),
        _value(coupon, name, say),
        _brings(variable, coupon, ranges, say),
        _clause(book, variable),
        _standing(book, variable, say, ranges, confirmed),
    )


def _value(coupon: Coupon, name: str, say: Say) -> str:
    value = getattr(coupon, name)
    if value is None or value == "":
        return say("sheet.record.not_told")
    if isinstance(value, bool):
        return say("choice.yes" if value else "choice.no")
    if hasattr(value, "as_entered"):
        return (
            f"{coupon.nps and f'NPS {coupon.nps}, '}{value.as_entered}"
            if name == "outer_diameter_m"
            else value.as_entered
        )
    return worded(str(value), say)


def _brings(variable: str, coupon: Coupon, ranges: Ranges, say: Say) -> str:
    """What it brings, in words; the coupon's own value where the code lets nothing change."""
    if variable in ("diameter", "deposit"):
        return _span(ranges.diameter if variable == "diameter" else ranges.deposit, say)
    if variable == "position":
        return _positions(ranges.position, say)
    if variable in ("base_metal", "filler"):
        groups = ranges.metals if variable == "base_metal" else ranges.fillers
        letter = "P-" if variable == "base_metal" else "F-"
        return ", ".join(letter + n for n in members_of(groups)) or say("sheet.record.no_row")
    if variable == "backing":
        return say("choice.yes") + (f", {say('choice.no')}" if coupon.backing is False else "")
    return _value(coupon, variable, say) if variable and hasattr(coupon, variable) else ""


def _span(span: Span | None, say: Say) -> str:
    if span is None:
        return say("sheet.record.no_row")
    return span.text or say("sheet.record.unlimited")


def _positions(row: CodeRow | None, say: Say) -> str:
    if row is None:
        return say("sheet.record.no_row")
    columns = [(name, row.cells.get(name)) for name in COLUMNS]
    told = [
        f"{say(f'sheet.record.{name}')}: {', '.join(map(str, cell))}"
        for name, cell in columns
        if isinstance(cell, list)
    ]
    return "; ".join(told) or str(row.cells.get("test", ""))


def _variable_row(book: Book, variable: str) -> CodeRow | None:
    return next((r for r in book.table("welder_variables") if variable and r.cells.get("variable") == variable), None)


def _clause(book: Book, variable: str) -> str:
    row = _variable_row(book, variable)
    return row.ref if row else "–"


def _standing(
    book: Book, variable: str, say: Say, ranges: Ranges | None = None, confirmed: Collection[str] = ()
) -> str:
    """How the clause and its table are known: the weakest of the rows."""
    own = _variable_row(book, variable)
    if own is None:
        return "–"
    rows = [own, *_range_rows(variable, ranges)] if ranges else [own]
    waiting = [r for r in rows if r.standing is Standing.MEMORY and r.id not in confirmed]
    if waiting:
        return say("standing.memory")
    confirmed_here = any(r.standing is Standing.MEMORY for r in rows)
    return say("sheet.record.confirmed" if confirmed_here else f"standing.{own.standing}")


def _range_rows(variable: str, ranges: Ranges) -> Sequence[CodeRow]:
    spans = {"diameter": ranges.diameter, "deposit": ranges.deposit}
    if variable in spans:
        span = spans[variable]
        return span.rows if span else ()
    if variable == "position":
        return (ranges.position,) if ranges.position else ()
    return {"base_metal": ranges.metals, "filler": ranges.fillers}.get(variable, ())


def _test_head(speech: Speech) -> tuple[str, ...]:
    return tuple(speech.say(f"sheet.record.{name}") for name in ("test", "result", "report", "clause"))


def _tests(book: Book, coupon: Coupon, speech: Speech) -> tuple[Block, ...]:
    say = speech.say
    refs = {str(r.cells["test"]): r.ref for r in book.table("welder_tests") if "test" in r.cells}
    rows = tuple(
        (worded(t.test, say), worded(t.result, say), t.report or say("sheet.record.not_told"), refs.get(t.test, "–"))
        for t in coupon.tests
    )
    made: Block = Table(_test_head(speech), rows, (2, 1.5, 2, 1.5)) if rows else Para(say("sheet.record.not_told"))
    return Heading(say("sheet.record.tests_heading"), 1), made


def _lasting(lasting: Continuity | None, speech: Speech) -> tuple[Block, ...]:
    if lasting is None:
        return ()
    said = speech.say(lasting.because, **dict(lasting.params))
    refs = ", ".join(dict.fromkeys(row.ref for row in lasting.rows))
    text = f"{said} ({refs}; {speech.say(f'standing.{lasting.standing}')})" if refs else said
    return Heading(speech.say("sheet.record.lasting_heading"), 1), Para(text)


def _papers(evidence: tuple[str, ...], speech: Speech) -> tuple[Block, ...]:
    if not evidence:
        return ()
    head = (speech.say("sheet.record.paper"),)
    return Heading(speech.say("sheet.record.papers_heading"), 1), Table(head, tuple((e,) for e in evidence))


def _boxes(speech: Speech) -> Block:
    return Boxes(tuple(speech.say(f"sheet.record.sign_{who}") for who in ("welder", "witness", "owner")))
