"""What the joint still owes, and what was conceded. A sheet with anything owed says so before it says anything else."""

from __future__ import annotations

from brightroot.base.instant import utc_of
from brightroot.documents.speech import Speech
from brightroot.model.clause import Verdict
from brightroot.model.outline import Block, Heading, Para, Table
from brightroot.model.owed import Owed, still_owed
from brightroot.rules.explain import explain


def owed_sheet(owed: tuple[Owed, ...], verdicts: tuple[Verdict, ...], *, speech: Speech) -> tuple[Block, ...]:
    """The lists of what is owed and of what was conceded, in that order. Whole means nothing owed, not accepted."""
    say = speech.say
    open_, conceded = still_owed(owed), tuple(one for one in owed if one.conceded is not None)
    blocks: list[Block] = [
        Heading(say("sheet.owed"), 1),
        Para(incomplete(owed, speech) or say("sheet.owed_none", count=str(len(conceded))), strong=True),
    ]
    params = {(v.code, v.clause): explain(v)[1] for v in verdicts}
    if open_:
        head = tuple(say(f"sheet.{name}") for name in ("owed_what", "owed_by", "owed_since", "clause"))
        rows = tuple(
            (
                _asked(one, params.get((one.code, one.clause), {}), speech),
                say(f"choice.{one.by}"),
                since(one, speech),
                one.ref,
            )
            for one in open_
        )
        blocks.append(Table(head, rows, (4, 1, 1.4, 1.6)))
    if conceded:
        blocks += [Heading(say("sheet.conceded"), 2), _conceded(conceded, speech)]
    return tuple(blocks)


def incomplete(owed: tuple[Owed, ...], speech: Speech) -> str:
    """The mark that goes on every page while something is owed; no words where nothing is."""
    count = len(still_owed(owed))
    return speech.say("sheet.incomplete", count=str(count)) if count else ""


def since(one: Owed, speech: Speech) -> str:
    """Since when it is owed, in UTC to the minute."""
    return speech.say("sheet.not_due") if one.since_s is None else utc_of(one.since_s)[:16].replace("T", " ")


def _asked(one: Owed, params: dict[str, str], speech: Speech) -> str:
    outcome = speech.say(f"outcome.{one.outcome.value}")
    return f"{one.subject}: {outcome}." + (f" {speech.say(one.asks, **params)}" if one.asks else "")


def _conceded(owed: tuple[Owed, ...], speech: Speech) -> Table:
    head = tuple(speech.say(f"sheet.{name}") for name in ("subject", "outcome", "conceded_by", "time", "why"))
    rows = []
    for one in owed:
        if (seen := one.conceded) is not None:
            data = {name: str(value) for name, value in seen.data.items()}
            why = data["why"] + (f" ({data['paper']})" if data.get("paper") else "")
            by = f"{data['stamp']}, {speech.say('choice.' + data['role'])}"
            outcome = speech.say(f"outcome.{one.outcome.value}")
            rows.append((one.subject, outcome, by, utc_of(seen.at_s)[:16].replace("T", " "), why))
    return Table(head, tuple(rows), (2, 1, 1.3, 1.4, 3))
