"""The proof of one joint: plan, log, pictures, verdicts and sources laid out, and the same as a sealed bundle of data."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, Protocol

from brightroot import __version__
from brightroot.app.gas import doubted_events, gas_lines
from brightroot.app.heat_pictures import joint_course
from brightroot.app.judge_joint import verdicts
from brightroot.app.may import book_named, welders_of
from brightroot.app.owed import owed
from brightroot.app.people import person_of
from brightroot.app.pictures import cooling_chart, face_of, purge_chart
from brightroot.app.ports import Place
from brightroot.app.procedures import watched
from brightroot.app.work_live import Now, look
from brightroot.base.instant import utc_of
from brightroot.base.tree import root
from brightroot.documents.sheets.gas import gas_sheet
from brightroot.documents.sheets.log import log_sheet
from brightroot.documents.sheets.owed import incomplete, owed_sheet
from brightroot.documents.sheets.plan import plan_sheet
from brightroot.documents.sheets.procedure import procedure_sheet
from brightroot.documents.sheets.sources import source_sheet, sources_of
from brightroot.documents.sheets.verdicts import verdict_sheet
from brightroot.documents.sheets.welders import Welded, welder_sheet
from brightroot.documents.speech import Speech
from brightroot.model.codec import canonical, to_data
from brightroot.model.event import Event
from brightroot.model.outline import Block, Boxes, Caution, Document, Heading, Para, Picture, Table
from brightroot.model.owed import still_owed
from brightroot.model.picture import Chart, Face, HeatCourse
from brightroot.records.order import in_order
from brightroot.records.seal import digest, log_head
from brightroot.rules.explain import explain


class Draw(Protocol):
    """Drawings as SVG text for paper."""

    def face(self, face: Face) -> str: ...
    def strip(self, face: Face) -> str: ...
    def chart(self, chart: Chart) -> str: ...
    def heat_course(self, course: HeatCourse) -> str: ...


@dataclass(frozen=True, slots=True)
class Paper:
    """How the dossier is to be laid out and by what: words, drawing, PDF and bundle are handed in."""

    speech: Speech
    draw: Draw
    pdf: Callable[[Document], bytes]
    paper: str = "a4"


def document(place: Place, joint_id: str, *, speech: Speech, draw: Draw, paper: str = "a4") -> Document:
    """The dossier as blocks. It prints the log's head and count, so that a cut-off tail shows."""
    now = look(place, joint_id)
    stored = place.store.stored(joint_id)
    head = log_head(stored)
    judged = verdicts(place, joint_id)
    owing = owed(place, joint_id, judged)
    mark = incomplete(owing, speech)
    events = in_order(place.store.events(joint_id))
    say = speech.say
    blocks: tuple[Block, ...] = (
        *_front(now, head, root([bytes.fromhex(digest(one)) for one in stored]).hex(), len(stored), speech),
        *owed_sheet(owing, judged, speech=speech),
        *_pictures(place, now, speech, draw),
        *verdict_sheet(judged, explain=explain, speech=speech),
        *procedure_sheet(watched(place, now.plan, now.state.record), speech=speech),
        *gas_sheet(*gas_lines(place, now), speech=speech),
        *_signatures(now, speech),
        *welder_sheet(_welders(place, joint_id), speech=speech),
        *plan_sheet(now.plan, speech=speech),
        *log_sheet(events, now.state.record, doubted=doubted_events(place, now), speech=speech),
        *source_sheet(now.plan, judged, sources=place.library.sources, speech=speech),
        *_cautions(now, speech),
    )
    return Document(
        title=say("sheet.dossier", joint=joint_id),
        subtitle=_marked(
            mark,
            say("sheet.subtitle", events=str(len(stored)), version=__version__, library=now.plan.library_digest[:12]),
        ),
        foot=_marked(mark, say("sheet.foot", joint=joint_id, head=head, count=str(len(stored)))),
        blocks=blocks,
        language=speech.language,
        paper=paper,
        dated_s=now.state.record.last_s,
        qr=f"brightroot {joint_id} {len(stored)} {head}",
    )


def _marked(mark: str, text: str) -> str:
    """A line of every page, behind the mark while something is owed."""
    return f"{mark}   {text}" if mark else text


def _front(now: Now, head: str, root: str, count: int, speech: Speech) -> tuple[Block, ...]:
    rows = (
        (speech.say("sheet.head"), head),
        (speech.say("sheet.root"), root),
        (speech.say("sheet.count"), str(count)),
        (speech.say("sheet.phase"), speech.say(f"phase.{now.state.phase.value.replace(' ', '_')}")),
        (speech.say("sheet.plan_hash"), now.state.record.plan_sha256),
        (speech.say("sheet.library_hash"), now.plan.library_digest),
    )
    return (
        Para(speech.say("sheet.what_this_is")),
        Table((speech.say("sheet.what"), speech.say("sheet.value")), rows, (1, 3)),
        Para(speech.say("sheet.how_to_verify")),
    )


