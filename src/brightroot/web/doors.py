"""Who gets through to which address. Every route stands in this one table; one that does not stand in it stays shut.

On the loopback alone there are no doors. On a network the device is asked first, then the person, then their role; the
store behind is guarded besides, so a page that forgets a rule still shows nothing past it.
"""

from __future__ import annotations

import secrets
from contextvars import ContextVar
from dataclasses import dataclass, replace
from hashlib import sha256
from threading import Lock
from urllib.parse import quote

from fastapi import Request
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import Headers
from starlette.exceptions import HTTPException
from starlette.routing import compile_path

from brightroot.app.access import Act, Who, ask
from brightroot.app.crew import Crew, crew
from brightroot.app.ports import Place
from brightroot.base.errors import Refused
from brightroot.store.doors import Doors
from brightroot.store.keys import TAP, Tap, holds

DEVICE_COOKIE, SESSION_COOKIE = "brightroot_device", "brightroot_session"
ANYONE, AT_THE_DOOR = "anyone", "an enrolled device"
ASKING: ContextVar[Who | None] = ContextVar("asking", default=None)
FRESH_S = 1.0  # how long the crew is believed without looking again, when another process may have changed it

RULES: dict[str, Act | str] = {
    # what shows nothing of anybody
    "GET /static/{path:path}": ANYONE,
    "GET /pages/{name}.js": ANYONE,
    "GET /enrol": ANYONE,
    "POST /enrol": ANYONE,
    "POST /settings": ANYONE,
    "GET /sign-in": AT_THE_DOOR,
    "POST /sign-in": AT_THE_DOOR,
    "POST /sign-out": AT_THE_DOOR,
    # joints
    "GET /": Act.LOOK,
    "GET /joints/new": Act.DECLARE,
    "POST /joints": Act.DECLARE,
    "POST /joints/{id}/like": Act.DECLARE,
    "GET /joints/{id}": Act.LOOK,
    "GET /joints/{id}/clock": Act.LOOK,
    "GET /joints/{id}/tint": Act.LOOK,
    "GET /joints/{id}/compare": Act.LOOK,
    "GET /joints/{id}/evidence": Act.LOOK,
    "GET /joints/{id}/fastest": Act.LOOK,
    "POST /joints/{id}/fastest": Act.DECLARE,
    "GET /joints/{id}/gas": Act.LOOK,
    "GET /joints/{id}/heat": Act.LOOK,
    "GET /joints/{id}/look": Act.LOOK,
    "GET /joints/{id}/look/{sha256}.jpg": Act.LOOK,
    "POST /joints/{id}/look": Act.RECORD,
    "GET /joints/{id}/now": Act.LOOK,
    "GET /joints/{id}/print": Act.LOOK,
    "GET /joints/{id}/purge": Act.LOOK,
    "GET /joints/{id}/why": Act.LOOK,
    "GET /joints/{id}/state": Act.LOOK,
    "GET /joints/{id}/stream": Act.LOOK,
    "GET /joints/{id}/dossier.pdf": Act.LOOK,
    "GET /joints/{id}/traveller.pdf": Act.LOOK,
    "POST /joints/{id}/dossier": Act.ISSUE,
    "POST /joints/{id}/events": Act.RECORD,
    "POST /joints/{id}/photos": Act.RECORD,
    # people, rules, crew
    "GET /may": Act.LOOK,
    "GET /people/record.pdf": Act.LOOK,
    "GET /people/{stamp}/{id}/record.pdf": Act.LOOK,
    "POST /people/{stamp}/{act}": Act.QUALIFY,
    "GET /rules": Act.LOOK,
    "POST /rules/{act}": Act.RULE,
    "GET /dossiers": Act.LOOK,
    "POST /dossiers/pack": Act.ISSUE,
    "GET /procedures": Act.LOOK,
    "GET /procedures/{name}": Act.LOOK,
    "POST /procedures": Act.RULE,
    "POST /procedures/{name}/{act}": Act.RULE,
    "GET /api/procedures": Act.LOOK,
    "GET /api/procedures/{name}": Act.LOOK,
    "GET /api/joints/{id}/procedure": Act.LOOK,
    "GET /crew": Act.CREW,
    "POST /crew/{act}": Act.CREW,
    # for programs
    "GET /api/openapi.json": Act.LOOK,
    "GET /api/joints": Act.LOOK,
    "POST /api/joints": Act.DECLARE,
    "POST /api/plan": Act.LOOK,
    "GET /api/joints/{id}": Act.LOOK,
    "GET /api/joints/{id}/why": Act.LOOK,
    "GET /api/joints/{id}/log": Act.LOOK,
    "GET /api/joints/{id}/verdicts": Act.LOOK,
    "GET /api/joints/{id}/state": Act.LOOK,
    "POST /api/joints/{id}/events": Act.RECORD,
    "POST /api/joints/{id}/samples": Act.RECORD,
}


def _compiled() -> list[tuple[str, object, Act | str]]:
    ordered = sorted(RULES, key=lambda rule: (rule.count("{"), rule))
    return [(rule.split(" ")[0], compile_path(rule.split(" ")[1])[0], RULES[rule]) for rule in ordered]


_TABLE = _compiled()


def rule_of(method: str, path: str) -> Act | str | None:
    """What an address asks for, or None where the table does not know it. A look at the head asks the same as a look."""
    method = "GET" if method == "HEAD" else method
    for wanted, pattern, rule in _TABLE:
        if wanted == method and pattern.match(path):  # type: ignore[attr-defined]
            return rule
    return None


