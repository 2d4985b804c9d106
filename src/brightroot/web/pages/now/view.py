"""Now: one verb, one number, one button. While the arc burns: the run, the time, and how to end it."""

from __future__ import annotations

from typing import Any
from urllib.parse import quote

from fastapi import APIRouter

from brightroot.app.may import who_concern
from brightroot.app.pictures import face_of
from brightroot.app.ports import Place
from brightroot.app.work_live import Now, look
from brightroot.base.show import show
from brightroot.live.phases import Phase
from brightroot.model.advice import Advice, Level
from brightroot.model.event import KINDS, Event
from brightroot.records.order import in_order
from brightroot.render.drawing import drawing
from brightroot.web.pages.now.form import Entry, entry, typed
from brightroot.web.screen import Screen
from brightroot.web.settings import Settings
from brightroot.web.shown import Shown
from brightroot.web.stream import live_routes

ROUTE = "/joints/{id}/now"
TITLE = "live.now.title"

# what can happen beside the plan; offered whenever the arc is off
HAPPENED = (
    "tungsten.dipped",
    "draught.felt",
    "gas.faltered",
    "cylinder.changed",
    "cylinder.read",
    "surface.touched",
    "temperature.read",
    "oxygen.read",
    "flow.changed",
    "bead.brushed",
    "rod.looked_at",
    "tool.taken",
    "pmi.read",
    "composition.recorded",
    "defect.found",
    "repair.decided",
    "repair.made",
    "nde.reported",
    "hardness.measured",
    "bend.tested",
    "purge.ended",
    "air.read",
    "plan.departed_from",
    "procedure.waived",
)
# a rhythm for each thing that must be heard
TONES = {
    "say.hold_over": "hold_over",
    "stop.oxygen": "oxygen_up",
    "stop.gas": "gas_low",
    "stop.gas_low": "gas_low",
    "say.gas_low": "gas_low",
    "stop.draught": "gas_low",
    "gate.temperature.over": "too_hot",
}
RECENT = 12


def routes(place: Place, screen: Screen) -> APIRouter:
    return live_routes(place, screen)


def view(place: Place, settings: Settings, *, id: str, correct: str = "") -> dict[str, Any]:
    """Everything the page says at this moment."""
    now = look(place, id)
    events = in_order(place.store.events(id))
    first = now.advice[0]
    burning = now.state.phase is Phase.ARC_ON
    shown = Shown(settings)
    return {
        "now": now,
        "back": f"/joints/{quote(id, safe='')}/now",
        "plan": now.plan,
        "first": first,
        "verb": shown.advice(first),
        "because": tuple(shown.say(b.says, **shown.slots(b.params)) for b in first.because),
        "main": main_entry(now, events, settings),
        "others": tuple(shown.advice(a) for a in now.advice[1:]),
        "burning": burning,
        "ring": "" if burning else drawing(settings.language, palette="page").face(face_of(now, shown.speech)),
        "run": now.state.record.run(now.state.record.arc_on_run) if burning else None,
        "stopped": first.level is Level.STOP,
        "tone": tone_of(first),
        "phase": f"phase.{now.state.phase.value.replace(' ', '_')}",
        "after": tuple(dict.fromkeys(_then(now, shown)))[1:4],
        "happened": tuple(_beside(kind, now, events, settings) for kind in HAPPENED),
        "photo": _beside("photo.taken", now, events, settings),
        "recent": tuple(reversed([e for e in events if KINDS[e.kind].by_hand][-RECENT:])),
        "gone": {old for old, _ in now.state.record.corrected},
        "correcting": _correcting(correct, events, settings),
        "who": _who(place, now, settings.stamp, shown),
    }


