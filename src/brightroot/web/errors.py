"""The one error envelope: JSON for programs, a page for people. Anything that is neither refused nor broken is a bug."""

from __future__ import annotations

from typing import Any

from fastapi import FastAPI, Request, Response
from fastapi.exceptions import RequestValidationError
from fastapi.responses import JSONResponse
from starlette.exceptions import HTTPException

from brightroot.base.errors import Broken, Refused
from brightroot.web.screen import Screen
from brightroot.web.shown import Shown

NOT_THERE = ("refused.joint", "refused.figure")
STATUS = {
    **dict.fromkeys(NOT_THERE, 404),
    "web.error.large": 413,
    "access.nobody": 401,
    "access.device": 401,
    "access.wait": 429,
}


def wants_page(request: Request) -> bool:
    """Whether a person's browser asks, rather than a program or our own script."""
    return "text/html" in request.headers.get("accept", "") and not request.url.path.startswith("/api/")


def envelope(refusal: Refused, shown: Shown) -> dict[str, Any]:
    """The envelope with its sentence in the person's language."""
    told = {**refusal.envelope(), "say": shown.refused(refusal), "errors": shown.errors(refusal)}
    whole: dict[str, Any] = sendable(told)
    return whole


def sendable(value: Any) -> Any:
    """The same with half letters (lone surrogates) replaced: JSON may bring them, no answer can carry them."""
    if isinstance(value, str):
        return value.encode("utf-8", "replace").decode()
    if isinstance(value, dict):
        return {sendable(name): sendable(one) for name, one in value.items()}
    if isinstance(value, list | tuple):
        return [sendable(one) for one in value]
    return value


def status_of(refusal: Refused) -> int:
    """The status that a refusal is answered with."""
    return STATUS.get(refusal.reason, 403 if refusal.reason.startswith("access.") else 422)


def answered(screen: Screen, request: Request, refusal: Refused, status: int) -> Response:
    """A refusal as a page for people and as the envelope for programs."""
    shown = Shown(screen.settings(request))
    if wants_page(request):
        said = {"sentence": shown.refused(refusal), "refusal": refusal}
        return screen.put(request, "error", said, template="error.html", status=status)
    return JSONResponse(envelope(refusal, shown), status_code=status)


def install_errors(app: FastAPI, screen: Screen) -> None:
    """Every refusal, broken chain and unknown address answered in the one shape."""

    def answer(request: Request, refusal: Refused, status: int) -> Response:
        return answered(screen, request, refusal, status)

    @app.exception_handler(Refused)
    def refused(request: Request, refusal: Refused) -> Response:
        return answer(request, refusal, status_of(refusal))

    @app.exception_handler(Broken)
    def broken(request: Request, fault: Broken) -> Response:
        told = Refused(field=fault.where, wanted=fault.wanted, got=fault.got, reason="web.error.broken")
        return answer(request, told, 500)

    @app.exception_handler(HTTPException)
    def not_found(request: Request, fault: HTTPException) -> Response:
        got = request.url.path if fault.status_code == 404 else f"{request.method} {request.url.path}"
        if fault.status_code == 400:  # a body that is not what its head says
            return answer(request, Refused(field="body", wanted="JSON or a form", got="something else"), 422)
        if fault.status_code == 413:
            told = Refused(field="body", wanted="less in one request", got="more", reason="web.error.large")
        else:
            told = Refused(field="address", wanted="an address that is here", got=got, reason="web.error.address")
        response = answer(request, told, fault.status_code)
        for name, value in (fault.headers or {}).items():
            response.headers[name] = value
        return response

    @app.exception_handler(RequestValidationError)
    def unread(request: Request, fault: RequestValidationError) -> Response:
        first = fault.errors()[0] if fault.errors() else {"loc": ("body",), "msg": "a request"}
        field = str(first["loc"][-1]) if first["loc"] else "body"
        return answer(request, Refused(field=field, wanted=str(first["msg"]), got="this request"), 422)
