"""People as stamps: what they qualified for, when they used the process, and the papers that show it.

A person's entries are a sealed log of their own in the same store. They take it with them as a bundle.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from itertools import groupby
from typing import Any

from brightroot.app.declare_qualification import declare_qualification
from brightroot.app.ports import Place
from brightroot.base.errors import Refused
from brightroot.base.instant import utc_of
from brightroot.model.codec import to_data
from brightroot.model.entry import entered
from brightroot.model.event import Event
from brightroot.model.people import PEOPLE_KINDS
from brightroot.model.qualification import LastUse, Qualification
from brightroot.model.streams import PEOPLE, log_of, stamp_of
from brightroot.records.order import settled
from brightroot.records.views.person import Person, fold_person

STAMP_WANTED = "your stamp, like W-07"
Mark = tuple[str, str, int, str, str, str, str]  # device, epoch, number, time, by, kind, what it corrects
PROCESS = "GTAW"  # the one that joints are planned and logged with here


def people(place: Place) -> tuple[Person, ...]:
    """Everybody whose log has an entry, by stamp. No order of merit, ever."""
    return tuple(person_of(place, stamp_of(log)) for log in sorted(place.store.logs(PEOPLE)))


def person_of(place: Place, stamp: str) -> Person:
    """One person as their own log tells. Nobody's log is empty and no fault: then nothing is recorded of them."""
    log = log_of(stamp)
    return fold_person(log, place.store.events(log))


def qualifications_of(place: Place, stamp: str) -> tuple[Qualification, ...]:
    """What is recorded of them, revoked ones too."""
    return person_of(place, stamp).qualifications


def uses_of(place: Place, stamp: str, *, person: Person | None = None) -> tuple[LastUse, ...]:
    """Every day on which they used the process: as entered, and as the logs of joints show by their own arcs."""
    told = (person or person_of(place, stamp)).uses
    return tuple(sorted((*told, *_from_joints(place, stamp)), key=lambda use: (use.date, use.weld)))


# an arc gone off is a use; what corrects or withdraws one has to be seen with it, and what the joint is made of
USED = ("arc.stopped", "event.withdrawn", "joint.declared")


def _from_joints(place: Place, stamp: str) -> list[LastUse]:
    """One use for each joint and day. The day is that of the entry's own offset; where it is UTC, the day there."""
    found: list[LastUse] = []
    for joint, all_events in groupby(place.store.events_of(USED, by=stamp), key=lambda event: event.joint):
        events = tuple(all_events)
        declared = next((e for e in events if e.kind == "joint.declared"), None)
        metal = place.library.alloys.get(declared.data["joint"]["end_a"]["alloy"]) if declared else None
        marks = tuple(
            (e.device, e.epoch, e.seq, e.at_utc, e.by, e.kind, e.corrects) for e in events if e is not declared
        )
        number = metal.p_number if metal else ""
        found += [LastUse(day, PROCESS, number, joint, f"{joint} {event}") for day, event in _days(joint, stamp, marks)]
    return found


@lru_cache(maxsize=8192)
def _days(joint: str, stamp: str, marks: tuple[Mark, ...]) -> tuple[tuple[str, str], ...]:
    """The days on which that stamp's arcs went off, each with its first entry. What was withdrawn does not count."""
    events = (
        Event(joint, device, epoch, seq, at_utc, by, kind, {}, corrects=corrects)
        for device, epoch, seq, at_utc, by, kind, corrects in marks
    )
    days: dict[str, str] = {}
    for event in settled(events).events:
        if event.kind == "arc.stopped" and event.by == stamp:
            days.setdefault(event.at_utc[:10], event.id)
    return tuple(days.items())


def record_qualification(
    place: Place,
    stamp: str,
    facts: Mapping[str, Any],
    *,
    by: str,
    evidence: tuple[bytes, str] | None = None,
    client_id: str = "",
) -> Qualification:
    """One more qualification on a person's log, with the paper itself where it is given as bytes and media type."""
    log = log_of(stamp)
    taken = tuple(q.id for q in qualifications_of(place, stamp))
    typed = {name: value for name, value in facts.items() if value not in (None, "")}
    if (twin := _told_before(place, log, typed)) is not None:
        if client_id:  # a phone sends again what it had no answer to
            return next(q for q in qualifications_of(place, stamp) if q.id == twin)
        wanted = "facts that are not recorded yet"
        raise Refused(field="id", wanted=wanted, got=twin, reason="refused.taken")
    first = declare_qualification(typed, welder=stamp_of(log), library=place.library, taken=taken)
    _not_to_come(place, first.coupon.welded_on, field="welded_on")  # all this before a paper is kept
    sha256 = place.store.put_attachment(*evidence) if evidence else ""
    made = declare_qualification(typed, welder=stamp_of(log), library=place.library, taken=taken, evidence=sha256)
    data = {"qualification": to_data(made), "facts": typed, **({"evidence_sha256": sha256} if sha256 else {})}
    _write(place, log, "qualification.recorded", data, by=by, client_id=client_id)
    return made


