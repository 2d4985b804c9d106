"""All joints: what each is and what comes next on it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from brightroot.app.list_joints import rows
from brightroot.app.ports import Place
from brightroot.web.settings import Settings

ROUTE = "/"
TITLE = "web.joints.title"


def view(
    place: Place, settings: Settings, *, made: str = "", like: str = "", mend: Mapping[str, str] | None = None
) -> dict[str, Any]:
    """The rows; `made` names the joints declared a moment ago, `mend` what was typed for more like one, and its fault."""
    return {
        "rows": rows(place),
        "made": tuple(name for name in made.split(",") if name),
        "like": like,
        "mend": mend or {},
    }
