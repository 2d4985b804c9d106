"""The record of one qualification as a document, and the same blank."""

from __future__ import annotations

from brightroot.app.may import book_named, today
from brightroot.app.people import person_of, uses_of
from brightroot.app.ports import Place
from brightroot.app.rules_read import confirmations
from brightroot.base.errors import Refused
from brightroot.documents.sheets.qualification import blank_sheet, record_sheet
from brightroot.documents.speech import Speech
from brightroot.model.outline import Document
from brightroot.model.streams import log_of
from brightroot.records.seal import log_head
from brightroot.rules.welders.book import confirmed_in
from brightroot.rules.welders.continuity import of_qualification
from brightroot.rules.welders.ranges import ranges_of


def record_document(
    place: Place, stamp: str, qualification: str, *, speech: Speech, paper: str = "a4", on: str = ""
) -> Document:
    """One qualification as paper, with the head of the person's log so that a cut-off end shows."""
    person = person_of(place, stamp)
    held = next((q for q in person.qualifications if q.id == qualification), None)
    if held is None:
        names = tuple(q.id for q in person.qualifications)
        wanted = f"a qualification of {person.stamp}"
        raise Refused(field="qualification", wanted=wanted, got=qualification, near=names[:3], reason="refused.name")
    book = book_named(place, held.code)
    confirmed = confirmed_in(book, confirmations(place))
    also = tuple(q for q in person.qualifications if q is not held)
    uses = uses_of(place, stamp, person=person)
    lasting = of_qualification(book, held, uses, on=on or today(place), confirmed=confirmed, also=also)
    blocks = record_sheet(book, held, ranges_of(book, held.coupon), lasting, confirmed=confirmed, speech=speech)
    head = log_head(place.store.stored(log_of(stamp)))
    entry = dict(person.entries)[held.id]
    say = speech.say
    return Document(
        title=say("sheet.record.title", stamp=person.stamp, id=held.id),
        subtitle=say("sheet.record.subtitle", code=held.code),
        foot=say("sheet.record.foot", stamp=person.stamp, id=held.id, event=entry, head=head),
        blocks=blocks,
        language=speech.language,
        paper=paper,
        qr=f"brightroot {person.stamp} {held.id} {head}",
    )


def blank_document(place: Place, code: str, *, speech: Speech, paper: str = "a4") -> Document:
    """The record to fill in by pen."""
    book = book_named(place, code)
    say = speech.say
    return Document(
        title=say("sheet.record.title", stamp="________", id="______"),
        subtitle=say("sheet.record.subtitle", code=book.code),
        foot="",
        blocks=blank_sheet(book, speech=speech),
        language=speech.language,
        paper=paper,
    )