def record_use(
    place: Place,
    stamp: str,
    facts: Mapping[str, Any],
    *,
    by: str,
    evidence: tuple[bytes, str] | None = None,
    client_id: str = "",
) -> Event:
    """A day on which they used the process elsewhere: `date`, and the process, metal and weld where they are known."""
    log = log_of(stamp)
    typed = {"process": PROCESS, **{name: value for name, value in facts.items() if value not in (None, "")}}
    data = entered("process.used", typed, PEOPLE_KINDS)
    _not_to_come(place, data["date"])
    if evidence:
        data["evidence_sha256"] = place.store.put_attachment(*evidence)
    return _write(place, log, "process.used", data, by=by, client_id=client_id)


def renew(place: Place, stamp: str, qualification: str, *, date: str, by: str, evidence_sha256: str = "") -> Event:
    """A renewal coupon or weld of that day has passed."""
    facts = {"qualification": qualification, "date": date, "evidence_sha256": evidence_sha256}
    return _on_held(place, stamp, "qualification.renewed", facts, by=by)


def revoke(place: Place, stamp: str, qualification: str, *, date: str, why: str, by: str) -> Event:
    """There is reason to question it: from that day it counts no more. The others stay."""
    facts = {"qualification": qualification, "date": date, "why": why}
    return _on_held(place, stamp, "qualification.revoked", facts, by=by)


def withdraw(place: Place, stamp: str, event: str, *, why: str, by: str) -> Event:
    """Take an entry back. It stays in the log, and why beside it."""
    log = log_of(stamp)
    if event not in {e.id for e in settled(place.store.events(log)).events}:
        raise Refused(field="event", wanted="an entry of this log that stands", got=event, reason="refused.name")
    data = entered("event.withdrawn", {"why": why}, PEOPLE_KINDS)
    return _write(place, log, "event.withdrawn", data, by=by, corrects=event)


def papers_of(place: Place, stamp: str) -> dict[str, tuple[bytes, str]]:
    """Every paper and photo that a person's log names, by its hash: with the stored entries, all that is theirs."""
    named = [str(e.data["evidence_sha256"]) for e in place.store.events(log_of(stamp)) if "evidence_sha256" in e.data]
    return {name: block for name in named if (block := place.store.attachment(name)) is not None}


def _told_before(place: Place, log: str, typed: Mapping[str, Any]) -> str | None:
    """The qualification that was recorded from the very same facts."""
    same = (e for e in settled(place.store.events(log)).events if e.data.get("facts") == typed)
    return next((e.data["qualification"]["id"] for e in same), None)


def _on_held(place: Place, stamp: str, kind: str, facts: dict[str, str], *, by: str) -> Event:
    log = log_of(stamp)
    data = entered(kind, facts, PEOPLE_KINDS)
    held = tuple(q.id for q in qualifications_of(place, stamp))
    if data["qualification"] not in held:
        wanted = f"a qualification of {stamp_of(log)}"
        raise Refused(field="qualification", wanted=wanted, got=data["qualification"], near=held[:3])
    _not_to_come(place, data["date"])
    return _write(place, log, kind, data, by=by)


def _not_to_come(place: Place, day: str, *, field: str = "date") -> None:
    """A day from now may already be today somewhere; two days from now is a slip of the pen."""
    if day > utc_of(place.now_s() + 86400)[:10]:
        raise Refused(field=field, wanted="a day that has come", got=day, reason="refused.range")


def _write(
    place: Place, log: str, kind: str, data: Mapping[str, Any], *, by: str, client_id: str = "", corrects: str = ""
) -> Event:
    if not by.strip():
        raise Refused(field="by", wanted=STAMP_WANTED, got="nothing", reason="refused.missing")
    return place.store.append(
        log, utc_of(place.now_s()), by.strip(), kind, data, corrects=corrects, client_id=client_id
    )
