"""What is written on a procedure: a revision, a test record, one of them taken back. Forms and JSON alike."""

from __future__ import annotations

from typing import Any
from urllib.parse import quote

from fastapi import APIRouter, Request, Response
from fastapi.responses import JSONResponse, RedirectResponse
from starlette.concurrency import run_in_threadpool

from brightroot.app.ports import Place
from brightroot.app.procedures import (
    procedure_of,
    procedures,
    promises_beyond_tests,
    record_test,
    take_back_procedure,
    watched,
    write_procedure,
)
from brightroot.app.work_live import look
from brightroot.base.errors import Refused
from brightroot.model.codec import to_data
from brightroot.model.event import Event
from brightroot.model.streams import procedure_log
from brightroot.web.actions import told
from brightroot.web.errors import wants_page
from brightroot.web.screen import Screen

NOT_FACTS = ("by", "client_id", "event", "why", "facts")
ACTS = ("written", "tested", "withdrawn")


def routes(place: Place, screen: Screen) -> APIRouter:
    """The routes of procedures: pages and data."""
    router = APIRouter(include_in_schema=False)

    @router.post("/procedures")
    async def opened(request: Request) -> Response:
        name = str((await told(request)).get("name") or "").strip()
        try:
            procedure_log(name)
        except Refused as refusal:
            if not wants_page(request):
                raise
            context = screen.page("procedures").view(place, screen.settings(request), typed=name, refusal=refusal)
            return screen.put(request, "procedures", context, status=422)
        return RedirectResponse(f"/procedures/{quote(name)}", status_code=303)

    @router.post("/procedures/{name}/{act}")
    async def written(request: Request, name: str, act: str) -> Response:
        if act not in ACTS:
            raise Refused(field="address", wanted=", ".join(ACTS), got=act, reason="web.error.address")
        typed, settings = await told(request), screen.settings(request)
        by = str(typed.get("by") or settings.stamp)
        try:
            event = await run_in_threadpool(_write, place, name, act, typed, by)
        except Refused as refusal:
            if not wants_page(request):
                raise
            context = screen.page("procedure").view(
                place, settings, name=name, typed={**typed, "by": by}, refusal=refusal, entering=act
            )
            return screen.put(request, "procedure", context, status=422)
        if not wants_page(request):
            return JSONResponse({"ok": True, "event": event.id})
        return RedirectResponse(f"/procedures/{quote(name)}", status_code=303)

    @router.get("/api/procedures")
    def listed() -> dict[str, Any]:
        return {"ok": True, "procedures": [to_data(one) for one in procedures(place)]}

    @router.get("/api/procedures/{name}")
    def one(name: str) -> dict[str, Any]:
        beyond = [to_data(trip) for trip in promises_beyond_tests(place, name)]
        return {"ok": True, "procedure": to_data(procedure_of(place, name)), "beyond": beyond}

    @router.get("/api/joints/{id}/procedure")
    def joint(id: str) -> dict[str, Any]:
        now = look(place, id)
        return {"ok": True, **to_data(watched(place, now.plan, now.state.record))}

    return router


def _write(place: Place, name: str, act: str, typed: dict[str, Any], by: str) -> Event:
    facts = typed["facts"] if isinstance(typed.get("facts"), dict) else typed
    facts = {key: value for key, value in facts.items() if key not in NOT_FACTS and value}
    client_id = str(typed.get("client_id") or "")
    if act == "written":
        return write_procedure(place, name, facts, by=by, client_id=client_id)
    if act == "tested":
        return record_test(place, name, facts, by=by, client_id=client_id)
    return take_back_procedure(place, name, str(typed.get("event") or ""), why=str(typed.get("why") or ""), by=by)