@dataclass(frozen=True, slots=True)
class Entry:
    """What became of somebody at the door: in (who), or what is asked of them first."""

    who: Who | None = None
    asks: str = ""  # device | person
    device: str = ""


def who_of(request: Request) -> Who | None:
    """Who has signed in for this request; nobody where there are no doors."""
    return getattr(request.state, "who", None)


class Gate:
    """The doors of one place. `place` is the unguarded one: only what happens at the door itself may use it."""

    def __init__(self, place: Place, doors: Doors) -> None:
        self.place = place
        self.doors = doors
        self._lock = Lock()
        self._crew: tuple[float, Crew] | None = None

    def crew(self) -> Crew:
        """The crew, looked at anew at least every second and after every change made here."""
        now_s = self.place.now_s()
        with self._lock:
            kept = self._crew
        if kept is None or not 0 <= now_s - kept[0] <= FRESH_S:
            kept = (now_s, crew(self.place))
            with self._lock:
                self._crew = kept
        return kept[1]

    def changed(self) -> None:
        """The crew was changed here."""
        with self._lock:
            self._crew = None

    def admit(self, request: Request, rule: Act | str) -> Entry:
        """Let a request in, or say what it needs first. Raises Refused where the role may not."""
        if rule == ANYONE:
            return Entry()
        now = self.crew()
        device = self.doors.device(request.cookies.get(DEVICE_COOKIE, ""))
        if not device or now.open_device(device) is None:
            return Entry(asks="device")
        session = self.doors.session(request.cookies.get(SESSION_COOKIE, ""))
        who = Who(session.stamp, now.roles(session.stamp), device) if session and session.device == device else None
        if who is None or not who.roles:
            return Entry(asks="" if rule == AT_THE_DOOR else "person", device=device)
        if isinstance(rule, Act):
            ask(who, rule)
        return Entry(who, device=device)


async def pass_the_gate(gate: Gate, request: Request) -> Entry:
    """The middleware's question; off the event loop, since it looks into the store."""
    rule = rule_of(request.method, request.url.path)
    if rule is None:
        raise Refused(
            field="address", wanted="an address that is here", got=request.url.path, reason="web.error.address"
        )
    entry = await run_in_threadpool(gate.admit, request, rule)
    if request.method not in ("GET", "HEAD"):
        await ask_origin(request)
    if entry.who is not None and request.method == "POST" and request.url.path.endswith("/events"):
        return replace(entry, who=replace(entry.who, tap=await signed_tap(gate, request, entry.device)))
    return entry


async def signed_tap(gate: Gate, request: Request, device: str) -> Tap | None:
    """What the device signed with a key of its own: address and body as they were sent. Refused where it does not fit.

    It carries an id of its own, so that the same sent again, by whomever, is the same entry and no second one.
    """
    known = gate.crew().open_device(device)
    if known is None or known.held != "device":
        return None
    told = request.headers.get("x-device-signature", "")
    if not told:
        raise Refused(field="signature", wanted="this device's signature", got="none", reason="access.unsigned")
    body = await request.body()
    statement = request.scope.get("raw_path", request.url.path.encode()) + b"\n" + body
    signature = bytes.fromhex(told) if len(told) == 128 and set(told) <= set("0123456789abcdef") else b""
    if not holds(known.public_key, TAP + statement, signature) or b'"client_id"' not in body:
        raise Refused(field="signature", wanted="this device's signature", got="another", reason="access.signature")
    return Tap(statement, signature, known.public_key)


def form_token(session: str) -> str:
    """What a form of this session carries, so that no page of another site can send one."""
    return sha256(f"form {session}".encode()).hexdigest()[:32] if session else ""


async def ask_origin(request: Request) -> None:
    """A form is taken from a page of this session only; without a session, only with this server's own origin."""
    kind = request.headers.get("content-type", "").split(";")[0].strip().lower()
    if kind == "application/json" or kind.startswith("image/") or kind == "application/zip":
        return  # a page of another site cannot send these without asking first
    wanted = form_token(request.cookies.get(SESSION_COOKIE, ""))
    if not wanted:
        if request.headers.get("origin") or request.headers.get("sec-fetch-site") == "same-origin":
            return  # that it is ours was looked at before
        raise Refused(field="origin", wanted="a page of this server", got="none told", reason="web.error.origin")
    try:
        await request.body()
        got = (await request.form()).get("csrf")
    except HTTPException as fault:
        if fault.status_code == 413:
            raise Refused(field="body", wanted="less in one request", got="more", reason="web.error.large") from None
        raise Refused(field="body", wanted="a form", got="something else") from None
    if not (isinstance(got, str) and secrets.compare_digest(got.encode(), wanted.encode())):
        raise Refused(field="origin", wanted="a form of this session", got="another", reason="web.error.origin")


def where_to(entry: Entry, request: Request) -> str:
    """The page that asks for what is missing."""
    if entry.asks == "device":
        return "/enrol"
    here = request.url.path + (f"?{request.url.query}" if request.url.query else "")
    return f"/sign-in?back={quote(here, safe='')}" if request.method == "GET" else "/sign-in"


def secure(headers: Headers, scheme: str) -> bool:
    """Whether the cookie may be kept to HTTPS."""
    return scheme == "https" or headers.get("x-forwarded-proto", "") == "https"
