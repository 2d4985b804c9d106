"""Who welded the joint, and by which record: a line for each stamp, with the state of the log that it rests on."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from brightroot.documents.speech import Speech
from brightroot.documents.who import headline
from brightroot.model.outline import Block, Heading, Para, Table
from brightroot.model.qualification import MayWeld


@dataclass(frozen=True, slots=True)
class Welded:
    """One welder of the joint as the sheet needs it."""

    stamp: str
    runs: tuple[int, ...]
    on: str
    told: MayWeld | None
    code: str
    events_count: int
    head: str


def welder_sheet(welders: Sequence[Welded], *, speech: Speech) -> tuple[Block, ...]:
    """The welders and the qualification record that each worked by, on the day of their first arc."""
    say = speech.say
    title = Heading(say("sheet.record.welders"), 1)
    if not welders:
        return title, Para(say("sheet.record.no_arc"))
    names = ("stamp", "runs", "day", "answer", "record", "log")
    head = tuple(say("sheet.stamp") if n == "stamp" else say(f"sheet.record.{n}") for n in names)
    return title, Table(head, tuple(_row(one, speech) for one in welders), (1, 1.2, 1.2, 2.6, 1.6, 2.4))


def _row(one: Welded, speech: Speech) -> tuple[str, ...]:
    say = speech.say
    runs = ", ".join(map(str, one.runs))
    if one.told is None:
        return one.stamp, runs, one.on, say("sheet.record.no_stamp"), "–", "–"
    record = f"{one.told.qualification}, {one.code}" if one.told.qualification else "–"
    log = say("sheet.record.log_state", count=one.events_count, head=one.head[:16]) if one.head else "–"
    return one.stamp, runs, one.on, headline(one.told, say, code=one.code), record, log
