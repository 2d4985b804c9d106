"""The traveller: the plan's steps as rows for a pen, for a shop floor where no screen goes."""

from __future__ import annotations

from itertools import groupby

from brightroot.documents.sheets.plan import plan_sheet
from brightroot.documents.speech import Speech
from brightroot.model.event import KINDS
from brightroot.model.outline import Block, Boxes, Caution, Document, Heading, Table
from brightroot.model.plan import Plan, Step


def traveller(plan: Plan, *, speech: Speech, paper: str, head: str) -> Document:
    """The steps in order with room to write, then the plan. What is written on it is entered in the log afterwards."""
    say = speech.say
    cautions = dict.fromkeys(name for step in plan.steps for name in step.cautions)
    blocks: list[Block] = [Caution(say(name)) for name in cautions]
    columns = tuple(say(f"live.print.{name}") for name in ("step", "reading", "time", "by"))
    for group, steps in groupby(plan.steps, key=_group):
        rows = tuple((_told(step, speech), "", "", "") for step in steps)
        blocks += [Heading(say(group), 2), Table(columns, rows, (3, 2.4, 1, 1))]
    blocks += [
        Boxes((say("live.print.sign_welder"), say("live.print.sign_inspector"))),
        *plan_sheet(plan, speech=speech),
    ]
    return Document(
        title=say("live.print.traveller_title", joint=plan.joint.id),
        subtitle=say("live.print.traveller_note"),
        foot=f"{plan.joint.id}   {head}",
        blocks=tuple(blocks),
        language=speech.language,
        paper=paper,
        qr=f"brightroot {plan.joint.id}",
    )


def _group(step: Step) -> str:
    return f"live.group.{KINDS[step.event].group}"


def _told(step: Step, speech: Speech) -> str:
    """The step, then which of several: its run, arc, tack, end or place."""
    what = step.what.replace(" ", "_")
    which = (
        f"{step.run}" if step.run and KINDS[step.event].group in ("weld", "look") and not step.tack else "",
        step.tack,
        step.arc if step.event == "tape.opened" else "",
        (speech.say(f"choice.{what}") if not step.what[:1].isdigit() else step.what) if what else "",
    )
    return " ".join(part for part in (speech.say(step.name), *which) if part)
