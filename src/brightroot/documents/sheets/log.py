"""The log on paper: every event in order, corrections beside what they correct, nothing left out."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import Any

from brightroot.base.clock import show_clock
from brightroot.documents.speech import Speech
from brightroot.model.event import Event
from brightroot.model.outline import Block, Heading, Para, Table
from brightroot.model.record import JointRecord


def log_sheet(
    events: tuple[Event, ...], record: JointRecord, *, speech: Speech, doubted: Collection[str] = ()
) -> tuple[Block, ...]:
    """The blocks of the log's pages. A corrected event stays, with the event that corrects it named.

    `doubted`: entries whose reading was made with an instrument that was found bad.
    """
    corrected = dict(record.corrected)
    rows = tuple(_row(event, corrected, record, speech, doubted) for event in events)
    head = tuple(speech.say(f"sheet.{name}") for name in ("event", "time", "by", "kind", "facts"))
    return (
        Heading(speech.say("sheet.log"), 1),
        Para(speech.say("sheet.log_note")),
        Table(head, rows, (1, 1.6, 0.8, 1.5, 4)),
    )


def _row(
    event: Event, corrected: Mapping[str, str], record: JointRecord, speech: Speech, doubted: Collection[str]
) -> tuple[str, ...]:
    mark = ""
    if event.id in record.withdrawn:
        mark = f" [{speech.say('word.withdrawn')}]"
    elif event.id in corrected:
        mark = f" [{speech.say('word.corrected_by', event=corrected[event.id])}]"
    if event.id in doubted:
        mark += f" [{speech.say('word.in_doubt')}]"
    if event.corrects:
        mark += f" [{speech.say('word.corrects', event=event.corrects)}]"
    return (
        event.id,
        event.at_utc[:19].replace("T", " "),
        event.by,
        speech.say(f"kind.{event.kind}"),
        facts(event, speech) + mark,
    )


def facts(event: Event, speech: Speech) -> str:
    """An event's facts in words: readings as they were typed, positions on the clock."""
    if event.kind == "joint.declared":
        return "; ".join(f"{name} {value}" for name, value in event.data["facts"].items())
    return "; ".join(f"{speech.say(f'event_field.{name}')}: {_said(name, value)}" for name, value in event.data.items())


def _said(name: str, value: Any) -> str:
    if isinstance(value, Mapping):
        return str(value["as_entered"]) if "as_entered" in value else ", ".join(f"{k} {v}" for k, v in value.items())
    if name == "at_rad":
        return show_clock(float(value))
    if isinstance(value, bool):
        return "yes" if value else "no"
    return str(value)