def _who(place: Place, now: Now, stamp: str, shown: Shown) -> tuple[str, str] | None:
    """Before the first arc: what the record has against this stamp at this joint, as its level and a sentence."""
    if not stamp or now.state.record.runs or now.state.phase is Phase.ARC_ON:
        return None
    found = who_concern(place, stamp, now.plan.joint.id)
    if found is None:
        return None
    return found.level, shown.say(found.says, stamp=found.stamp, variable=shown.say(f"variable.{found.variable}"))


def main_entry(now: Now, events: tuple[Event, ...], settings: Settings) -> Entry | None:
    """What the one button records. A stop ends the arc; with the arc off it is answered by what was done about it."""
    advice = now.advice[0]
    kind = advice.event or _stop_event(now, advice)
    if not kind:
        return None
    known = known_of(advice, kind, now)
    run = now.plan.run(advice.run)
    # read where the next run starts; the person can say otherwise
    values = typed({"at_rad": run.from_rad}) if run and kind == "temperature.read" else {}
    return entry(
        kind,
        known,
        events=events,
        system=settings.units,
        stamp=settings.stamp,
        values=values,
        planned=_planned_flow(now, kind, settings),
    )


def _planned_flow(now: Now, kind: str, settings: Settings) -> dict[str, str]:
    """The flow that the plan sets, in the person's unit, to be tapped once the flowmeter shows it."""
    figure = now.plan.figures.get("set_up.backing_flow_m3_s") if kind == "purge.started" else None
    if figure is None:
        return {}
    return {"flow_m3_s": show(figure.value, name="flow_m3_s", system=settings.units, both=False)}


def _stop_event(now: Now, advice: Advice) -> str:
    if advice.level is not Level.STOP:
        return ""
    return "arc.stopped" if now.state.phase is Phase.ARC_ON else "plan.departed_from"


def known_of(advice: Advice, kind: str, now: Now) -> dict[str, str]:
    """What the advice already knows of its event. A gate's own run is the run that it speaks of, not the next one."""
    params = dict(advice.params)
    names = {f.name for f in KINDS[kind].fields}
    known = {name: value for name, value in params.items() if name in names}
    if "run_count" in names and "run_count" not in known:
        run = params.get("run") or str(now.state.record.arc_on_run or advice.run or "")
        known |= {"run_count": run} if run else {}
    if "tack" in names and advice.tack:
        known.setdefault("tack", advice.tack)
    known |= _planned_tack(now, known) if kind == "tack.made" else {}
    return known


def _planned_tack(now: Now, known: dict[str, str]) -> dict[str, str]:
    """A planned tack stands where the plan put it."""
    planned = next((t for t in now.plan.tacks if t.name == known.get("tack")), None)
    return typed({"at_rad": planned.at_rad}) if planned else {}


def tone_of(advice: Advice) -> str:
    """The rhythm of an advice, by what it says or by why it says it."""
    ids = (advice.says, *(b.says for b in advice.because))
    return next((TONES[i] for i in ids if i in TONES), "")


def _then(now: Now, shown: Shown) -> list[str]:
    return [shown.say(step.name) for step in now.left[:12]]


def _beside(kind: str, now: Now, events: tuple[Event, ...], settings: Settings) -> Entry:
    """A form for what happened beside the plan; it speaks of the last run where nothing else is said."""
    last = max((run.number for run in now.state.record.runs), default=0)
    known = {"run_count": str(last)} if last and kind in ("tungsten.dipped", "bead.brushed") else {}
    values = {"run_count": str(last)} if last else {}
    return entry(kind, known, events=events, system=settings.units, stamp=settings.stamp, values=values)


def _correcting(correct: str, events: tuple[Event, ...], settings: Settings) -> dict[str, Any] | None:
    """The two ways to mend an entry: say it again rightly, or withdraw it and say why."""
    event = next((e for e in events if e.id == correct and KINDS[e.kind].by_hand), None)
    if event is None:
        return None
    again = entry(event.kind, {}, system=settings.units, values=typed(event.data), corrects=event.id)
    return {"event": event, "again": again, "withdraw": entry("event.withdrawn", {}, corrects=event.id)}
