"""What is written from the page: a qualification, a use of the process; and the record as paper."""

from __future__ import annotations

from typing import Any
from urllib.parse import quote, urlencode

from fastapi import APIRouter, Request, Response
from fastapi.responses import JSONResponse, RedirectResponse
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import UploadFile

from brightroot.app.people import record_qualification, record_use
from brightroot.app.ports import Place
from brightroot.app.record_sheet import blank_document, record_document
from brightroot.base.errors import Refused
from brightroot.documents.speech import Speech
from brightroot.render.pdf import pdf
from brightroot.render.words import words
from brightroot.web.actions import told
from brightroot.web.errors import wants_page
from brightroot.web.screen import Screen

NOT_FACTS = ("by", "client_id", "joint", "on", "paper")
LARGEST = 20 * 2**20
ACTS = {"qualifications": record_qualification, "uses": record_use}


def routes(place: Place, screen: Screen) -> APIRouter:
    """The routes of one person's log."""
    router = APIRouter(include_in_schema=False)

    @router.post("/people/{stamp}/{act}")
    async def written(request: Request, stamp: str, act: str) -> Response:
        if act not in ACTS:
            raise Refused(field="address", wanted="qualifications or uses", got=act, reason="web.error.address")
        typed = await told(request)
        settings = screen.settings(request)
        back = {"stamp": stamp, "joint": str(typed.get("joint") or ""), "on": str(typed.get("on") or "")}
        facts = {name: str(value) for name, value in typed.items() if name not in NOT_FACTS and value}
        by = str(typed.get("by") or settings.stamp)
        try:
            paper = await _paper(request)
            made: Any = await run_in_threadpool(
                lambda: ACTS[act](
                    place, stamp, facts, by=by, evidence=paper, client_id=str(typed.get("client_id") or "")
                )
            )
        except Refused as refusal:
            if not wants_page(request):
                raise
            shown = screen.page("may").view(
                place, settings, **back, typed={**typed, "by": by}, refusal=refusal, entering=act
            )
            return screen.put(request, "may", shown, status=422)
        if not wants_page(request):
            return JSONResponse({"ok": True, "id": made.id})
        return RedirectResponse(f"/may?{urlencode({k: v for k, v in back.items() if v})}#record", status_code=303)

    @router.get("/people/{stamp}/{id}/record.pdf")
    def printed(request: Request, stamp: str, id: str, paper: str = "") -> Response:
        settings = screen.settings(request)
        size = paper if paper in ("a4", "letter") else ("letter" if settings.units == "us" else "a4")
        speech = Speech(words(settings.language).say, settings.units, settings.language)
        made = record_document(place, stamp, id, speech=speech, paper=size)
        name = f"{quote(stamp)}-{quote(id, safe='')}.pdf"
        return Response(pdf(made), media_type="application/pdf", headers=_inline(name))

    @router.get("/people/record.pdf")
    def blank(request: Request, code: str = "", paper: str = "") -> Response:
        settings = screen.settings(request)
        size = paper if paper in ("a4", "letter") else ("letter" if settings.units == "us" else "a4")
        speech = Speech(words(settings.language).say, settings.units, settings.language)
        made = blank_document(place, code, speech=speech, paper=size)
        return Response(pdf(made), media_type="application/pdf", headers=_inline("record.pdf"))

    return router


def _inline(name: str) -> dict[str, str]:
    return {"Content-Disposition": f"inline; filename*=UTF-8''{name}"}


async def _paper(request: Request) -> tuple[bytes, str] | None:
    """The paper that was sent along with the form, if any."""
    if "multipart" not in request.headers.get("content-type", ""):
        return None
    form = await request.form()
    try:
        sent = form.get("paper")
        if not isinstance(sent, UploadFile) or not sent.filename:
            return None
        content, media_type = await sent.read(LARGEST + 1), sent.content_type
    finally:
        await form.close()
    if len(content) > LARGEST:
        raise Refused(field="paper", wanted="a file of at most 20 MB", got="more", reason="refused.range")
    return content, media_type or "application/octet-stream"
