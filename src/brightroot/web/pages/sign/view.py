"""Signing in: stamp and PIN; the first time with a one-time code, by which one chooses a PIN of one's own."""

from __future__ import annotations

import re
from typing import Any

from fastapi import APIRouter, Request, Response
from fastapi.responses import JSONResponse, RedirectResponse
from starlette.concurrency import run_in_threadpool

from brightroot.app.ports import Place
from brightroot.base.errors import Refused
from brightroot.web.actions import told
from brightroot.web.doors import DEVICE_COOKIE, SESSION_COOKIE, Gate, secure
from brightroot.web.errors import wants_page
from brightroot.web.screen import Screen
from brightroot.web.settings import Settings
from brightroot.web.shown import Shown

ROUTE = "/sign-in"
TITLE = "access.sign.title"
SESSION_S = 7 * 86_400


def view(
    place: Place,
    settings: Settings,
    *,
    back: str = "",
    device: Any = None,
    stamp: Any = "",
    refusal: Any = None,
    first: Any = False,
) -> dict[str, Any]:
    """The two forms; `device` is None where there are no doors."""
    return {
        "back": back if re.fullmatch(r"/(?![/\\])[^\\\r\n]*", back) else "/",
        "device": device,
        "stamp": stamp,
        "first": first,
        "sentence": Shown(settings).refused(refusal) if refusal else "",
    }


def routes(place: Place, screen: Screen) -> APIRouter:
    """In and out."""
    router = APIRouter(include_in_schema=False)

    @router.get("/sign-in")
    def shown(request: Request, back: str = "/") -> Response:
        gate = gate_of(request)
        device = name_of(gate, gate.doors.device(request.cookies.get(DEVICE_COOKIE, ""))) if gate else None
        return screen.put(request, "sign", view(place, screen.settings(request), back=back, device=device))

    @router.post("/sign-in")
    async def signed_in(request: Request) -> Response:
        typed = {name: str(value) for name, value in (await told(request)).items()}
        gate = gate_of(request)
        if gate is None:
            return RedirectResponse("/", 303)
        device = await run_in_threadpool(gate.doors.device, request.cookies.get(DEVICE_COOKIE, ""))
        try:
            token = await run_in_threadpool(_signed, gate, typed, device)
        except Refused as refusal:
            if not wants_page(request):
                raise
            context = view(
                place, screen.settings(request), back=typed.get("back", "/"), device=name_of(gate, device),
                stamp=typed.get("stamp", ""), refusal=refusal, first="code" in typed,
            )  # fmt: skip
            return screen.put(request, "sign", context, status=status_of(refusal))
        where = view(place, screen.settings(request), back=typed.get("back", "/"))["back"]
        answer: Response = (
            RedirectResponse(where, 303) if wants_page(request) else JSONResponse({"ok": True, "see": where})
        )
        return keep(answer, request, SESSION_COOKIE, token, SESSION_S)

    @router.post("/sign-out")
    async def signed_out(request: Request) -> Response:
        gate = gate_of(request)
        if gate is not None:
            await run_in_threadpool(gate.doors.sign_out, request.cookies.get(SESSION_COOKIE, ""))
        answer: Response = RedirectResponse("/sign-in", 303) if wants_page(request) else JSONResponse({"ok": True})
        answer.delete_cookie(SESSION_COOKIE)
        return answer

    return router


def _signed(gate: Gate, typed: dict[str, str], device: str) -> str:
    """A session's token, by PIN or by a one-time code with a new PIN."""
    stamp = typed.get("stamp", "").strip()
    if "code" not in typed:
        return gate.doors.sign_in(stamp, typed.get("pin", ""), device)
    if typed.get("new_pin", "") != typed.get("again", ""):
        raise Refused(field="pin", wanted="the same twice", got="two", reason="access.pins_differ")
    gate.doors.fit(typed.get("new_pin", ""), stamp)  # before the code is spent
    named = gate.doors.spend(typed["code"], "person")
    if not gate.crew().roles(named):
        raise Refused(field="code", wanted="a code that is fresh and unused", got="another", reason="access.code")
    gate.doors.set_pin(named, typed["new_pin"])
    return gate.doors.sign_in(named, typed["new_pin"], device)


def name_of(gate: Gate, device: str) -> str:
    """What the foreman called it."""
    known = gate.crew().open_device(device)
    return known.name if known else device


def status_of(refusal: Refused) -> int:
    """429 for a wait, 403 for what does not fit, 422 for what can be typed better."""
    return {"access.wait": 429, "access.wrong": 403, "access.code": 403}.get(refusal.reason, 422)


def gate_of(request: Request) -> Gate | None:
    """The doors of this server; None where it serves this machine alone."""
    found: Gate | None = request.app.state.gate
    return found


def keep(answer: Response, request: Request, name: str, value: str, age_s: int) -> Response:
    """A cookie that no script reads and no other site sends."""
    answer.set_cookie(
        name, value, max_age=age_s, httponly=True, samesite="strict", secure=secure(request.headers, request.url.scheme)
    )
    return answer
