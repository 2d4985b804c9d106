"""The web server of one shop: pages found by folder, actions, API, and the headers that keep everything at home."""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from dataclasses import replace
from ipaddress import ip_address
from urllib.parse import urlsplit

from fastapi import FastAPI, Request, Response
from fastapi.responses import FileResponse, RedirectResponse
from fastapi.staticfiles import StaticFiles
from starlette.exceptions import HTTPException

from brightroot import __version__
from brightroot.app.guarded import GuardedStore
from brightroot.app.ports import Place
from brightroot.base.errors import Refused
from brightroot.web.actions import actions
from brightroot.web.api import api
from brightroot.web.bounded import Bounded
from brightroot.web.doors import ASKING, Gate, pass_the_gate, where_to
from brightroot.web.errors import answered, install_errors, status_of, wants_page
from brightroot.web.screen import HERE, Page, Screen, open_screen

HEADERS = {
    "Content-Security-Policy": (
        "default-src 'self'; img-src 'self' data: blob:; object-src 'none'; base-uri 'none'; "
        "frame-ancestors 'none'; form-action 'self'"
    ),
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "same-origin",
}
OWN_ANSWERS = ("/sign-in", "/enrol", "/crew")  # pages that ask the doors, and so answer for themselves
SAFE = ("GET", "HEAD", "OPTIONS")


def build(place: Place, *, by: str = "", gate: Gate | None = None, here_only: bool = False) -> FastAPI:
    """The application over a place. `by` is the stamp that stands in the settings until somebody types their own.

    `gate`: devices are enrolled and people sign in, since the server is on a network; `place` is then guarded.
    `here_only`: it answers to this machine's own addresses alone, so that no name from elsewhere can lead a browser here.
    """
    if gate is not None:
        place = replace(place, store=GuardedStore(place.store, ASKING.get))
    app = FastAPI(
        title="Brightroot", version=__version__, docs_url=None, redoc_url=None, openapi_url="/api/openapi.json"
    )
    screen = open_screen(now_s=place.now_s, by=by)
    install_errors(app, screen)
    app.state.gate = gate
    app.middleware("http")(_guarded(screen, gate, here_only=here_only))
    app.add_middleware(Bounded)
    app.include_router(api(place, screen))
    app.include_router(actions(place, screen))
    for page in screen.pages:
        routes = getattr(page.module, "routes", None)  # a page may bring answers of its own
        if routes is not None:
            app.include_router(routes(place, screen))
    for page in screen.pages:
        if page.route in OWN_ANSWERS:
            continue
        app.add_api_route(page.route, _shows(place, screen, page), include_in_schema=False)
    app.add_api_route("/pages/{name}.js", _scripts(screen), include_in_schema=False)
    app.mount("/static", StaticFiles(directory=HERE / "static"), name="static")
    return app


def _shows(place: Place, screen: Screen, page: Page) -> Callable[[Request], Response]:
    def show(request: Request) -> Response:
        return screen.put(request, page.name, page.filled(place, screen.settings(request), request))

    return show


def _scripts(screen: Screen) -> Callable[[str], Response]:
    there = {page.name: page.script for page in screen.pages if page.script.exists()}

    def script(name: str) -> Response:
        if name not in there:
            raise HTTPException(404)
        return FileResponse(there[name], media_type="text/javascript")

    return script


Next = Callable[[Request], Awaitable[Response]]


def _guarded(screen: Screen, gate: Gate | None, *, here_only: bool) -> Callable[[Request, Next], Awaitable[Response]]:
    """A page of another site may not write here; nothing of ours may call out; and nobody passes a door they may not."""

    async def guarded(request: Request, go_on: Next) -> Response:
        try:
            response = await _passed(screen, gate, request, go_on, here_only=here_only)
        except Refused as refusal:
            status = {"web.error.address": 404, "web.error.origin": 403}.get(refusal.reason) or status_of(refusal)
            response = answered(screen, request, refusal, status)
        for name, value in HEADERS.items():
            response.headers.setdefault(name, value)
        if not request.url.path.startswith("/static/"):
            response.headers.setdefault("Cache-Control", "no-store")
        return response

    return guarded


async def _passed(screen: Screen, gate: Gate | None, request: Request, go_on: Next, *, here_only: bool) -> Response:
    if here_only and not _this_machine(request.headers.get("host", "")):
        got = request.headers.get("host", "")
        raise Refused(field="host", wanted="an address of this machine", got=got, reason="access.host")
    origin = request.headers.get("origin")
    if request.method not in SAFE and origin and urlsplit(origin).netloc != request.headers.get("host", ""):
        raise Refused(field="origin", wanted="a page of this server", got=origin, reason="web.error.origin")
    if gate is None:
        return await go_on(request)
    entry = await pass_the_gate(gate, request)
    if entry.asks:
        if wants_page(request):
            return RedirectResponse(where_to(entry, request), status_code=303)
        wanted, reason = ("an enrolled device", "access.device") if entry.asks == "device" else ("", "access.nobody")
        raise Refused(
            field="device" if wanted else "stamp", wanted=wanted or "somebody signed in", got="nobody", reason=reason
        )
    request.state.who = entry.who
    asking = ASKING.set(entry.who)
    try:
        return await go_on(request)
    finally:
        ASKING.reset(asking)


def _this_machine(host: str) -> bool:
    """An address in digits or this machine's own name: whatever else a browser was led here by is not ours."""
    name = urlsplit(f"//{host}").hostname or ""
    try:
        ip_address(name)
    except ValueError:
        return name == "localhost" or name.endswith(".localhost")
    return True
