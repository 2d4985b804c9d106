"""The clock face: the joint from the welding side, the same unrolled, and the same again as a table."""

from __future__ import annotations

from typing import Any

from brightroot.app.pictures import face_of
from brightroot.app.ports import Place
from brightroot.app.work_live import look
from brightroot.render.drawing import drawing
from brightroot.web.settings import Settings
from brightroot.web.shown import Shown

ROUTE = "/joints/{id}/clock"
TITLE = "web.clock.title"


def view(place: Place, settings: Settings, *, id: str) -> dict[str, Any]:
    """Ring, strip and table of one face."""
    now = look(place, id)
    face = face_of(now, Shown(settings).speech)
    drawn = drawing(settings.language, palette="page")
    return {
        "plan": now.plan,
        "face": face,
        "record": now.state.record,
        "next": next((run for run in face.runs if run.state in ("now", "next")), None),
        "ring": drawn.face(face),
        "strip": drawn.strip(face),
    }
