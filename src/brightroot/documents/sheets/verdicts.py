"""The verdicts on paper, failures and unknowns first, each with its clause, its why and what would settle it."""

from __future__ import annotations

from collections.abc import Callable

from brightroot.documents.speech import Speech
from brightroot.model.clause import Outcome, Verdict, overall
from brightroot.model.outline import Block, Heading, Para, Table

ORDER = (Outcome.FAIL, Outcome.UNKNOWN, Outcome.PASS, Outcome.NOT_APPLICABLE)


def verdict_sheet(
    verdicts: tuple[Verdict, ...], *, explain: Callable[[Verdict], tuple[str, dict[str, str]]], speech: Speech
) -> tuple[Block, ...]:
    """The blocks of the verdict pages. Nothing here says that a joint is good; it says what the clauses say."""
    say = speech.say
    count = {outcome: sum(v.outcome is outcome for v in verdicts) for outcome in ORDER}
    line = ", ".join(f"{count[o]} {say('outcome.' + o.value.replace(' ', '_'))}" for o in ORDER if count[o])
    blocks: list[Block] = [
        Heading(say("sheet.verdicts"), 1),
        Para(
            say("sheet.overall", outcome=say("outcome." + overall(verdicts).value.replace(" ", "_")), counts=line),
            strong=True,
        ),
        Para(say("sheet.verdict_note")),
    ]
    for code in dict.fromkeys(v.code for v in verdicts):
        own = sorted((v for v in verdicts if v.code == code), key=lambda v: ORDER.index(v.outcome))
        head = tuple(say(f"sheet.{name}") for name in ("outcome", "clause", "subject", "why", "standing"))
        rows = tuple(
            (
                say("outcome." + v.outcome.value.replace(" ", "_")),
                v.ref,
                v.subject,
                _why(v, explain, say),
                say(f"standing.{v.standing}"),
            )
            for v in own
        )
        blocks += [Heading(code, 2), Table(head, rows, (1, 1.5, 1.6, 4, 1.4))]
    return tuple(blocks)


def _why(verdict: Verdict, explain: Callable[[Verdict], tuple[str, dict[str, str]]], say: Callable[..., str]) -> str:
    message, params = explain(verdict)
    asks = f" {say(verdict.asks, **params)}" if verdict.asks else ""
    return say(message, **params) + asks
