"""Finds the pages by folder and puts their templates on the screen. A page is `pages/<name>/{view.py, page.html, page.js}`."""

from __future__ import annotations

import inspect
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from importlib import import_module
from pathlib import Path
from types import ModuleType
from typing import Any

from fastapi import Request
from fastapi.responses import HTMLResponse
from jinja2 import Environment, FileSystemLoader, StrictUndefined

from brightroot.app.access import Act
from brightroot.base.errors import Broken
from brightroot.web.doors import SESSION_COOKIE, form_token, who_of
from brightroot.web.settings import CHOICES, COOKIE, Settings, settings_of
from brightroot.web.shown import Shown

HERE = Path(__file__).parent
PAGES = HERE / "pages"
# the screens of one joint, in the order of the work; each is there once its folder is
NAV = ("joint", "clock", "now", "purge", "gas", "heat", "look", "evidence", "print")


@dataclass(frozen=True, slots=True)
class Page:
    """One screen: where it is found, what it is called, and the function that fills it."""

    name: str
    route: str
    title: str  # a message id
    view: Callable[..., dict[str, Any]]
    module: ModuleType

    @property
    def script(self) -> Path:
        return PAGES / self.name / "page.js"

    def filled(self, place: Any, settings: Settings, request: Request) -> dict[str, Any]:
        """The page's context. From the query it gets only the texts that its view names."""
        parameters = inspect.signature(self.view).parameters.values()
        named = {p.name for p in parameters if p.annotation in (str, "str")}
        query = {name: value for name, value in request.query_params.items() if name in named}
        return self.view(place, settings, **{**query, **request.path_params})


def find_pages() -> tuple[Page, ...]:
    """Every page folder, the particular routes before those with slots. Raises Broken where a folder is incomplete."""
    found = [_page(folder.name) for folder in sorted(PAGES.iterdir()) if (folder / "view.py").exists()]
    return tuple(sorted(found, key=lambda page: (page.route.count("{"), page.name)))


def _page(name: str) -> Page:
    module = import_module(f"brightroot.web.pages.{name}.view")
    for wanted in ("ROUTE", "TITLE", "view"):
        if not hasattr(module, wanted):
            raise Broken(where=f"web/pages/{name}/view.py", wanted=wanted, got="nothing")
    if not (PAGES / name / "page.html").exists():
        raise Broken(where=f"web/pages/{name}", wanted="page.html", got="nothing")
    return Page(name, module.ROUTE, module.TITLE, module.view, module)


@dataclass(frozen=True, slots=True)
class Screen:
    """Templates with everything that all pages share."""

    env: Environment
    pages: tuple[Page, ...]
    now_s: Callable[[], float]
    by: str = ""

    def settings(self, request: Request) -> Settings:
        told = request.cookies.get(COOKIE, "")
        found = settings_of(told, accept_language=request.headers.get("accept-language", ""), by=self.by)
        who = who_of(request)  # somebody who has signed in writes under no other stamp
        return replace(found, stamp=who.stamp) if who is not None else found

    def page(self, name: str) -> Page:
        return next(page for page in self.pages if page.name == name)

    def put(
        self, request: Request, name: str, context: Mapping[str, Any], *, template: str = "", status: int = 200
    ) -> HTMLResponse:
        """A page's template filled and answered."""
        settings = self.settings(request)
        shown = Shown(settings)
        page = next((page for page in self.pages if page.name == name), None)
        shared: dict[str, Any] = {
            "settings": settings,
            "choices": CHOICES,
            "shown": shown,
            "say": shown.say,
            "page": name,
            "title": shown.say(page.title if page else "web.error.title"),
            "joint_id": request.path_params.get("id", ""),
            "nav": tuple(n for n in NAV if any(p.name == n for p in self.pages)),
            "script": f"/pages/{name}.js" if page and page.script.exists() else "",
            "now_s": self.now_s(),
            "signed_in": who_of(request),
            "crew_open": (who := who_of(request)) is not None and who.may(Act.CREW),
            "here": request.url.path + (f"?{request.url.query}" if request.url.query else ""),
        }
        text = self.env.get_template(template or f"{name}/page.html").render({**shared, **context})
        text = text.encode("utf-8", "replace").decode()  # half a letter that somebody sent cannot be sent back
        return HTMLResponse(signed_forms(text, request), status_code=status)


_FORM = re.compile(r"<form\b[^>]*\bmethod=[\"']post[\"'][^>]*>", re.I)


def signed_forms(html: str, request: Request) -> str:
    """Every form that writes with the token of this session in it, so that no template can forget it."""
    token = form_token(request.cookies.get(SESSION_COOKIE, ""))
    if not token:
        return html
    return _FORM.sub(lambda form: f'{form[0]}<input type="hidden" name="csrf" value="{token}">', html)


def open_screen(*, now_s: Callable[[], float], by: str = "") -> Screen:
    """The screen with all pages found. An unknown name in a template is a fault, never an empty place."""
    env = Environment(
        loader=FileSystemLoader([HERE / "templates", PAGES]),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    return Screen(env, find_pages(), now_s, by)
