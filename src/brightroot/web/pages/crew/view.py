"""The foreman's page: who works here in which roles, which devices are let in, and one-time codes for both."""

from __future__ import annotations

import secrets
from io import BytesIO
from typing import Any

import segno
from fastapi import APIRouter, Request, Response
from fastapi.responses import JSONResponse
from starlette.concurrency import run_in_threadpool

from brightroot.app.access import ROLES
from brightroot.app.crew import release, revoke_device, take_on
from brightroot.app.ports import Place
from brightroot.base.errors import Refused
from brightroot.model.streams import log_of, stamp_of
from brightroot.web.actions import told
from brightroot.web.doors import Gate, who_of
from brightroot.web.errors import wants_page
from brightroot.web.pages.sign.view import gate_of
from brightroot.web.screen import Screen
from brightroot.web.settings import Settings
from brightroot.web.shown import Shown

ROUTE = "/crew"
TITLE = "access.crew.title"
ACTS = ("take-on", "code", "sign-out", "release", "enrol", "revoke")


def view(
    place: Place, settings: Settings, *, gate: Any = None, made: Any = None, refusal: Any = None, typed: Any = None
) -> dict[str, Any]:
    """Everybody and everything let in; `made` is a code to show, once."""
    now = gate.crew() if gate else None
    there = {session.stamp for session in gate.doors.sessions()} if gate else set()
    members = list(now.members.values()) if now else []
    return {
        "open": gate is None,
        "members": sorted(members, key=lambda m: (bool(m.released), m.stamp)),
        "devices": sorted(now.devices.values(), key=lambda d: (bool(d.revoked), d.id)) if now else [],
        "people_in": there,
        "no_pin": {m.stamp for m in members if not gate.doors.has_pin(m.stamp)} if gate else set(),
        "people_count": sum(not m.released for m in members),
        "device_count": sum(not d.revoked for d in now.devices.values()) if now else 0,
        "roles": ROLES,
        "aside": [
            *((one["reason"], one["begins"][:80]) for one in gate.place.store.aside()),
            *(("fork", f"{event.joint} {event.id} {event.kind}, {event.by}") for event in gate.place.store.conflicts()),
        ]
        if gate
        else [],
        "made": made,
        "typed": typed or {},
        "sentence": Shown(settings).refused(refusal) if refusal else "",
    }


def routes(place: Place, screen: Screen) -> APIRouter:
    """What a foreman does here."""
    router = APIRouter(include_in_schema=False)

    @router.get("/crew")
    def shown(request: Request) -> Response:
        return screen.put(request, "crew", view(place, screen.settings(request), gate=gate_of(request)))

    @router.post("/crew/{act}")
    async def done(request: Request, act: str) -> Response:
        gate, who = gate_of(request), who_of(request)
        if gate is None or who is None or act not in ACTS:
            raise Refused(field="address", wanted=", ".join(ACTS), got=act, reason="web.error.address")
        typed = {name: str(value) for name, value in (await told(request)).items()}
        if "roles" in (form := await _form(request)):
            typed["roles"] = ", ".join(form["roles"])
        made, refused = None, None
        try:
            made = await run_in_threadpool(_done, gate, act, typed, who.stamp, str(request.base_url))
        except Refused as refusal:
            if not wants_page(request):
                raise
            refused = refusal
        if not wants_page(request):
            return JSONResponse({"ok": True, **{k: v for k, v in (made or {}).items() if k != "qr"}})
        context = await run_in_threadpool(
            lambda: view(place, screen.settings(request), gate=gate, made=made, refusal=refused, typed=typed)
        )
        return screen.put(request, "crew", context, status=422 if refused else 200)

    return router


async def _form(request: Request) -> dict[str, list[str]]:
    """Boxes that were ticked: several values of one name."""
    if "json" in request.headers.get("content-type", ""):
        return {}
    form = await request.form()
    return {name: [v for v in form.getlist(name) if isinstance(v, str)] for name in form}


def _done(gate: Gate, act: str, typed: dict[str, str], by: str, base: str) -> dict[str, str] | None:
    """Do it, and the code that is to be shown for it, if any."""
    stamp, why = typed.get("stamp", "").strip(), typed.get("why", "").strip()
    try:
        if act == "take-on":
            stamp = stamp_of(log_of(stamp))
            fresh = not gate.crew().roles(stamp)
            take_on(gate.place, stamp, typed.get("roles", ""), by=by)
            gate.changed()
            return person_code(gate, stamp) if fresh or not gate.doors.has_pin(stamp) else None
        if act == "code":
            return person_code(gate, stamp)
        if act == "sign-out":
            gate.doors.sign_out_everywhere(stamp)
        elif act == "release":
            release(gate.place, stamp, why=why, by=by)
            gate.doors.forget(stamp)
        elif act == "enrol":
            return device_code(gate, typed.get("name", ""), by=by, base=base)
        elif act == "revoke":
            revoke_device(gate.place, typed.get("device", ""), why=why, by=by)
            gate.doors.shut_out(typed.get("device", ""))
    finally:
        gate.changed()
    return None


def person_code(gate: Gate, stamp: str) -> dict[str, str]:
    """A one-time code by which somebody of the crew chooses their PIN."""
    now = gate.crew()
    if not now.roles(stamp):
        near = tuple(now.members)[:3]
        raise Refused(field="stamp", wanted="somebody of the crew", got=stamp, near=near, reason="refused.name")
    return {"kind": "person", "name": stamp, "code": gate.doors.new_code(f"person:{stamp}")}


def device_code(gate: Gate, name: str, *, by: str, base: str) -> dict[str, str]:
    """A one-time code by which a device is let in, with its address and that as a square to photograph."""
    device = f"d-{secrets.token_hex(4)}"
    code = gate.doors.new_code(f"device:{device}|{by}|{name.strip()[:40] or device}")
    address = f"{base}enrol#{code}"
    return {
        "kind": "device",
        "name": name.strip()[:40] or device,
        "code": code,
        "address": f"{base}enrol",
        "qr": qr(address),
    }


def qr(text: str) -> str:
    """A square of that text as SVG, drawn with paths alone: nothing inline that the policy would stop."""
    out = BytesIO()
    segno.make(text, error="m").save(
        out, kind="svg", scale=6, border=4, xmldecl=False, svgns=True, dark="#000", light="#fff"
    )
    return out.getvalue().decode()
