"""The index of a test pack: a line for each joint, with what it owes and the hash that its paper carries."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from brightroot.documents.sheets.owed import incomplete
from brightroot.documents.speech import Speech
from brightroot.model.outline import Document, Para, Table
from brightroot.model.owed import Owed


@dataclass(frozen=True, slots=True)
class Packed:
    """One joint of the pack as the index needs it."""

    joint: str
    pipe: str
    owed: tuple[Owed, ...]
    events_count: int
    head: str


def pack_index(
    name: str, joints: Sequence[Packed], *, speech: Speech, paper: str = "a4", dated_s: float | None = None
) -> Document:
    """The sheet on top of a pack. It counts what is owed; it does not say that a joint is good."""
    say = speech.say
    open_count = sum(bool(incomplete(one.owed, speech)) for one in joints)
    counts = {"open": str(open_count), "count": str(len(joints))}
    first = say("pack.first", **counts) if open_count else say("pack.first_whole", **counts)
    head = tuple(say(f"pack.{name}") for name in ("joint", "owes", "entries", "head"))
    return Document(
        title=say("pack.index", name=name),
        subtitle=first,
        foot=name,
        blocks=(
            Para(first, strong=True),
            Para(say("pack.index_note")),
            Table(head, tuple(_row(one, speech) for one in joints), (2, 1.6, 0.8, 4)),
        ),
        language=speech.language,
        paper=paper,
        dated_s=dated_s,
    )


def _row(one: Packed, speech: Speech) -> tuple[str, ...]:
    conceded = sum(each.conceded is not None for each in one.owed)
    owes = incomplete(one.owed, speech) or speech.say("pack.whole")
    more = f", {speech.say('pack.conceded', count=str(conceded))}" if conceded else ""
    return f"{one.joint}, {one.pipe}", owes + more, str(one.events_count), one.head
