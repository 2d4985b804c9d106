"""Evidence: what is missing for acceptance, clause by clause, and the log that answers."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import Any

from brightroot.app.judge_joint import verdicts
from brightroot.app.owed import owed
from brightroot.app.ports import Place
from brightroot.app.work_live import look
from brightroot.base.clock import show_clock
from brightroot.documents.sheets.owed import since
from brightroot.documents.speech import Speech
from brightroot.model.clause import Outcome, Verdict
from brightroot.model.event import KINDS, Event
from brightroot.model.owed import Owed, still_owed
from brightroot.records.order import in_order
from brightroot.rules.explain import explain
from brightroot.web.settings import Settings
from brightroot.web.shown import Shown

ROUTE = "/joints/{id}/evidence"
TITLE = "live.evidence.title"

ORDER = (Outcome.FAIL, Outcome.UNKNOWN, Outcome.PASS, Outcome.NOT_APPLICABLE)


@dataclass(frozen=True, slots=True)
class Row:
    """One verdict as it is told."""

    verdict: Verdict
    shape: str  # the class that gives its shape
    outcome: str
    why: str
    asks: str
    source: str


@dataclass(frozen=True, slots=True)
class Debt:
    """One thing owed as it is told: the sentence that asks for it, who owes it and since when."""

    owed: Owed
    asks: str
    who: str
    since: str


@dataclass(frozen=True, slots=True)
class Entry:
    """One entry of the log. `gone` names what struck it, `mends` what it strikes; both stay to be read."""

    event: Event
    kind: str
    facts: tuple[tuple[str, str], ...]
    gone: str
    mends: str
    by_hand: bool


def view(place: Place, settings: Settings, *, id: str) -> dict[str, Any]:
    """The verdicts, worst first, and the log."""
    now = look(place, id)
    shown = Shown(settings)
    judged = verdicts(place, id)
    count = Counter(v.outcome for v in judged)
    rows = tuple(_row(v, shown, place) for v in sorted(judged, key=lambda v: ORDER.index(v.outcome)))
    asked = {(row.verdict.code, row.verdict.clause): row.asks for row in rows}
    debts = tuple(_debt(one, asked[one.code, one.clause], shown, settings) for one in owed(place, id, judged))
    open_count = len(still_owed(tuple(debt.owed for debt in debts)))
    return {
        "now": now,
        "tally": shown.say("live.evidence.first", **{o.value: str(count[o]) for o in ORDER[:3]}),
        "besides": count[Outcome.NOT_APPLICABLE],
        "due": tuple(debt for debt in debts if debt.owed.since_s is not None),
        "later": tuple(debt for debt in debts if debt.owed.since_s is None),
        "open_count": open_count,
        "codes": tuple(
            (code, tuple(row for row in rows if row.verdict.code == code and row.shape != "not-applicable"))
            for code in dict.fromkeys(v.code for v in judged)
        ),
        "beside": tuple(row for row in rows if row.shape == "not-applicable"),
        "log": tuple(reversed(_log(place, id, now.state.record.corrected, now.state.record.withdrawn, shown))),
    }


def _debt(one: Owed, asks: str, shown: Shown, settings: Settings) -> Debt:
    speech = Speech(shown.say, settings.units, settings.language)
    return Debt(one, asks, shown.say(f"choice.{one.by}"), since(one, speech))


def _row(verdict: Verdict, shown: Shown, place: Place) -> Row:
    message, params = explain(verdict)
    name = verdict.outcome.value.replace(" ", "_")
    source = place.library.sources.get(verdict.source)
    return Row(
        verdict=verdict,
        shape=name.replace("_", "-"),
        outcome=shown.say(f"outcome.{name}"),
        why=shown.say(message, **params),
        asks=shown.say(verdict.asks, **params) if verdict.asks else "",
        source=source.title if source else verdict.source,
    )


def _log(
    place: Place, joint_id: str, corrected: tuple[tuple[str, str], ...], withdrawn: tuple[str, ...], shown: Shown
) -> list[Entry]:
    by = dict(corrected)
    entries = []
    for event in in_order(place.store.events(joint_id)):
        gone = ""
        if event.id in by or event.id in withdrawn:
            word = "withdrawn" if event.id in withdrawn else "corrected"
            gone = shown.say(f"live.evidence.{word}", event=by.get(event.id, ""))
        mends = shown.say("live.evidence.corrects", event=event.corrects) if event.corrects else ""
        facts = tuple(
            (shown.say(f"event_field.{name}"), _told(name, value, shown))
            for name, value in event.data.items()
            if KINDS[event.kind].by_hand
        )
        by_hand = KINDS[event.kind].by_hand and not gone
        entries.append(Entry(event, shown.say(f"kind.{event.kind}"), facts, gone, mends, by_hand))
    return entries


def _told(name: str, value: Any, shown: Shown) -> str:
    if isinstance(value, dict):
        return str(value.get("as_entered", ""))
    if isinstance(value, bool):
        return shown.choice("yes" if value else "no")
    if name == "at_rad":
        return show_clock(float(value))
    return shown.choice(str(value))
