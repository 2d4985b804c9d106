"""Word to an open page that the log has grown, and photos on their way in. The page then looks again by itself."""

from __future__ import annotations

import asyncio
import json
from collections.abc import AsyncIterator

from fastapi import APIRouter, Request
from fastapi.responses import JSONResponse, StreamingResponse
from starlette.concurrency import run_in_threadpool

from brightroot.app.plan_joint import plan_of
from brightroot.app.ports import Place
from brightroot.base.errors import Refused
from brightroot.web.screen import Screen

LOOK_S = 0.05
QUIET_S = 15.0  # a line of silence keeps the connection open through a shop's routers
LONGEST_S = 600.0  # then the browser asks again, so that no stream outlives its page for long
PHOTO_BYTES = 25_000_000


def live_routes(place: Place, screen: Screen) -> APIRouter:
    """The stream of one joint, and the way in for its photos."""
    router = APIRouter(include_in_schema=False)

    @router.get("/joints/{id}/stream")
    async def stream(request: Request, id: str) -> StreamingResponse:
        await run_in_threadpool(plan_of, place, id)
        return StreamingResponse(_told(grown(place, id), request), media_type="text/event-stream")

    @router.post("/joints/{id}/photos")
    async def photo(request: Request, id: str) -> JSONResponse:
        await run_in_threadpool(plan_of, place, id)
        kind = request.headers.get("content-type", "")
        content = await request.body()
        if not kind.startswith("image/") or not 0 < len(content) <= PHOTO_BYTES:
            raise Refused(
                field="photo", wanted="a picture of at most 25 MB", got=f"{kind or 'nothing'}, {len(content)} bytes"
            )
        sha256 = await run_in_threadpool(place.store.put_attachment, content, kind)
        return JSONResponse({"ok": True, "photo_sha256": sha256})

    return router


async def grown(
    place: Place, joint_id: str, *, look_s: float = LOOK_S, longest_s: float = LONGEST_S
) -> AsyncIterator[str]:
    """The log's length as server-sent events: at once, and whenever it has grown."""
    yield "retry: 2000\n\n"
    length = await run_in_threadpool(place.store.watch, joint_id)
    told, quiet_s, open_s = -1, 0.0, 0.0
    while open_s <= longest_s:
        count = length()
        if count != told:
            told, quiet_s = count, 0.0
            yield f"event: state\ndata: {json.dumps({'events_count': count, 'now_s': place.now_s()})}\n\n"
        elif quiet_s >= QUIET_S:
            quiet_s = 0.0
            yield ": still here\n\n"
        await asyncio.sleep(look_s)
        quiet_s, open_s = quiet_s + look_s, open_s + look_s


async def _told(words: AsyncIterator[str], request: Request) -> AsyncIterator[str]:
    async for word in words:
        if await request.is_disconnected():
            return
        yield word
