"""The fastest way round: the order and its reading, what binds, what each rule costs, and how sure it is."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any
from urllib.parse import quote

from fastapi import APIRouter, Request, Response
from fastapi.responses import JSONResponse, RedirectResponse
from starlette.concurrency import run_in_threadpool

from brightroot.app.fastest import Searched, adopt_fastest, fastest_of, rotate, searched_joint, sureness
from brightroot.app.fastest_pictures import found_course, found_face
from brightroot.app.ports import Place
from brightroot.app.replan import Replan, replan
from brightroot.app.replan_said import fit_up_said, said
from brightroot.app.work_live import look
from brightroot.base.errors import Refused
from brightroot.planner.search.task import OBJECTIVES, TIME
from brightroot.render.drawing import drawing
from brightroot.web.actions import told
from brightroot.web.errors import wants_page
from brightroot.web.screen import Screen
from brightroot.web.settings import Settings
from brightroot.web.shown import Shown

__all__ = ["ROUTE", "TITLE", "routes", "view"]

ROUTE = "/joints/{id}/fastest"
TITLE = "fastest.title"


def view(
    place: Place, settings: Settings, *, id: str, least: str = TIME, full: str = "", sure: str = "", turn: str = "",
    rigs: str = "1",
) -> dict[str, Any]:  # fmt: skip
    """The search and its prices; with `full` the full engine beside it, with `sure` the draws, with `turn` another joint."""
    now = look(place, id)
    shown = Shown(settings)
    context: dict[str, Any] = {
        "plan": now.plan,
        "least": least,
        "objectives": OBJECTIVES,
        "begun": bool(now.state.record.runs),
    }
    context |= _turns(place, id, turn, rigs, shown)
    context["left"] = _left(place, id, shown, now.now_s) if context["begun"] else ()
    try:
        seen = searched_joint(place, id, objective=least, hand=settings.hand)
    except Refused as refused:
        return {**context, "refusal": tuple(shown.refused(one) for one in (refused, *refused.also)), "seen": None}
    course = found_course(seen.setting, seen.found, shown.speech)
    drawn = drawing(settings.language, palette="page")
    return {
        **context, "refusal": (), "seen": seen, "runs": tuple(_runs(seen, shown)), "course": (course, drawn.heat_course(course)),
        "face": drawn.face(found_face(seen.setting, seen.found, shown.speech)),
        "binding": tuple(sorted(seen.binding.items(), key=lambda pair: -pair[1])),
        "prices": _costs("rule", [(p.rule, p.time_s, p.argon_m3) for p in seen.prices], shown),
        "loosened": _costs("loosen", [(p.name, p.time_s, p.argon_m3) for p in seen.loosened], shown),
        "fastest": fastest_of(place, id, objective=least, hand=settings.hand) if full else None,
        "chances": sureness(place, id, objective=least) if sure else None,
        "full": full, "sure": sure,
    }  # fmt: skip


def _turns(place: Place, id: str, turn: str, rigs: str, shown: Shown) -> dict[str, Any]:
    """The other joints, and what taking one of them in turn comes to."""
    others = tuple(name for name in place.store.joints() if name != id)
    context: dict[str, Any] = {"others": others, "turn": turn, "rigs": rigs, "in_turn": ""}
    if not turn:
        return context
    try:
        if turn not in others or not rigs.isdigit():
            raise Refused(
                field="joints", wanted="another joint, and one rig or more", got=f"{turn}, {rigs}", near=others[:3]
            )
        told = rotate(place, (id, turn), rigs=int(rigs))
    except Refused as refused:
        return {**context, "in_turn": shown.refused(refused)}
    slots = {"saved": _time(told.saved_s, shown), "argon": _gas(told.extra_argon_m3, shown)}
    return {**context, "in_turn": shown.say("rotation.worth" if told.worth else "rotation.not_worth", **slots)}


def _left(place: Place, id: str, shown: Shown, now_s: float) -> tuple[str, ...]:
    """What is left, said; a refusal is said as well."""
    try:
        found: Replan = replan(place, id, at_s=now_s)
    except Refused as refused:
        return (shown.refused(refused),)
    lines = said(found, shown.speech, now_s=now_s)
    return (*lines, *(fit_up_said(found.fitted, shown.speech) if found.fitted else ()))


def _runs(seen: Searched, shown: Shown) -> list[dict[str, str]]:
    rows = []
    for number, run in enumerate(seen.found.runs, 1):
        layer = seen.setting.task.layers[run.layer]
        stretch = layer.ways[run.way].stretches[run.stretch]
        rows.append(
            {
                "number": str(number), "pass": shown.say(f"pass.{layer.name}"),
                "way": f"{shown.clock(stretch.from_rad)} → {shown.clock(stretch.from_rad + stretch.sweep_rad)}",
                "strike": shown.time(run.start_s), "pause": shown.time(run.pause_s) if number > 1 else "–",
                "why": shown.say(f"fastest.binds_{run.binds}") if number > 1 else "–",
                "read": shown.number(run.strike_K, "limit_K", both=False),
                "hot": shown.number(run.hot_length_m, "hot_length_m", both=False),
            }
        )  # fmt: skip
    return rows


def _costs(stem: str, rows: Iterable[tuple[str, float, float]], shown: Shown) -> tuple[tuple[str, str, str, bool], ...]:
    return tuple(
        (f"fastest.{stem}_{name}", _time(time_s, shown), _gas(argon, shown), time_s > 1) for name, time_s, argon in rows
    )


def _time(seconds: float, shown: Shown) -> str:
    return f"−{shown.time(-seconds)}" if seconds < -0.5 else shown.time(max(seconds, 0.0))


def _gas(volume_m3: float, shown: Shown) -> str:
    return f"−{shown.gas(-volume_m3)}" if volume_m3 < -5e-4 else shown.gas(max(volume_m3, 0.0))


def routes(place: Place, screen: Screen) -> APIRouter:
    """The fastest way becomes the plan."""
    router = APIRouter(include_in_schema=False)

    @router.post("/joints/{id}/fastest")
    async def adopted(request: Request, id: str) -> Response:
        typed = await told(request)
        by = str(typed.get("by") or screen.settings(request).stamp)
        least = str(typed.get("least") or TIME)
        hand = screen.settings(request).hand
        client_id = str(typed.get("client_id") or "")
        await run_in_threadpool(
            lambda: adopt_fastest(place, id, by=by, objective=least, hand=hand, client_id=client_id)
        )
        where = f"/joints/{quote(id, safe='')}"
        if not wants_page(request):
            return JSONResponse({"ok": True, "id": id, "see": where})
        return RedirectResponse(where, status_code=303)

    return router
