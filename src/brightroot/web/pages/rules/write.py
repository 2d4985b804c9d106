"""Confirm a row, tighten a limit, take either back. Forms and JSON alike."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any
from urllib.parse import urlencode

from fastapi import APIRouter, Request, Response
from fastapi.responses import JSONResponse, RedirectResponse
from starlette.concurrency import run_in_threadpool

from brightroot.app.ports import Place
from brightroot.app.rules_read import confirm_row, limit_typed, rule_rows, take_back, tighten
from brightroot.base.errors import Refused
from brightroot.model.event import Event
from brightroot.web.actions import told
from brightroot.web.errors import wants_page
from brightroot.web.screen import Screen

KEPT = ("code", "show", "rows", "stamp", "joint")  # what the page was showing


def routes(place: Place, screen: Screen) -> APIRouter:
    """The routes that write in the shop's rules."""
    router = APIRouter(include_in_schema=False)

    @router.post("/rules/{act}")
    async def written(request: Request, act: str) -> Response:
        typed = {name: str(value) for name, value in (await told(request)).items()}
        settings = screen.settings(request)
        do = ACTS.get(act)
        if do is None:
            raise Refused(field="address", wanted="confirm, tighten or take-back", got=act, reason="web.error.address")
        by = typed.get("by") or settings.stamp
        back = {name: typed.get(f"page_{name}", "") for name in KEPT}
        anchor = typed.get("anchor") or anchor_of(typed.get("code", ""), typed.get("row", ""))
        if "page_code" not in typed and typed.get("code") in place.library.codes:
            back = {**back, "code": typed["code"], "show": "every"}
        try:
            event = await run_in_threadpool(do, place, typed, by)
        except Refused as refusal:
            if not wants_page(request):
                raise
            context = screen.page("rules").view(
                place, settings, **back, refusal=refusal, at=f"{act} {anchor}", typed={**typed, "by": by}
            )
            return screen.put(request, "rules", context, status=422)
        if not wants_page(request):
            return JSONResponse({"ok": True, "event": event.id})
        shown = urlencode({name: value for name, value in back.items() if value})
        return RedirectResponse(f"/rules?{shown}#{anchor}", status_code=303)

    return router


def anchor_of(code: str, row: str) -> str:
    """The place of a row on the page."""
    return "r-" + "".join(c if c.isalnum() or c in "-_." else "-" for c in f"{code}.{row}")


def _confirm(place: Place, typed: dict[str, str], by: str) -> Event:
    edition, ref = typed.get("edition", ""), typed.get("ref", "")
    return confirm_row(
        place, typed.get("code", ""), typed.get("row", ""), edition=edition, ref=ref, by=by,
        client_id=typed.get("client_id", ""),
    )  # fmt: skip


def _tighten(place: Place, typed: dict[str, str], by: str) -> Event:
    code, name, text = typed.get("code", ""), typed.get("row", ""), typed.get("limit", "")
    found = next((r for r in rule_rows(place) if (r.code.id, r.row.id) == (code, name)), None)
    limit: Any = limit_typed(found.clause, text) if found and found.clause else text
    return tighten(place, code, name, limit, why=typed.get("why", ""), by=by, client_id=typed.get("client_id", ""))


def _take_back(place: Place, typed: dict[str, str], by: str) -> Event:
    return take_back(place, typed.get("event", ""), why=typed.get("why", ""), by=by)


ACTS: dict[str, Callable[[Place, dict[str, str], str], Event]] = {
    "confirm": _confirm,
    "tighten": _tighten,
    "take-back": _take_back,
}
