"""Every procedure that was typed, and the way to type another one."""

from __future__ import annotations

from typing import Any

from brightroot.app.ports import Place
from brightroot.app.procedures import joints_under, procedures
from brightroot.base.errors import Refused
from brightroot.web.pages.procedures.write import routes
from brightroot.web.settings import Settings
from brightroot.web.shown import Shown

__all__ = ["ROUTE", "TITLE", "routes", "view"]

ROUTE = "/procedures"
TITLE = "procedure.title"


def view(place: Place, settings: Settings, *, typed: str = "", refusal: Refused | None = None) -> dict[str, Any]:
    """A line for each, by name."""
    shown = Shown(settings)
    lines = []
    for one in procedures(place):
        slots = {"name": one.name, "tests": len(one.tested), "joints": len(joints_under(place, one.name))}
        said = "procedure.line" if one.revision else "procedure.line_unwritten"
        lines.append((one.name, shown.say(said, revision=one.revision, **slots)))
    error = shown.refused(refusal) if refusal else ""
    return {"lines": tuple(lines), "typed": typed, "error": error}
