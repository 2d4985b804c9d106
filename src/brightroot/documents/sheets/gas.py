"""Gas and instruments on paper: which fill fed which circuit, what proves it, and the readings that a bad check doubts."""

from __future__ import annotations

from dataclasses import dataclass

from brightroot.base.instant import utc_of
from brightroot.documents.speech import Speech
from brightroot.model.outline import Block, Heading, Para, Table


@dataclass(frozen=True, slots=True)
class FillLine:
    """One fill on one circuit. `odd`: what is missing or bad, as ids of words; `runs` as numbers."""

    fill: str
    circuit: str
    state: str
    missing: tuple[str, ...]
    bad: tuple[str, ...]
    runs: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class DoubtLine:
    """One reading in doubt, and the check that found its instrument bad."""

    event: str
    at_s: float
    instrument: str
    tag: str
    against: str
    check: str


def gas_sheet(fills: tuple[FillLine, ...], doubts: tuple[DoubtLine, ...], *, speech: Speech) -> tuple[Block, ...]:
    """The blocks. Where nothing was written down, that is said."""
    say = speech.say
    head = tuple(say(f"sheet.{name}") for name in ("fill", "circuit", "state", "missing_or_bad", "runs_fed"))
    rows = tuple(_fill(line, speech) for line in fills)
    made: Block = Table(head, rows, (1.4, 1, 1, 2, 1.6)) if rows else Para(say("gas.nothing_connected"))
    return (Heading(say("sheet.gas"), 1), Para(say("sheet.gas_note")), made, *_doubts(doubts, speech))


def _fill(line: FillLine, speech: Speech) -> tuple[str, ...]:
    say = speech.say
    bad = [f"{say(f'gas.asked.{name}')} ({say('choice.bad')})" for name in line.bad]
    missing = [say(f"gas.asked.{name}") for name in line.missing]
    runs = ", ".join(map(str, line.runs)) or "–"
    odd = ", ".join((*bad, *missing)) or "–"
    return line.fill, say(f"choice.{line.circuit}"), say(f"gas.state.{line.state}"), odd, runs


def _doubts(doubts: tuple[DoubtLine, ...], speech: Speech) -> tuple[Block, ...]:
    say = speech.say
    if not doubts:
        return (Para(say("sheet.no_suspects")),)
    rows = tuple(
        (
            one.event,
            utc_of(one.at_s)[:19].replace("T", " "),
            say(
                "sheet.found_bad", instrument=say(f"choice.{one.instrument.replace(' ', '_')}"), tag=one.tag,
                against=say(f"choice.{one.against.replace(' ', '_')}"), event=one.check,
            ),
        )
        for one in doubts
    )  # fmt: skip
    head = tuple(say(f"sheet.{name}") for name in ("event", "time", "suspect_why"))
    return Heading(say("sheet.suspects"), 2), Table(head, rows, (1.2, 1.6, 4))
