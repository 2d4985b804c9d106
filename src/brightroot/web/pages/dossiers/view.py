"""Dossiers: which joints are whole, what the others owe, who owes it and since when; any of them printed as one pack."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import Any
from urllib.parse import quote

from fastapi import APIRouter, Request, Response
from starlette.concurrency import run_in_threadpool

from brightroot.app.owed import Standing, standings
from brightroot.app.pack import issue_pack
from brightroot.app.ports import Place
from brightroot.base.errors import Refused
from brightroot.documents.sheets.owed import since
from brightroot.documents.speech import Speech
from brightroot.model.owed import Owed
from brightroot.store.bundle import bundle_bytes, pack_bytes
from brightroot.web.errors import wants_page
from brightroot.web.pages.print.view import chosen, on_paper
from brightroot.web.screen import Screen
from brightroot.web.settings import Settings
from brightroot.web.shown import Shown

ROUTE = "/dossiers"
TITLE = "pack.title"
FIRST = 3  # so many things owed are named in a row; the rest is counted


@dataclass(frozen=True, slots=True)
class Line:
    """One joint as it is told. `first` names what it owes longest: the subject, who owes it, since when."""

    standing: Standing
    owes: tuple[Owed, ...]
    first: tuple[tuple[str, str, str], ...]
    more: int
    conceded: int


def view(
    place: Place,
    settings: Settings,
    *,
    role: str = "",
    typed: dict[str, str] | None = None,
    taken: tuple[str, ...] = (),
    refusal: Refused | None = None,
) -> dict[str, Any]:
    """Every joint, the longest owed first; `role` shows only what one of them owes. What was typed stays on a refusal."""
    shown = Shown(settings)
    speech = Speech(shown.say, settings.units, settings.language)
    every = standings(place)
    lines = tuple(_line(one, role, speech) for one in every)
    by_role = Counter(each.by for one in every for each in one.open)
    return {
        "lines": tuple(line for line in lines if line.owes) if role else lines,
        "count": len(every),
        "open": sum(bool(one.open) for one in every),
        "roles": tuple(by_role.items()),
        "role": role,
        "typed": typed or {"name": "", "by": ""},
        "taken": taken,
        "error": shown.refused(refusal) if refusal else "",
    }


def _line(one: Standing, role: str, speech: Speech) -> Line:
    owes = tuple(each for each in one.open if not role or each.by == role)
    return Line(
        standing=one,
        owes=owes,
        first=tuple((each.subject, speech.say(f"choice.{each.by}"), since(each, speech)) for each in owes[:FIRST]),
        more=max(0, len(owes) - FIRST),
        conceded=len(one.owed) - len(one.open),
    )


def routes(place: Place, screen: Screen) -> APIRouter:
    """The pack as one file."""
    router = APIRouter(include_in_schema=False)

    @router.post("/dossiers/pack")
    async def packed(request: Request) -> Response:
        form = await request.form()
        typed = {name: str(form.get(name) or "") for name in ("name", "by")}
        joints = tuple(str(value) for value in form.getlist("joints"))
        settings = screen.settings(request)
        by = typed["by"] or settings.stamp
        on = on_paper(settings, *chosen(settings, "", ""))
        try:
            files = await run_in_threadpool(
                issue_pack, place, joints, name=typed["name"], by=by, on=on, bundle=bundle_bytes
            )
        except Refused as refusal:
            if not wants_page(request):
                raise
            context = view(place, settings, typed=typed, taken=joints, refusal=refusal)
            return screen.put(request, "dossiers", context, status=422)
        named = f"attachment; filename*=UTF-8''{quote(typed['name'].strip(), safe='')}.zip"
        return Response(pack_bytes(files), media_type="application/zip", headers={"Content-Disposition": named})

    return router
