"""No request may be larger than its address has use for, whether it tells its length or not."""

from __future__ import annotations

import json
from collections.abc import Awaitable, Callable, MutableMapping
from typing import Any

Message = MutableMapping[str, Any]
ORDINARY = 1_000_000
LARGER = (
    ("/photos", 25_000_000),
    ("/look", 61_000_000),
    ("/samples", 8_000_000),
    ("/qualifications", 21_000_000),
    ("/uses", 21_000_000),
    ("/import", 200_000_000),
)


def largest(path: str) -> int:
    """How many bytes an address takes at most.

    >>> largest("/joints/J-05/photos"), largest("/settings")
    (25000000, 1000000)
    """
    return next((most for ending, most in LARGER if path.endswith(ending)), ORDINARY)


class Bounded:
    """The application behind, with every body counted as it comes in."""

    def __init__(self, app: Callable[..., Awaitable[None]]) -> None:
        self._app = app

    async def __call__(self, scope: Message, receive: Callable[[], Awaitable[Message]], send: Any) -> None:
        """One request."""
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        most, seen = largest(scope["path"]), 0
        told = next((value for name, value in scope["headers"] if name == b"content-length"), b"0")
        if not told.isdigit() or len(told) > 12 or int(told) > most:
            await _too_large(send, most)
            return

        async def counted() -> Message:
            nonlocal seen
            message = await receive()
            seen += len(message.get("body", b""))
            if seen <= most:
                return message
            if not stopped:
                stopped.append(True)
                if not begun:
                    await _too_large(send, most)
            return {"type": "http.disconnect"}

        async def sent(message: Message) -> None:
            if not stopped:
                begun.append(True)
                await send(message)

        begun: list[bool] = []
        stopped: list[bool] = []
        try:
            await self._app(scope, counted, sent)
        except Exception:
            if not stopped:  # the application only misses the rest of what was refused
                raise


async def _too_large(send: Callable[[Message], Awaitable[None]], most: int) -> None:
    envelope = {
        "ok": False, "error": "web.error.large", "field": "body", "wanted": f"at most {most} bytes", "got": "more",
        "near": [], "see": "", "say": f"body: wanted at most {most} bytes", "errors": {},
    }  # fmt: skip
    body = json.dumps(envelope).encode()
    headers = [
        (b"content-type", b"application/json"),
        (b"content-length", str(len(body)).encode()),
        (b"connection", b"close"),
    ]
    await send({"type": "http.response.start", "status": 413, "headers": headers})
    await send({"type": "http.response.body", "body": body})
