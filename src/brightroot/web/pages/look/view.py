"""Look: a photograph kept, tapped and read; the map on the picture, the sentence that may be said, and why."""

from __future__ import annotations

import base64
import re
from collections.abc import Mapping
from functools import lru_cache
from typing import Any
from urllib.parse import quote, urlencode

from fastapi import APIRouter, Request, Response
from fastapi.responses import RedirectResponse
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import UploadFile
from starlette.exceptions import HTTPException

from brightroot.app.look import Looked, look_at
from brightroot.app.plan_joint import plan_of
from brightroot.app.ports import Place
from brightroot.app.work_live import record
from brightroot.base.errors import Refused
from brightroot.store.photos import overlay, preview, read_photo
from brightroot.store.tint_ways import tint_ways
from brightroot.web.screen import Screen
from brightroot.web.settings import Settings
from brightroot.web.shown import Shown

ROUTE = "/joints/{id}/look"
TITLE = "look.title"
BOXES = ("base", "card", "weld")
SUBJECTS = ("root", "face", "cap", "tack")
PHOTO_BYTES = 60_000_000
SHA = re.compile(r"[0-9a-f]{64}")
CANNOT = ("oxygen", "brushed", "gas", "model")


def routes(place: Place, screen: Screen) -> APIRouter:
    """The photograph's way in and its way back out."""
    router = APIRouter(include_in_schema=False)

    @router.post("/joints/{id}/look")
    async def keep(request: Request, id: str) -> Response:
        await run_in_threadpool(plan_of, place, id)
        async with request.form() as form:
            told = {name: str(value) for name, value in form.items() if isinstance(value, str)}
            contents = [await _content(form.get(name)) for name in ("photo", "second")]
        by = told.get("by") or screen.settings(request).stamp
        told["photo"], told["second"] = told.get("photo_kept", ""), told.get("second_kept", "")
        try:
            photos = [await run_in_threadpool(_kept, place, content) for content in contents]
            told |= {name: sha for name, sha in zip(("photo", "second"), photos, strict=True) if sha}
            if not told["photo"]:
                raise Refused(field="photo", wanted="a photograph", got="nothing", reason="refused.missing")
            if photos[0]:
                await run_in_threadpool(_recorded, place, id, told, by)
        except Refused as refusal:
            page = screen.page("look")
            context = await run_in_threadpool(
                _shown_again, page.view, place, screen.settings(request), id, told, refusal
            )
            return screen.put(request, "look", context, status=422)
        keys = ("photo", "second", "surface", "subject", *BOXES)
        query = urlencode({name: told[name] for name in keys if told.get(name)})
        return RedirectResponse(f"/joints/{quote(id, safe='')}/look?{query}#read", status_code=303)

    @router.get("/joints/{id}/look/{sha256}.jpg")
    def shown(id: str, sha256: str) -> Response:
        plan_of(place, id)
        block = place.store.attachment(sha256) if SHA.fullmatch(sha256) else None
        if block is None:
            raise HTTPException(404)
        return Response(preview(block[0]), media_type="image/jpeg")

    return router


async def _content(file: object) -> bytes:
    return await file.read(PHOTO_BYTES + 1) if isinstance(file, UploadFile) else b""


def _kept(place: Place, content: bytes) -> str:
    """The photograph goes into the store whole before anything is asked of it; its hash. What is none is refused by name."""
    if not content:
        return ""
    preview(content)
    return place.store.put_attachment(content, "image/" + _kind(content))


def _kind(content: bytes) -> str:
    return "jpeg" if content[:2] == b"\xff\xd8" else "png" if content[:4] == b"\x89PNG" else "heic"


def _recorded(place: Place, joint: str, told: Mapping[str, str], by: str) -> None:
    """The log says when the photograph was there, and whether anything had been brushed."""
    facts = {
        "subject": told.get("subject") or "face",
        "brushed": "yes" if told.get("surface") == "cleaned" else "no",
        "photo_sha256": told["photo"],
    } | {name: told[name] for name in ("run_count", "at_rad") if told.get(name)}
    record(place, joint, "photo.taken", facts, by=by)