def _pictures(place: Place, now: Now, speech: Speech, draw: Draw) -> tuple[Block, ...]:
    face = face_of(now, speech)
    blocks: list[Block] = [
        Picture(draw.face(face), speech.say("sheet.face_caption", datum=face.datum, view=face.view), 0.62),
        Picture(draw.strip(face), speech.say("sheet.strip_caption")),
        Picture(draw.chart(purge_chart(now, speech)), speech.say("sheet.purge_caption")),
    ]
    cooling = cooling_chart(now, speech)
    if cooling is not None:
        blocks.append(Picture(draw.chart(cooling), speech.say("sheet.cooling_caption")))
        blocks.append(Picture(draw.heat_course(joint_course(place, now, speech)), speech.say("heat.caption")))
    return tuple(blocks)


def _signatures(now: Now, speech: Speech) -> tuple[Block, ...]:
    rows = tuple(
        (s.stamp, speech.say(f"choice.{s.role.replace(' ', '_')}"), utc_of(s.at_s)[:19], s.words)
        for s in now.state.record.signatures
    )
    head = tuple(speech.say(f"sheet.{name}") for name in ("stamp", "role", "time", "words"))
    made: Block = Table(head, rows, (1, 1, 1.5, 3)) if rows else Para(speech.say("sheet.no_signature"))
    return (
        Heading(speech.say("sheet.signatures"), 1),
        made,
        Boxes((speech.say("sheet.sign_here"), speech.say("sheet.sign_inspector"))),
    )


def _welders(place: Place, joint_id: str) -> tuple[Welded, ...]:
    return tuple(
        Welded(
            stamp=line.stamp,
            runs=line.runs,
            on=line.on,
            told=line.told,
            code=book_named(place, "", person=person_of(place, line.stamp)).code if line.told else "",
            events_count=line.events_count,
            head=line.head,
        )
        for line in welders_of(place, joint_id)
    )


def _cautions(now: Now, speech: Speech) -> tuple[Block, ...]:
    names = dict.fromkeys(name for step in now.plan.steps for name in step.cautions)
    return (Heading(speech.say("sheet.cautions"), 1), *(Caution(speech.say(name)) for name in names))


@dataclass(frozen=True, slots=True)
class Issue:
    """What a bundle is written from."""

    stored: tuple[bytes, ...]
    attachments: Mapping[str, tuple[bytes, str]]
    files: Mapping[str, bytes]
    about: Mapping[str, Any]
    head: str
    event: Event


def issue(place: Place, joint_id: str, *, by: str, on: Paper) -> Issue:
    """Lay out the dossier, record that it was issued under this head, and hand over everything for the bundle.

    The paper shows the head before the issue; the bundle's log is one event longer, and the verifier says so.
    """
    laid = document(place, joint_id, speech=on.speech, draw=on.draw, paper=on.paper)
    now = look(place, joint_id)
    stored = place.store.stored(joint_id)
    head = log_head(stored)
    judged = verdicts(place, joint_id)
    owed_count = len(still_owed(owed(place, joint_id, judged)))
    data = {
        "head": head,
        "events_count": len(stored),
        "library_digest": place.library.digest,
        "owed_count": owed_count,
    }
    pages = on.pdf(laid)
    event = place.store.append(joint_id, utc_of(place.now_s()), by, "dossier.issued", data)
    sources = {
        id: to_data(place.library.sources[id]) for id in sources_of(now.plan, judged) if id in place.library.sources
    }
    plan_block = place.store.attachment(now.state.record.plan_sha256)
    files = {
        "dossier.pdf": pages,
        "verdicts.json": canonical([to_data(v) for v in judged]),
        "sources.json": canonical(sources),
        "signatures.json": canonical(place.store.proof(joint_id)),
        "trips.json": canonical(to_data(watched(place, now.plan, now.state.record))),
        **({"plan.json": plan_block[0]} if plan_block else {}),
    }
    return Issue(
        stored=place.store.stored(joint_id),
        attachments=_attachments(place, joint_id, skip=now.state.record.plan_sha256),
        files=files,
        about={
            "joint": joint_id,
            "made_with": __version__,
            "head_on_paper": head,
            "count_on_paper": len(stored),
            "owed_count": owed_count,
        },
        head=head,
        event=event,
    )


def _attachments(place: Place, joint_id: str, *, skip: str) -> dict[str, tuple[bytes, str]]:
    """Every block that an event names, except the plan, which goes as plan.json. Older plans go along."""
    found = {}
    for event in place.store.events(joint_id):
        for name, value in event.data.items():
            if name.endswith("_sha256") and value != skip and (block := place.store.attachment(str(value))) is not None:
                found[str(value)] = block
    return found
