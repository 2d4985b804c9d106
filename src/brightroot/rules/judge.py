"""The clauses of a code laid against the facts of a joint. Missing evidence is unknown, never pass."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from brightroot.base.errors import Broken
from brightroot.model.clause import Outcome, Verdict
from brightroot.model.library import Clause, Code
from brightroot.rules.checks import CHECKS, SEVERITY, Asked, Finding, Rows
from brightroot.rules.fact import Fact


def judge(*, code: Code, facts: Mapping[str, Fact]) -> tuple[Verdict, ...]:
    """One verdict per clause, in the code's order. Raises Broken for a clause that no check can read."""
    return tuple(_verdict(code, clause, facts) for clause in code.clauses)


def _verdict(code: Code, clause: Clause, facts: Mapping[str, Fact]) -> Verdict:
    rows = _rows(code, clause)
    applies, decider = _applies(clause, facts)
    if applies is not Outcome.PASS:
        outcome = Outcome.NOT_APPLICABLE if applies is Outcome.FAIL else Outcome.UNKNOWN
        because = "verdict.not_applicable" if applies is Outcome.FAIL else "verdict.unknown.when"
        asks = "" if applies is Outcome.FAIL else decider.asks or clause.asks
        return _made(code, clause, Finding(outcome, "", because, asks), decider.text, decider.from_events)
    fact = facts.get(clause.fact, Fact(clause.fact))
    pairs = [(one, _one(clause, one, facts, rows)) for one in fact.each or (fact,)]
    outcome = min((f.outcome for _, f in pairs), key=SEVERITY.index)
    # of facts for each place those that decide it speak, all of them
    deciding = [(one, finding) for one, finding in pairs if finding.outcome is outcome]
    got = "; ".join(one.text for one, _ in deciding if one.text)
    events = tuple(dict.fromkeys(event for one, _ in deciding for event in one.from_events))
    return _made(code, clause, deciding[0][1], got, events)


def _one(clause: Clause, fact: Fact, facts: Mapping[str, Fact], rows: Rows) -> Finding:
    return _check(clause.check, clause.id)(Asked(fact, clause.limit, facts, rows, clause.id))


def _check(name: str, clause: str) -> Callable[[Asked], Finding]:
    if name not in CHECKS:
        raise Broken(where=f"clause {clause}", wanted=f"one of {', '.join(CHECKS)}", got=name)
    return CHECKS[name]


def _rows(code: Code, clause: Clause) -> Rows:
    if clause.table and clause.table not in code.tables:
        raise Broken(where=f"clause {clause.id}", wanted=f"one of {', '.join(code.tables)}", got=clause.table)
    return code.tables[clause.table] if clause.table else ()


def _applies(clause: Clause, facts: Mapping[str, Fact]) -> tuple[Outcome, Fact]:
    """PASS where every condition holds, FAIL where one does not; a condition on an unrecorded fact is UNKNOWN."""
    found = []
    for name, expected in clause.when.items():
        fact = facts.get(name, Fact(name))
        check, limit = _condition(expected)
        found.append((_check(check, clause.id)(Asked(fact, limit, facts, (), clause.id)).outcome, fact))
    return min(found, key=lambda pair: SEVERITY.index(pair[0]), default=(Outcome.PASS, Fact("")))


def _condition(expected: object) -> tuple[str, object]:
    """`5G` is equals, a list is one of, `{at_most = "5 mm"}` is any check by its name."""
    if isinstance(expected, Mapping) and len(expected) == 1:
        return next((str(check), limit) for check, limit in expected.items())
    return ("one_of", expected) if isinstance(expected, list | tuple) else ("equals", expected)


def _made(code: Code, clause: Clause, finding: Finding, got: str, events: tuple[str, ...]) -> Verdict:
    unknown = finding.outcome is Outcome.UNKNOWN
    asks = (finding.asks or clause.asks) if unknown else clause.on_fail if finding.outcome is Outcome.FAIL else ""
    return Verdict(
        clause=clause.id,
        code=code.id,
        ref=clause.ref,
        subject=clause.subject,
        says=clause.says,
        outcome=finding.outcome,
        because=finding.because or f"verdict.{clause.check}.{finding.outcome.value}",
        wanted=finding.wanted,
        got=got,
        from_events=events,
        source=clause.source,
        standing=clause.standing,
        asks=asks,
    )
