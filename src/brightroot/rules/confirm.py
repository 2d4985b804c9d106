"""A clause known only from memory decides nothing until a person who has the text before them has confirmed it."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace

from brightroot.base.source import Standing
from brightroot.model.clause import Outcome, Verdict

# the edition is part of a code's id: what is confirmed for one edition says nothing of another
Row = tuple[str, str]  # code, clause


def only_confirmed(verdicts: tuple[Verdict, ...], confirmed: Collection[Row] = ()) -> tuple[Verdict, ...]:
    """The verdicts, those that rest on an unconfirmed memory row turned to unknown; they still say what they would be.

    >>> from brightroot.model.clause import Outcome, Verdict
    >>> made = Verdict("t", "asme-ix/2023", "QW", "T", "…", Outcome.PASS, "verdict.at_most.pass", "≤ 6 mm", "5 mm", (),
    ...                "standard/asme-ix", Standing.MEMORY)
    >>> only_confirmed((made,))[0].outcome.value, only_confirmed((made,), {("asme-ix/2023", "t")})[0].outcome.value
    ('unknown', 'pass')
    """
    return tuple(_held(v) if rests_on_memory(v, confirmed) else v for v in verdicts)


def rests_on_memory(verdict: Verdict, confirmed: Collection[Row] = ()) -> bool:
    """Whether nobody has seen or confirmed the row behind it."""
    return verdict.standing is Standing.MEMORY and (verdict.code, verdict.clause) not in confirmed


def _held(verdict: Verdict) -> Verdict:
    if verdict.outcome not in (Outcome.PASS, Outcome.FAIL):
        return verdict
    because = f"verdict.unknown.not_confirmed_{verdict.outcome.value}"
    return replace(verdict, outcome=Outcome.UNKNOWN, because=because, asks="ask.confirm_clause")
