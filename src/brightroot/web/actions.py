"""What a person does on the pages: declare, make more alike, record, change settings. Forms and JSON alike."""

from __future__ import annotations

import re
from typing import Any
from urllib.parse import quote

from fastapi import APIRouter, Request, Response
from fastapi.responses import JSONResponse, RedirectResponse
from starlette.concurrency import run_in_threadpool

from brightroot.app.declare_joint import declare_joint
from brightroot.app.plan_joint import declare, declare_like
from brightroot.app.ports import Place
from brightroot.app.work_live import record
from brightroot.base.errors import Refused, gathered
from brightroot.base.instant import seconds_of, utc_of
from brightroot.model.facts import FACTS_BY_NAME
from brightroot.web.errors import wants_page
from brightroot.web.screen import Screen
from brightroot.web.settings import COOKIE, YEAR_S, Settings, changed, cookie_of
from brightroot.web.shown import Shown

AHEAD_S = 25 * 3600.0
NOT_FACTS = ("by", "client_id")


def actions(place: Place, screen: Screen) -> APIRouter:
    """The routes that write."""
    router = APIRouter(include_in_schema=False)

    @router.post("/joints")
    async def declared(request: Request) -> Response:
        typed = await told(request)
        settings = screen.settings(request)
        facts = {name: value for name, value in typed.items() if name not in NOT_FACTS}
        by = str(typed.get("by") or settings.stamp)
        try:
            plan = await run_in_threadpool(_declare, place, facts, by, str(typed.get("client_id") or ""))
        except Refused as refusal:
            if not wants_page(request):
                raise
            page = screen.page("new")
            context = page.view(place, settings, typed={**typed, "by": by}, refusal=refusal)
            return screen.put(request, "new", context, status=422)
        where = f"/joints/{quote(plan, safe='')}"
        if not wants_page(request):
            return JSONResponse({"ok": True, "id": plan, "see": where})
        return remembered(RedirectResponse(where, status_code=303), changed(settings, {"stamp": by}))

    @router.post("/joints/{id}/like")
    async def liked(request: Request, id: str) -> Response:
        typed = await told(request)
        by = str(typed.get("by") or screen.settings(request).stamp)
        names = tuple(name for name in re.split(r"[,;\n]+|\s{2,}", str(typed.get("names", ""))) if name.strip())
        try:
            made = await run_in_threadpool(_like, place, id, tuple(name.strip() for name in names), by)
        except Refused as refusal:
            if not wants_page(request) or id not in place.store.joints():
                raise
            settings = screen.settings(request)
            mend = {"names": str(typed.get("names", "")), "by": by, "sentence": Shown(settings).refused(refusal)}
            context = screen.page("joints").view(place, settings, like=id, mend=mend)
            return screen.put(request, "joints", context, status=422)
        if not wants_page(request):
            return JSONResponse({"ok": True, "ids": list(made)})
        return RedirectResponse(f"/?made={quote(','.join(made))}", status_code=303)

    @router.post("/joints/{id}/events")
    async def recorded(request: Request, id: str) -> Response:
        typed = await told(request)
        by = str(typed.get("by") or screen.settings(request).stamp)
        event = await run_in_threadpool(record_typed, place, id, typed, by)
        if not wants_page(request):
            said = {"ok": True, "event": event.id, "at_utc": event.at_utc}
            return JSONResponse({**said, "receipt": await run_in_threadpool(place.store.receipt, event)})
        return RedirectResponse(_home(str(typed.get("back", "")), f"/joints/{quote(id, safe='')}/now"), 303)

    @router.post("/settings")
    async def settle(request: Request) -> Response:
        typed = await told(request)
        settings = changed(screen.settings(request), {k: str(v) for k, v in typed.items()})
        if not wants_page(request):
            return remembered(JSONResponse({"ok": True}), settings)
        return remembered(RedirectResponse(_home(str(typed.get("back", "")), "/"), 303), settings)

    return router


async def told(request: Request) -> dict[str, Any]:
    """The body as one flat table, JSON or form. In a form `facts.gap_m` is the fact `gap_m`."""
    if "json" in request.headers.get("content-type", ""):
        try:
            body = await request.json()
        except ValueError:
            raise Refused(field="body", wanted="JSON", got="something else") from None
        if not isinstance(body, dict):
            raise Refused(field="body", wanted="an object", got=type(body).__name__)
        return body
    form = {name: value for name, value in (await request.form()).items() if isinstance(value, str) and name != "csrf"}
    facts = {name[6:]: value for name, value in form.items() if name.startswith("facts.")}
    plain = {name: value for name, value in form.items() if not name.startswith("facts.")}
    return {**plain, **({"facts": facts} if facts else {})}


def record_typed(place: Place, joint_id: str, typed: dict[str, Any], by: str) -> Any:
    """One event from a body of kind, facts, by, client_id and corrects."""
    facts = typed.get("facts") or {}
    if not isinstance(facts, dict):
        raise Refused(field="facts", wanted="an object", got=type(facts).__name__)
    _come(place, str(typed.get("at_utc") or ""))
    more = {name: str(typed.get(name) or "") for name in ("at_utc", "client_id", "corrects")}
    return record(place, joint_id, str(typed.get("kind") or ""), facts, by=by, **more)


def _come(place: Place, at_utc: str) -> None:
    """A clock may be a day off; a time further ahead is a clock that was never set, and would stand last for ever."""
    if at_utc and seconds_of(at_utc) > place.now_s() + AHEAD_S:
        wanted = f"a time that has come, {utc_of(place.now_s())[:16]} or before"
        raise Refused(field="at_utc", wanted=wanted, got=at_utc[:40], reason="refused.range")


def _declare(place: Place, facts: dict[str, Any], by: str, client_id: str) -> str:
    """The joint's name once it is declared. Everything that needs mending is said at once."""
    known = {name: str(value) for name, value in facts.items() if name in FACTS_BY_NAME or value}
    refusals: list[Refused] = []
    for check in (
        lambda: declare_joint(known, library=place.library),
        lambda: _addressable((known.get("id", ""),), field="id"),
        lambda: _stamped(by),
    ):
        try:
            check()
        except Refused as refusal:
            refusals.append(refusal)
    if refusals:
        raise gathered(refusals)
    return declare(place, known, by=by, client_id=client_id).joint.id


def _like(place: Place, joint_id: str, names: tuple[str, ...], by: str) -> tuple[str, ...]:
    _addressable(names, field="names")
    _stamped(by)
    return declare_like(place, joint_id, names, by=by)


def _stamped(by: str) -> None:
    if not by.strip():
        raise Refused(field="by", wanted="your stamp, like W-07", got="nothing", reason="refused.missing")


def _addressable(names: tuple[str, ...], *, field: str) -> None:
    """A joint's name is part of its address here."""
    for name in names:
        if "/" in name or name.strip() in ("new", ".", ".."):
            raise Refused(field=field, wanted="a name without a slash, other than “new”", got=name)


def _home(back: str, otherwise: str) -> str:
    """Only to a page of our own."""
    return back if re.fullmatch(r"/(?![/\\])[^\\\r\n]*", back) else otherwise


def remembered(response: Response, settings: Settings) -> Response:
    """The answer with the settings in its cookie."""
    response.set_cookie(COOKIE, cookie_of(settings), max_age=YEAR_S, samesite="lax", httponly=True)
    return response
