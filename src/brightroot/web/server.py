"""The web server of one shop: pages found by folder, actions, API, and the headers that keep everything at home."""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from urllib.parse import urlsplit

from fastapi import FastAPI, Request, Response
from fastapi.responses import FileResponse, JSONResponse
from fastapi.staticfiles import StaticFiles
from starlette.exceptions import HTTPException

from brightroot import __version__
from brightroot.app.ports import Place
from brightroot.base.errors import Refused
from brightroot.web.actions import actions
from brightroot.web.api import api
from brightroot.web.errors import install_errors
from brightroot.web.screen import HERE, Page, Screen, open_screen

HEADERS = {
    "Content-Security-Policy": (
        "default-src 'self'; img-src 'self' data: blob:; object-src 'none'; base-uri 'none'; "
        "frame-ancestors 'none'; form-action 'self'"
    ),
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "same-origin",
}


def build(place: Place, *, by: str = "") -> FastAPI:
    """The application over a place. `by` is the stamp that stands in the settings until somebody types their own."""
    app = FastAPI(
        title="Brightroot", version=__version__, docs_url=None, redoc_url=None, openapi_url="/api/openapi.json"
    )
    screen = open_screen(now_s=place.now_s, by=by)
    install_errors(app, screen)
    app.middleware("http")(_guarded)
    app.include_router(api(place, screen))
    app.include_router(actions(place, screen))
    for page in screen.pages:
        routes = getattr(page.module, "routes", None)  # a page may bring answers of its own
        if routes is not None:
            app.include_router(routes(place, screen))
    for page in screen.pages:
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


async def _guarded(request: Request, go_on: Callable[[Request], Awaitable[Response]]) -> Response:
    """A page of another site may not write here; nothing of ours may call out."""
    origin = request.headers.get("origin")
    response: Response
    if request.method == "POST" and origin and urlsplit(origin).netloc != request.headers.get("host", ""):
        told = Refused(field="origin", wanted="a page of this server", got=origin, reason="web.error.origin")
        response = JSONResponse(told.envelope(), status_code=403)
    else:
        response = await go_on(request)
    for name, value in HEADERS.items():
        response.headers.setdefault(name, value)
    if not request.url.path.startswith("/static/"):
        response.headers.setdefault("Cache-Control", "no-store")
    return response
