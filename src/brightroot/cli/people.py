"""`brightroot people`: who is recorded; `people W-07`: one record; `people W-07 qualified …`: one more entry on it."""

from __future__ import annotations

import mimetypes
from collections.abc import Callable
from pathlib import Path

from brightroot.app.lasting import lasting
from brightroot.app.people import (
    papers_of,
    people,
    person_of,
    record_qualification,
    record_use,
    renew,
    revoke,
    uses_of,
    withdraw,
)
from brightroot.app.ports import Place
from brightroot.base.errors import Refused
from brightroot.cli.output import pairs, put
from brightroot.cli.plan import facts_from
from brightroot.cli.wiring import place_at, speech
from brightroot.documents.who import coupon_line, lasting_line
from brightroot.model.codec import to_data
from brightroot.model.streams import log_of

ACTS = ("qualified", "used", "renewed", "revoked", "withdrawn", "printed")


def run_people(
    arguments: list[str],
    *,
    by: str,
    paper: Path | None,
    export: Path | None,
    store: Path | None,
    language: str,
    as_json: bool,
) -> None:
    """List, show, record or export."""
    place = place_at(store)
    say = speech(language, "metric").say
    if not arguments:
        _listed(place, say, as_json)
        return
    stamp, *rest = arguments
    if export:
        _exported(place, stamp, export, say, as_json)
    elif rest and rest[0] == "printed":
        _printed(place, stamp, pairs(rest[1:]), language, as_json)
    elif rest:
        what = _acted(place, stamp, rest[0], rest[1:], by=by, paper=paper)
        put({"ok": True, "recorded": what}) if as_json else print(say("people.recorded", what=what))
    else:
        _shown(place, stamp, say, as_json)


def _listed(place: Place, say: Callable[..., str], as_json: bool) -> None:
    everybody = people(place)
    if as_json:
        put({"people": [{"stamp": p.stamp, "qualifications": len(p.qualifications)} for p in everybody]})
        return
    if not everybody:
        print(say("people.nobody"))
    for p in everybody:
        last = max((u.date for u in uses_of(place, p.stamp, person=p)), default=say("people.no_use"))
        print(say("people.line", stamp=p.stamp, count=len(p.qualifications), last=last))


def _shown(place: Place, stamp: str, say: Callable[..., str], as_json: bool) -> None:
    person = person_of(place, stamp)
    uses = uses_of(place, stamp, person=person)
    ends = {one.qualification: one for one in lasting(place, stamp)}
    if as_json:
        put({**to_data(person), "uses": [to_data(u) for u in uses], "lasting": [to_data(one) for one in ends.values()]})
        return
    entries = dict(person.entries)
    print(say("may.record_of", stamp=person.stamp))
    if not person.qualifications and not uses:
        print(say("may.nothing_recorded"))
    for held in person.qualifications:
        gone = f", {say('may.revoked', day=held.revoked_on)}" if held.revoked_on else ""
        print(
            f"{held.id}  {held.code}, {say('may.welded', day=held.coupon.welded_on)}{gone}  [{entries.get(held.id, '')}]"
        )
        print(f"    {coupon_line(held.coupon, say)}")
        if one := ends.get(held.id):
            print(f"    {lasting_line(one.continuity, one.joint, say)}")
    for use in uses[-10:]:
        print("  " + say("may.use_line", day=use.date, process=use.process, weld=use.weld or use.evidence))


def _acted(place: Place, stamp: str, act: str, told: list[str], *, by: str, paper: Path | None) -> str:
    """One more entry on a person's log."""
    evidence = _paper(paper) if paper else None
    if act == "qualified":
        return record_qualification(place, stamp, facts_from(told), by=by, evidence=evidence).id
    facts = pairs(told)
    if act == "used":
        return record_use(place, stamp, facts, by=by, evidence=evidence).id
    name, day, why = (facts.get(n, "") for n in ("qualification", "date", "why"))
    if act == "renewed":
        sha256 = place.store.put_attachment(*evidence) if evidence else ""
        return renew(place, stamp, name, date=day, by=by, evidence_sha256=sha256).id
    if act == "revoked":
        return revoke(place, stamp, name, date=day, why=why, by=by).id
    if act == "withdrawn":
        return withdraw(place, stamp, facts.get("event", ""), why=why, by=by).id
    raise Refused(field="people", wanted=f"one of {', '.join(ACTS)}", got=act, reason="refused.name")


def _printed(place: Place, stamp: str, told: dict[str, str], language: str, as_json: bool) -> None:
    """One qualification's record as a PDF; without a qualification the blank one, to fill in by pen."""
    from brightroot.app.record_sheet import blank_document, record_document
    from brightroot.render.pdf import pdf

    path, spoken = Path(told.get("to") or f"{stamp}.pdf"), speech(language, told.get("units", "metric"))
    paper = told.get("paper", "a4")
    if name := told.get("qualification"):
        made = record_document(place, stamp, name, speech=spoken, paper=paper)
    else:
        made = blank_document(place, told.get("code", ""), speech=spoken, paper=paper)
    path.write_bytes(pdf(made))
    put({"ok": True, "path": str(path)}) if as_json else print(spoken.say("people.printed", path=path))


def _paper(path: Path) -> tuple[bytes, str]:
    if not path.is_file():
        raise Refused(field="paper", wanted="a file", got=str(path))
    return path.read_bytes(), mimetypes.guess_type(path.name)[0] or "application/octet-stream"


def _exported(place: Place, stamp: str, path: Path, say: Callable[..., str], as_json: bool) -> None:
    """Their whole log with its papers, in the same sealed form as a joint's, to take along."""
    from brightroot.store.bundle import write_bundle

    stored = place.store.stored(log_of(stamp))
    if not stored:
        raise Refused(field="stamp", wanted="a stamp with entries", got=stamp)
    papers = papers_of(place, stamp)
    write_bundle(path, stored=stored, attachments=papers, files={}, about={"person": stamp})
    if as_json:
        put({"ok": True, "path": str(path), "entries": len(stored), "papers": len(papers)})
    else:
        print(say("people.exported", path=path, count=len(stored), papers=len(papers)))
