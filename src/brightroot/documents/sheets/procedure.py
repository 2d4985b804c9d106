"""What went beyond the procedure: every trip with its clause and limit, and who answered it, when, in which words."""

from __future__ import annotations

from dataclasses import dataclass

from brightroot.base.instant import utc_of
from brightroot.base.show import show
from brightroot.base.units import dimension_of
from brightroot.documents.speech import Speech
from brightroot.model.outline import Block, Heading, Para, Table
from brightroot.model.procedure import Proposed, Trip


@dataclass(frozen=True, slots=True)
class Signed:
    """Who answered a trip: the stamp that signed, in which role, when, and the words."""

    stamp: str
    role: str
    at_s: float
    why: str


@dataclass(frozen=True, slots=True)
class TripLine:
    """A trip with its answer; None where nobody has answered."""

    trip: Trip
    signed: Signed | None


@dataclass(frozen=True, slots=True)
class Watched:
    """A joint against its procedure, as paper and screens tell it. `silent`: variables whose limit nobody told."""

    name: str
    revision: str
    lines: tuple[TripLine, ...]
    silent: tuple[str, ...]
    more: Proposed | None


def procedure_sheet(watched: Watched, *, speech: Speech) -> tuple[Block, ...]:
    """The blocks: the trips first, then what nobody tells, then what one more test would settle."""
    say = speech.say
    head = tuple(say(f"sheet.{name}") for name in ("subject", "what", "wanted", "clause", "answered"))
    rows = tuple(trip_row(line, speech) for line in watched.lines)
    table = (Table(head, rows, (1.2, 1.2, 1.4, 1.6, 2.4), say("procedure.trips_note")),)
    made: tuple[Block, ...] = table if rows else (Para(say("procedure.trips_none")),)
    return (
        Heading(say("procedure.trips"), 1),
        Para(under_line(watched, speech)),
        *made,
        *(Para(text) for text in (silent_line(watched, speech), *more_lines(watched.more, speech)) if text),
    )


def under_line(watched: Watched, speech: Speech) -> str:
    """Under which procedure and revision."""
    if watched.revision:
        return speech.say("procedure.under", name=watched.name, revision=watched.revision)
    return speech.say("procedure.under_unwritten")


def silent_line(watched: Watched, speech: Speech) -> str:
    """What cannot be said because a limit or a part of a figure is not told; nothing where all is told."""
    names = ", ".join(variable(name, speech) for name in watched.silent)
    return speech.say("procedure.trips_silent", variables=names) if names else ""


def trip_row(line: TripLine, speech: Speech) -> tuple[str, ...]:
    """One trip as it stands in a table."""
    trip, say = line.trip, speech.say
    known = "" if trip.confirmed else f", {say('procedure.from_memory')}"
    clause = f"{trip.ref} ({say(f'procedure.weight_{trip.weight}')}{known})"
    return variable(trip.variable, speech), trip.got, trip.wanted, clause, answer_line(line, speech)


def answer_line(line: TripLine, speech: Speech) -> str:
    """What became of a trip: open, or by whom it was answered, when, and in which words."""
    say = speech.say
    state = say(f"procedure.state_{line.trip.state}")
    if line.signed is None:
        return state
    signed = line.signed
    role = say(f"choice.{signed.role}") if signed.role else "–"
    time = utc_of(signed.at_s)[:16].replace("T", " ")
    return say("procedure.answered", state=state, stamp=signed.stamp, role=role, time=f"{time} UTC", why=signed.why)


def more_lines(more: Proposed | None, speech: Speech) -> tuple[str, ...]:
    """What one more test would be welded with, what it would cover, and what no test settles."""
    if more is None:
        return ()
    say = speech.say
    values = ", ".join(f"{variable(name, speech)} {value}" for name, value in more.values.items())
    allows = "; ".join(f"{variable(name, speech)} {value}" for name, value in more.allows)
    return (
        *((say("procedure.more", variables=", ".join(more.covers)),) if more.covers else ()),
        say("procedure.more_with", values=values),
        *((say("procedure.more_allows", ranges=allows),) if allows else ()),
        *((say("procedure.more_leaves", rows=", ".join(more.leaves)),) if more.leaves else ()),
    )


def variable(name: str, speech: Speech) -> str:
    """A variable of a procedure in the person's words."""
    return speech.say(f"event_field.{name}")


def value_line(name: str, value: object, speech: Speech) -> str:
    """A typed value: numbers as entered with the person's own units beside them, choices in their words."""
    if isinstance(value, dict):
        entered, unit = str(value["as_entered"]), str(value.get("unit", ""))
        both = show(float(value["value"]), name=name, system=speech.system).split(" / ") if dimension_of(name) else []
        other = [text for text in both if not text.endswith(f" {unit}")]
        return f"{entered} ({other[0]})" if other else entered
    if isinstance(value, bool):
        return speech.say("choice.yes" if value else "choice.no")
    return str(value)
