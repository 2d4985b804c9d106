"""May this welder make this joint on this day: every variable with its clause, its value and its verdict.

The code's table says which variables there are and which check each makes. What rests on a row from memory that nobody
has confirmed decides nothing, neither yes nor no: the answer is unknown and says what it would be.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass, replace

from brightroot.base.errors import Broken
from brightroot.base.source import Standing
from brightroot.model.clause import Outcome
from brightroot.model.library import CodeRow
from brightroot.model.qualification import Answer, Confirmation, JointNeeds, LastUse, MayWeld, Qualification
from brightroot.rules.welders.book import Book, confirmed_in, standing_of, waits_for
from brightroot.rules.welders.checks import ASK_RECORD, CHECKS, Found, Laid
from brightroot.rules.welders.continuity import Continuity, of_qualification
from brightroot.rules.welders.mend import mend_of
from brightroot.rules.welders.ranges import Ranges, ranges_of
from brightroot.rules.welders.tested import tests_found

ASK_CONFIRM = "ask.confirm_row"
# how much an answer stands against it; an unknown for want of a confirmation tells which way it would go
NOT_APPLICABLE, PASS, WOULD_PASS, UNKNOWN, WOULD_FAIL, FAIL = range(6)
LEVELS = {Outcome.NOT_APPLICABLE: NOT_APPLICABLE, Outcome.PASS: PASS, Outcome.FAIL: FAIL}


@dataclass(frozen=True, slots=True, eq=False)
class Held:
    """One qualification with its ranges, made once and asked often."""

    qualification: Qualification
    ranges: Ranges


def level(answer: Answer) -> int:
    """How much an answer stands against the joint: from not applicable to no."""
    if answer.outcome is Outcome.UNKNOWN and answer.waits_for:
        return WOULD_FAIL if answer.because in ("welders.would_fail", "continuity.not_confirmed_over") else WOULD_PASS
    return LEVELS.get(answer.outcome, UNKNOWN)


def outcome_at(found: int) -> Outcome:
    """The outcome of the answer that stands most against it. Where nothing applies nothing is proved."""
    return Outcome.FAIL if found == FAIL else Outcome.PASS if found == PASS else Outcome.UNKNOWN


def held_of(book: Book, qualifications: Iterable[Qualification]) -> tuple[Held, ...]:
    """Those of the book's code, each with the ranges that its coupon brings."""
    return tuple(Held(q, ranges_of(book, q.coupon)) for q in qualifications if q.code == book.code)


def may(
    book: Book,
    qualifications: Sequence[Qualification],
    needs: JointNeeds,
    *,
    on: str,
    uses: Sequence[LastUse] = (),
    confirmations: Iterable[Confirmation] = (),
    welder: str = "",
) -> MayWeld:
    """Whether one welder may make a joint on a day, by the qualification that comes closest, failing answers first.

    One qualification has to cover the whole joint. Only the thickness may come from a second coupon that covers all
    but the diameter, where the code says so. Without any qualification the answer is no.
    """
    confirmed = confirmed_in(book, confirmations)
    held = held_of(book, qualifications)
    stamp = welder or next((q.welder for q in qualifications), "")
    laid = [(one, answers_of(book, one, held, needs, on=on, uses=uses, confirmed=confirmed)) for one in held]
    if not laid:
        none = _answer("qualification", (), Found(Outcome.FAIL, book.code), (), "", "")
        mend = mend_of(book, None, (), needs)
        return MayWeld(stamp, needs.joint, on, Outcome.FAIL, "", (none,), mend)
    lent = [(one, *_with_second(book, one, answers, laid, confirmed)) for one, answers in laid]
    best, second, answers = min(lent, key=lambda found: _rank(found[2]))
    outcome = _overall(answers)
    mend = mend_of(book, best.qualification.coupon, answers, needs)
    return MayWeld(stamp, needs.joint, on, outcome, best.qualification.id, _failing_first(answers), mend, second)


def answers_of(
    book: Book,
    one: Held,
    held: Sequence[Held],
    needs: JointNeeds,
    *,
    on: str,
    uses: Sequence[LastUse],
    confirmed: Collection[str],
) -> tuple[Answer, ...]:
    """Every variable of the code, then the coupon's tests and whether it still lasts, in the code's order."""
    rows = book.table("welder_variables")
    return (
        *(variable_answer(Laid(book, row, one.ranges, needs, confirmed)) for row in rows),
        *standing_answers(book, one, held, on=on, uses=uses, confirmed=confirmed),
    )


def standing_answers(
    book: Book, one: Held, held: Sequence[Held], *, on: str, uses: Sequence[LastUse], confirmed: Collection[str]
) -> tuple[Answer, Answer]:
    """What no joint can change: the coupon's tests, and whether the qualification still lasts."""
    also = [other.qualification for other in held if other is not one]
    lasting = of_qualification(book, one.qualification, uses, on=on, confirmed=confirmed, also=also)
    return _tests(book, one.qualification, confirmed), lasting_answer(lasting, confirmed)


