"""Letting a device in by a one-time code. With HTTPS it brings a signing key of its own; else the server makes one for it."""

from __future__ import annotations

import re
from typing import Any

from fastapi import APIRouter, Request, Response
from fastapi.responses import JSONResponse, RedirectResponse
from starlette.concurrency import run_in_threadpool

from brightroot.app.crew import enrol_device
from brightroot.app.ports import Place
from brightroot.base.errors import Refused
from brightroot.web.actions import told
from brightroot.web.doors import DEVICE_COOKIE, Gate
from brightroot.web.errors import wants_page
from brightroot.web.pages.sign.view import gate_of, keep, status_of
from brightroot.web.screen import Screen
from brightroot.web.settings import Settings
from brightroot.web.shown import Shown

ROUTE = "/enrol"
TITLE = "access.enrol.title"
DEVICE_S = 5 * 365 * 86_400


def view(
    place: Place, settings: Settings, *, gate: Any = None, device: Any = "", refusal: Any = None
) -> dict[str, Any]:
    """The form, or that this device is in."""
    return {
        "open": gate is None,
        "device": device,
        "sentence": Shown(settings).refused(refusal) if refusal else "",
    }


def routes(place: Place, screen: Screen) -> APIRouter:
    """The way in."""
    router = APIRouter(include_in_schema=False)

    @router.get("/enrol")
    def shown(request: Request) -> Response:
        gate = gate_of(request)
        device = gate.doors.device(request.cookies.get(DEVICE_COOKIE, "")) if gate else ""
        if gate is not None and gate.crew().open_device(device) is None:
            device = ""
        return screen.put(request, "enrol", view(place, screen.settings(request), gate=gate, device=device))

    @router.post("/enrol")
    async def enrolled(request: Request) -> Response:
        typed = {name: str(value) for name, value in (await told(request)).items()}
        gate = gate_of(request)
        if gate is None:
            return RedirectResponse("/", 303)
        try:
            cookie, held = await run_in_threadpool(let_in, gate, typed.get("code", ""), typed.get("public_key", ""))
        except Refused as refusal:
            if not wants_page(request):
                raise
            context = view(place, screen.settings(request), gate=gate, refusal=refusal)
            return screen.put(request, "enrol", context, status=status_of(refusal))
        told_device = {"ok": True, "device": cookie.partition(".")[0], "held": held, "see": "/sign-in"}
        answer: Response = RedirectResponse("/sign-in", 303) if wants_page(request) else JSONResponse(told_device)
        return keep(answer, request, DEVICE_COOKIE, cookie, DEVICE_S)

    return router


def let_in(gate: Gate, code: str, public_key: str) -> tuple[str, str]:
    """The device's cookie, and where its key is held. The code says which device it is and by whose word."""
    if public_key and not re.fullmatch(r"[0-9a-f]{64}", public_key):
        raise Refused(field="public_key", wanted="an Ed25519 key of 64 hexadecimal digits", got="something else")
    named = gate.doors.spend(code, "device")
    device, by, name = (*named.split("|", 2), "", "")[:3]
    cookie, told = gate.doors.admit(device, public_key=public_key)
    held = "device" if public_key else "server"
    enrol_device(gate.place, device, name=name, public_key=told, held=held, by=by)
    gate.changed()
    return cookie, held
