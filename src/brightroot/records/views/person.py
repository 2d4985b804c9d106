"""A person's own log folded: the qualifications they hold, and when they used the process."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from brightroot.base.errors import Broken
from brightroot.model.codec import from_data
from brightroot.model.event import Event
from brightroot.model.qualification import LastUse, Qualification
from brightroot.model.streams import stamp_of
from brightroot.records.order import settled


@dataclass(frozen=True, slots=True)
class Person:
    """One stamp: no name, no number of their own. `entries` says which event each qualification was recorded by."""

    stamp: str
    qualifications: tuple[Qualification, ...] = ()
    uses: tuple[LastUse, ...] = ()
    entries: tuple[tuple[str, str], ...] = ()  # qualification, event
    events_count: int = 0


def fold_person(stamp: str, events: Iterable[Event]) -> Person:
    """Everything that a set of events says of one person. What was withdrawn counts no more."""
    log = settled(events)
    person = Person(stamp_of(stamp), events_count=len(log.every))
    for event in log.events:
        person = _step(person, event)
    return person


def _step(person: Person, event: Event) -> Person:
    data = event.data
    if event.kind == "qualification.recorded":
        held = _opened(event)
        kept = tuple(q for q in person.qualifications if q.id != held.id)
        return replace(person, qualifications=(*kept, held), entries=(*person.entries, (held.id, event.id)))
    if event.kind == "qualification.revoked":
        return _changed(person, data["qualification"], revoked_on=data["date"])
    if event.kind == "qualification.renewed":
        days = {day for q in person.qualifications if q.id == data["qualification"] for day in q.renewed_on}
        return _changed(person, data["qualification"], renewed_on=tuple(sorted(days | {data["date"]})))
    if event.kind == "process.used":
        use = LastUse(data["date"], data["process"], data.get("metal", ""), data.get("weld", ""), _proof(event))
        return replace(person, uses=(*person.uses, use))
    return person


def _changed(person: Person, name: str, **changes: object) -> Person:
    held = tuple(replace(q, **changes) if q.id == name else q for q in person.qualifications)  # type: ignore[arg-type]
    return replace(person, qualifications=held)


def _proof(event: Event) -> str:
    """What shows it: the paper or photo by its hash, else the entry itself."""
    return str(event.data.get("evidence_sha256") or event.id)


def _opened(event: Event) -> Qualification:
    try:
        return from_data(event.data["qualification"], Qualification)
    except Exception as fault:  # cattrs gathers whatever is wrong with the fields
        raise Broken(where=event.id, wanted="a recorded qualification", got=repr(fault)) from fault
