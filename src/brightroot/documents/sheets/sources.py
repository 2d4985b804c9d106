"""The bibliography of one plan: every source that its figures rest on, with how well it is known."""

from __future__ import annotations

from collections.abc import Mapping

from brightroot.base.formula import FORMULAS
from brightroot.base.source import Source
from brightroot.documents.speech import Speech
from brightroot.model.clause import Verdict
from brightroot.model.outline import Block, Heading, Para, Table
from brightroot.model.plan import Plan


def sources_of(plan: Plan, verdicts: tuple[Verdict, ...]) -> tuple[str, ...]:
    """The ids of all sources of a plan's formulas and inputs and of its verdicts, sorted."""
    ids = {verdict.source for verdict in verdicts}
    for figure in plan.figures.values():
        card = FORMULAS.get(figure.formula)
        ids |= {card.source} if card else set()
        ids |= {row.ref for row in figure.inputs if row.origin in ("library", "assumed")}
    return tuple(sorted(ids))


def source_sheet(
    plan: Plan, verdicts: tuple[Verdict, ...], *, sources: Mapping[str, Source], speech: Speech
) -> tuple[Block, ...]:
    """The blocks of the bibliography."""
    rows = tuple(
        (s.id, ", ".join(filter(None, (s.author, s.title, s.edition))), speech.say(f"standing.{s.standing}"), s.note)
        for id in sources_of(plan, verdicts)
        if (s := sources.get(id)) is not None
    )
    head = tuple(speech.say(f"sheet.{name}") for name in ("source", "title", "standing", "note"))
    return (
        Heading(speech.say("sheet.sources"), 1),
        Para(speech.say("sheet.sources_note")),
        Table(head, rows, (1.6, 3, 1.3, 2)),
    )
