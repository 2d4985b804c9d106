"""All joints: what each is and what comes next on it."""

from __future__ import annotations

from typing import Any

from brightroot.app.list_joints import rows
from brightroot.app.ports import Place
from brightroot.web.settings import Settings

ROUTE = "/"
TITLE = "web.joints.title"


def view(place: Place, settings: Settings, *, made: str = "") -> dict[str, Any]:
    """The rows; `made` names the joints that were declared a moment ago."""
    return {"rows": rows(place), "made": tuple(name for name in made.split(",") if name)}