def variable_answer(laid: Laid) -> Answer:
    """One variable by its own check, with the rows that it rests on."""
    found = _checked(laid)
    rows = (laid.row, *found.rows)
    return _answer(laid.variable, rows, found, waits_for(rows, laid.confirmed), laid.row.ref, laid.row.says)


def variable_level(laid: Laid) -> int:
    """The level of that answer, without its words."""
    found = _checked(laid)
    outcome = found.outcome
    if outcome in (Outcome.PASS, Outcome.FAIL) and waits_for((laid.row, *found.rows), laid.confirmed):
        return WOULD_PASS if outcome is Outcome.PASS else WOULD_FAIL
    return LEVELS.get(outcome, UNKNOWN)


def _checked(laid: Laid) -> Found:
    check = CHECKS.get(str(laid.row.cells.get("check")))
    if check is None:
        raise Broken(where=laid.row.id, wanted=f"one of {', '.join(CHECKS)}", got=str(laid.row.cells.get("check")))
    return check(laid)


def _tests(book: Book, held: Qualification, confirmed: Collection[str]) -> Answer:
    found = tests_found(book, held.coupon)
    first = found.rows[0] if found.rows else None
    ref, says = (first.ref, first.says) if first else ("", "")
    return _answer("tests", found.rows, found, waits_for(found.rows, confirmed), ref, says)


def lasting_answer(lasting: Continuity, confirmed: Collection[str]) -> Answer:
    """Whether the qualification still lasts, as an answer among the others."""
    sure = {"continuity.not_confirmed_over": Outcome.FAIL, "continuity.not_confirmed_lasts": Outcome.PASS}
    outcome = sure.get(lasting.because, lasting.outcome)
    wanted = dict(lasting.params).get("on", "")
    found = Found(outcome, wanted, lasting.until, lasting.rows, ASK_RECORD)
    ref, says = (lasting.rows[0].ref, lasting.rows[0].says) if lasting.rows else ("", "")
    made = _answer("continuity", lasting.rows, found, waits_for(lasting.rows, confirmed), ref, says)
    return replace(made, because=lasting.because)


def _answer(
    variable: str, rows: Sequence[CodeRow], found: Found, waiting: tuple[str, ...], ref: str, says: str
) -> Answer:
    """What a check found as an answer: a pass or a fail that waits for a row is unknown, and tells what it would be."""
    decided = found.outcome in (Outcome.PASS, Outcome.FAIL)
    held_back = decided and bool(waiting)
    outcome = Outcome.UNKNOWN if held_back else found.outcome
    word = "na" if outcome is Outcome.NOT_APPLICABLE else found.outcome.value
    asks = ASK_CONFIRM if held_back else found.asks if outcome is Outcome.UNKNOWN else ""
    return Answer(
        variable=variable,
        ref=ref,
        subject=says,
        wanted=found.wanted,
        got=found.got,
        outcome=outcome,
        standing=standing_of(rows) if rows else Standing.DERIVED,
        source=rows[0].source if rows else "",
        rows=tuple(dict.fromkeys(row.id for row in rows)),
        because=f"welders.would_{word}" if held_back else f"welders.{word}",
        asks=asks,
        waits_for=waiting if held_back else (),
    )


def _with_second(
    book: Book,
    one: Held,
    answers: tuple[Answer, ...],
    laid: Sequence[tuple[Held, tuple[Answer, ...]]],
    confirmed: Collection[str],
) -> tuple[str, tuple[Answer, ...]]:
    """Where only the thickness is against it, another coupon's may count: one that covers all, the diameter apart."""
    rows = book.table("welder_combined")
    if not rows or {a.variable for a in answers if level(a) >= WOULD_FAIL} != {"deposit"}:
        return "", answers
    for other, others in laid:
        if other is one or any(level(a) > WOULD_PASS for a in others if a.variable != "diameter"):
            continue
        lent = next(a for a in others if a.variable == "deposit")
        both = (*(book.rows[name] for name in lent.rows), *rows)
        found = Found(Outcome.PASS, lent.wanted, lent.got)
        made = _answer("deposit", both, found, waits_for(both, confirmed), rows[0].ref, rows[0].says)
        return other.qualification.id, tuple(made if a.variable == "deposit" else a for a in answers)
    return "", answers


def _overall(answers: Sequence[Answer]) -> Outcome:
    return outcome_at(max(level(answer) for answer in answers))


def _failing_first(answers: Iterable[Answer]) -> tuple[Answer, ...]:
    return tuple(sorted(answers, key=level, reverse=True))


def _rank(answers: Iterable[Answer]) -> tuple[int, ...]:
    """Fewest against first, then fewest unknown; ties go to the qualification recorded first."""
    levels = [level(answer) for answer in answers]
    return tuple(levels.count(one) for one in range(FAIL, PASS, -1))
