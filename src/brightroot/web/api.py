"""The same use cases for programs: JSON in, JSON out, an object at the top, the one error envelope."""

from __future__ import annotations

from typing import Annotated, Any
from urllib.parse import quote

from fastapi import APIRouter, Body, Request
from fastapi.responses import JSONResponse

from brightroot.app.judge_joint import verdicts
from brightroot.app.list_joints import rows
from brightroot.app.plan_joint import declare, facts_of_joint, plan_facts, plan_of
from brightroot.app.ports import Place
from brightroot.app.stream import keep_samples, sent_samples
from brightroot.app.why import why
from brightroot.app.work_live import Now, look
from brightroot.model.advice import Advice
from brightroot.model.codec import to_data
from brightroot.web.actions import record_typed
from brightroot.web.screen import Screen
from brightroot.web.shown import Shown

Facts = dict[str, Any]
Sent = Annotated[Facts, Body()]
SentText = Annotated[str, Body()]

# whatever is refused is answered in the one shape; 401, 403 and 429 only where devices and people are let in by name
_ENVELOPE = {
    "type": "object",
    "required": ["ok", "error", "field", "wanted", "got", "near", "see"],
    "properties": {
        "ok": {"const": False},
        **{name: {"type": "string"} for name in ("error", "field", "wanted", "got", "see")},
        "near": {"type": "array", "items": {"type": "string"}},
    },
}
_SAID = {
    401: "No device enrolled, or nobody signed in",
    403: "Not for this role, this joint or this page",
    404: "No such joint, figure or address",
    405: "No such method here",
    413: "Larger than this address takes",
    422: "Something to mend in what was sent",
}
REFUSALS: dict[int | str, dict[str, Any]] = {
    status: {"description": said, "content": {"application/json": {"schema": _ENVELOPE}}}
    for status, said in _SAID.items()
}


def api(place: Place, screen: Screen) -> APIRouter:
    """Joints, plans, why, state, verdicts and records as data."""
    router = APIRouter(default_response_class=JSONResponse, responses=REFUSALS)

    @router.get("/api/joints")
    def joints() -> Facts:
        return {"ok": True, "joints": [to_data(row) for row in rows(place)]}

    @router.post("/api/plan")
    def plan(facts: Sent) -> Facts:
        """A plan from typed facts, kept nowhere."""
        return {"ok": True, "plan": to_data(plan_facts(place, facts))}

    @router.post("/api/joints")
    def declared(facts: Sent, by: SentText, client_id: SentText = "") -> Facts:
        made = declare(place, facts, by=by, client_id=client_id)
        return {"ok": True, "id": made.joint.id, "see": f"/joints/{quote(made.joint.id, safe='')}"}

    @router.get("/api/joints/{id}")
    def joint(id: str) -> Facts:
        return {"ok": True, "facts": facts_of_joint(place, id), "plan": to_data(plan_of(place, id))}

    @router.get("/api/joints/{id}/why")
    def opened(id: str, key: str) -> Facts:
        return {"ok": True, "why": to_data(why(place, plan_of(place, id), key))}

    @router.get("/api/joints/{id}/log")
    def log(id: str) -> Facts:
        plan_of(place, id)
        return {"ok": True, "events": [to_data(event) for event in place.store.events(id)]}

    @router.get("/api/joints/{id}/verdicts")
    def judged(id: str) -> Facts:
        return {"ok": True, "verdicts": [to_data(verdict) for verdict in verdicts(place, id)]}

    @router.post("/api/joints/{id}/events")
    def recorded(id: str, typed: Sent) -> Facts:
        event = record_typed(place, id, typed, str(typed.get("by") or ""))
        return {"ok": True, "event": event.id, "at_utc": event.at_utc, "receipt": place.store.receipt(event)}

    @router.post("/api/joints/{id}/samples")
    def sampled(id: str, sent: Sent) -> Facts:
        """Samples of one instrument: `instrument`, `measures`, `facts` that all share, and `samples` of [UTC, value] rows.

        A value is text with its unit as the instrument shows it, or over range, under range, no digits.
        """
        stream, samples = sent_samples(sent)
        kept = keep_samples(place, id, stream, samples, by=str(sent.get("by") or ""))
        doubt = kept.watched.now
        return {
            "ok": True,
            "event": kept.event.id,
            "samples_count": len(samples),
            "doubtful": doubt.why.value if doubt else "",
            "reading": kept.reading.id if kept.reading else "",
        }

    @router.get("/api/joints/{id}/state")
    @router.get("/joints/{id}/state", include_in_schema=False)
    def state(request: Request, id: str) -> Facts:
        return {"ok": True, **state_of(look(place, id), Shown(screen.settings(request)))}

    return router


def state_of(now: Now, shown: Shown) -> Facts:
    """The joint as it stands: phase, advice as data and as words, and how far the log has grown."""
    return {
        "joint": now.plan.joint.id,
        "phase": now.state.phase.value,
        "events_count": now.state.record.events_count,
        "now_s": now.now_s,
        "advice": [advice_of(advice, shown) for advice in now.advice],
        "oxygen": to_data(now.oxygen),
        "steps_left_count": len(now.left),
    }


def advice_of(advice: Advice, shown: Shown) -> Facts:
    """One advice with its sentence; the countdown stays as instants, since only the client knows its own clock."""
    return {**to_data(advice), "level": advice.level.name.lower(), "sentence": shown.advice(advice)}
