"""A figure opened: in place as a fragment, or on a page of its own where no scripts run."""

from __future__ import annotations

from typing import Any

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse

from brightroot.app.plan_joint import plan_of
from brightroot.app.ports import Place
from brightroot.app.why import why
from brightroot.base.errors import Refused
from brightroot.base.formula import Input
from brightroot.web.screen import Screen
from brightroot.web.settings import Settings
from brightroot.web.shown import Shown

ROUTE = "/joints/{id}/why"
TITLE = "web.why.title"


def view(place: Place, settings: Settings, *, id: str, key: str = "") -> dict[str, Any]:
    """Everything behind one figure, in this person's words."""
    plan = plan_of(place, id)
    if not key:
        raise Refused(field="key", wanted="a figure of this plan", got="nothing", reason="refused.figure")
    shown = Shown(settings)
    told = why(place, plan, key)
    return {
        "plan": plan,
        "why": told,
        "fragment": False,
        "figure": shown.figure(told.figure, key),
        "inputs": [(row, shown.input_label(row.input.name), _said(row.input, shown)) for row in told.inputs],
        "holds": [
            (shown.input_label(name), shown.number(low, name), shown.number(high, name))
            for name, low, high in told.holds
        ],
        "dominant": shown.input_label(told.dominant) if told.dominant and len(told.inputs) > 1 else "",
        "caveats": [shown.say(c) if c.startswith("caveat.") else c for c in told.caveats],
    }


def _said(row: Input, shown: Shown) -> str:
    """An input's value with its range."""
    value = shown.number(row.value, row.name)
    if row.low == row.high:
        return value
    ends = [shown.number(x, row.name, both=False) for x in (row.low, row.high)]
    return f"{shown.number(row.value, row.name, both=False)} ({ends[0]} – {ends[1]})"


def routes(place: Place, screen: Screen) -> APIRouter:
    """The fragment that opens below a figure."""
    router = APIRouter(include_in_schema=False)

    @router.get("/joints/{id}/why", response_class=HTMLResponse)
    def opened(request: Request, id: str, key: str = "") -> HTMLResponse:
        fragment = "x-fragment" in request.headers
        context = {**view(place, screen.settings(request), id=id, key=key), "fragment": fragment}
        return screen.put(request, "why", context, template="why/part.html" if fragment else "why/page.html")

    return router
