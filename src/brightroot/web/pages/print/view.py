"""Print: the dossier on this paper in this language, the bundle that anybody can check, and the traveller."""

from __future__ import annotations

from typing import Any
from urllib.parse import quote

from fastapi import APIRouter, Request, Response
from starlette.concurrency import run_in_threadpool

from brightroot.app.dossier import Paper, document, issue
from brightroot.app.plan_joint import plan_of
from brightroot.app.ports import Place
from brightroot.base.errors import Refused
from brightroot.documents.speech import Speech
from brightroot.model.outline import Document
from brightroot.records.seal import log_head
from brightroot.render.drawing import drawing
from brightroot.render.html import html
from brightroot.render.pdf import pdf
from brightroot.render.words import LANGUAGES, words
from brightroot.store.bundle import bundle_bytes
from brightroot.web.actions import told
from brightroot.web.pages.print.traveller import traveller
from brightroot.web.screen import Screen
from brightroot.web.settings import Settings

ROUTE = "/joints/{id}/print"
TITLE = "live.print.title"

PAPERS = ("a4", "letter")


def view(place: Place, settings: Settings, *, id: str, paper: str = "", language: str = "") -> dict[str, Any]:
    """The choices, the log's head, and the dossier as it would be printed."""
    size, tongue = chosen(settings, paper, language)
    stored = place.store.stored(id)
    on = on_paper(settings, size, tongue)
    preview = html(document(place, id, speech=on.speech, draw=on.draw, paper=size))
    return {
        "plan": plan_of(place, id),
        "paper": size,
        "language": tongue,
        "papers": PAPERS,
        "languages": LANGUAGES,
        "head": log_head(stored),
        "count": len(stored),
        "preview": preview,
    }


def chosen(settings: Settings, paper: str, language: str) -> tuple[str, str]:
    """The paper and language asked for; else those of the person's units and settings."""
    size = paper if paper in PAPERS else ("letter" if settings.units == "us" else "a4")
    return size, language if language in LANGUAGES else settings.language


def on_paper(settings: Settings, paper: str, language: str) -> Paper:
    """Words, units and drawings for one sheet."""
    return Paper(Speech(words(language).say, settings.units, language), drawing(language), pdf, paper)


def routes(place: Place, screen: Screen) -> APIRouter:
    """The files behind the page's buttons."""
    router = APIRouter(include_in_schema=False)

    @router.get("/joints/{id}/dossier.pdf")
    def dossier(request: Request, id: str, paper: str = "", language: str = "") -> Response:
        settings = screen.settings(request)
        size, tongue = chosen(settings, paper, language)
        on = on_paper(settings, size, tongue)
        return _pdf(document(place, id, speech=on.speech, draw=on.draw, paper=size), f"{id}.pdf")

    @router.get("/joints/{id}/traveller.pdf")
    def travels(request: Request, id: str, paper: str = "", language: str = "") -> Response:
        settings = screen.settings(request)
        size, tongue = chosen(settings, paper, language)
        speech = Speech(words(tongue).say, settings.units, tongue)
        plan = plan_of(place, id)
        return _pdf(
            traveller(plan, speech=speech, paper=size, head=log_head(place.store.stored(id))), f"{id}-traveller.pdf"
        )

    @router.post("/joints/{id}/dossier")
    async def issued(request: Request, id: str) -> Response:
        typed = await told(request)
        settings = screen.settings(request)
        by = str(typed.get("by") or settings.stamp).strip()
        if not by:
            raise Refused(field="by", wanted="your stamp, like W-07", got="nothing", reason="refused.missing")
        size, tongue = chosen(settings, str(typed.get("paper", "")), str(typed.get("language", "")))
        content = await run_in_threadpool(_bundle, place, id, by, on_paper(settings, size, tongue))
        return Response(content, media_type="application/zip", headers=_named(f"{id}.zip", whole=True))

    return router


def _bundle(place: Place, joint_id: str, by: str, on: Paper) -> bytes:
    made = issue(place, joint_id, by=by, on=on)
    content, _ = bundle_bytes(stored=made.stored, attachments=made.attachments, files=made.files, about=made.about)
    return content


def _pdf(laid: Document, name: str) -> Response:
    return Response(pdf(laid), media_type="application/pdf", headers=_named(name, whole=False))


def _named(name: str, *, whole: bool) -> dict[str, str]:
    """The file's name as browsers read it, whatever letters the joint's has."""
    how = "attachment" if whole else "inline"
    return {"Content-Disposition": f"{how}; filename*=UTF-8''{quote(name, safe='')}"}