def _shown_again(
    page: Any, place: Place, settings: Settings, joint: str, told: Mapping[str, str], refusal: Refused
) -> dict[str, Any]:
    """The page with everything that was typed, and why it was not taken."""
    kept = {name: told.get(name, "") for name in ("photo", "second", "surface", "subject", *BOXES)}
    context: dict[str, Any] = page(place, settings, id=joint, **{**kept, "photo": ""})
    return {**context, "error": Shown(settings).refused(refusal), "told": kept}


def view(
    place: Place, settings: Settings, *, id: str, photo: str = "", second: str = "", base: str = "", card: str = "",
    weld: str = "", surface: str = "", subject: str = "",
) -> dict[str, Any]:  # fmt: skip
    """The page before a photograph, and with one that was kept: read again with whatever is tapped now."""
    plan = plan_of(place, id)
    shown = Shown(settings)
    metal = place.library.alloys[plan.joint.end_a.alloy].family  # what is no titanium must not be read as titanium
    told = {"base": base, "card": card, "weld": weld, "surface": surface or "as-welded", "metal": metal}
    context: dict[str, Any] = {
        "plan": plan, "told": told | {"photo": photo, "second": second, "subject": subject}, "subjects": SUBJECTS,
        "boxes": BOXES, "looked": None, "error": "", "size": (0, 0), "preview": "",
        "cannot": tuple(shown.say(f"look.cannot.{name}") for name in CANNOT),
    }  # fmt: skip
    if not SHA.fullmatch(photo):
        return context
    context["preview"] = f"/joints/{quote(id, safe='')}/look/{photo}.jpg"
    try:
        looked = _read(place, photo, second, tuple(told.items()))
    except Refused as refusal:
        return context | {"error": shown.refused(refusal)}
    return context | {
        "size": (looked.photo.width_px, looked.photo.height_px),
        "looked": looked,
        "answer": looked.plain(),
        "sentence": _sentence(looked, shown),
        "reasons": tuple((shown.say(f"look.reason.{r}"), shown.say(f"look.mend.{r}")) for r in looked.reading.reasons),
        "map": _map(looked) if looked.reading.verdict else "",
    }


def _read(place: Place, photo: str, second: str, told: tuple[tuple[str, str], ...]) -> Looked:
    """The kept photograph read. The last few are remembered, since a page is looked at more than once."""
    contents = []
    for sha in (photo, second):
        block = place.store.attachment(sha) if SHA.fullmatch(sha) else None
        contents.append(block[0] if block else b"")
    if not contents[0]:
        raise Refused(field="photo", wanted="a photograph of this log", got=photo[:12], reason="refused.photo_file")
    return _looked(contents[0], contents[1], told)


@lru_cache(maxsize=4)
def _looked(photo: bytes, second: bytes, told: tuple[tuple[str, str], ...]) -> Looked:
    return look_at(read_photo(photo), dict(told), tint_ways(), second=read_photo(second) if second else None)


def _sentence(looked: Looked, shown: Shown) -> str:
    """What may be said, with the odds of the usual criterion."""
    verdict = looked.reading.verdict
    if verdict is None:
        return shown.say("look.not_read")
    odds = verdict.odds["silver and straw"]
    return shown.say(
        f"look.verdict.{verdict.worst}", odds=f"{odds * 100:.0f}", area=_percent(verdict.fractions[verdict.worst])
    )


def _percent(share: float) -> str:
    return f"{share * 100:.1f}" if share < 0.1 else f"{share * 100:.0f}"


def _map(looked: Looked) -> str:
    verdict = looked.reading.verdict
    assert verdict is not None
    picture = overlay(looked.photo, verdict.classes, looked.reading.zone)
    return "data:image/png;base64," + base64.b64encode(picture).decode("ascii")
