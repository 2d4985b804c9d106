"""How long each of a welder's qualifications lasts, warned of early, and the planned joint whose welding would keep it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from brightroot.app.may import books, needs_of_joint, today
from brightroot.app.people import person_of, uses_of
from brightroot.app.ports import Place
from brightroot.app.rules_read import confirmations
from brightroot.base.instant import read_day
from brightroot.model.clause import Outcome
from brightroot.model.qualification import JointNeeds, Qualification
from brightroot.rules.welders.book import Book, confirmed_in
from brightroot.rules.welders.continuity import Continuity, of_qualification, renewing
from brightroot.rules.welders.may import may

LOOKED_AT = 40  # joints ahead that are tried for a certificate that only a joint within its range keeps


@dataclass(frozen=True, slots=True)
class Lasting:
    """One qualification on a day. `joint`: a planned joint that, welded in time, would keep it; "" where there is none."""

    qualification: str
    code: str
    on: str
    continuity: Continuity
    joint: str


def lasting(place: Place, stamp: str, *, on: str = "") -> tuple[Lasting, ...]:
    """Each qualification of a stamp in its own code, in the order of the record. Revoked ones are told as over."""
    person = person_of(place, stamp)
    day = read_day(on, field="on") if on else today(place)
    uses, told = uses_of(place, stamp, person=person), confirmations(place)
    found = []
    for held in person.qualifications:
        book = books(place).get(held.code)
        if book is None:
            continue
        others = tuple(q for q in person.qualifications if q is not held)
        confirmed = confirmed_in(book, told)
        until = of_qualification(book, held, uses, on=day, confirmed=confirmed, also=others)
        found.append(Lasting(held.id, held.code, day, until, _keeping(place, book, held, until, day)))
    return tuple(found)


def _keeping(place: Place, book: Book, held: Qualification, until: Continuity, day: str) -> str:
    """The first joint without an arc that would keep it: planned for its last day, since nobody types other days."""
    if until.outcome is Outcome.FAIL or not until.until or until.until < day:
        return ""
    for need in _ahead(place, book):
        planned = replace(need, planned_on=until.until)
        covers = _covers(book, held, need, day)
        joint = renewing(book, until, (planned,), on=day, within_range=(need.joint,) if covers else ())
        if joint is not None and covers:
            return joint.joint
    return ""


def _covers(book: Book, held: Qualification, need: JointNeeds, day: str) -> bool:
    """Whether nothing stands against it, not even as remembered; how long it lasts is not asked here."""
    told = may(book, (held,), need, on=day)
    others = [answer for answer in told.answers if answer.variable != "continuity"]
    return not any(a.outcome is Outcome.FAIL or a.because == "welders.would_fail" for a in others)


def _ahead(place: Place, book: Book) -> Iterator[JointNeeds]:
    tried = 0
    for joint in place.store.joints():
        if any(event.kind == "arc.started" for event in place.store.events(joint)):
            continue
        tried += 1
        if tried > LOOKED_AT:
            return
        yield needs_of_joint(place, joint, book)
