"""Purge: what is known of the oxygen, how it should fall, what keeps the air out, and what is in the pipe."""

from __future__ import annotations

from typing import Any

from brightroot.app.pictures import purge_chart
from brightroot.app.ports import Place
from brightroot.app.work_live import Now, look
from brightroot.records.order import in_order
from brightroot.render.drawing import drawing
from brightroot.web.pages.now.form import Entry, entry
from brightroot.web.settings import Settings
from brightroot.web.shown import Shown

ROUTE = "/joints/{id}/purge"
TITLE = "live.purge.title"

FIGURES = (
    "purge.time_s",
    "purge.volume_m3",
    "purge.argon_m3",
    "purge.mixed_time_s",
    "purge.in_leak_budget_m3_s",
    "purge.vent_target_frac",
    "purge.pressure_Pa",
    "purge.closing_flow_m3_s",
)
CAUTIONS = ("caution.argon", "caution.argon_inside")


def view(place: Place, settings: Settings, *, id: str) -> dict[str, Any]:
    """The purge as it stands."""
    now = look(place, id)
    events = in_order(place.store.events(id))
    shown = Shown(settings)
    record = now.state.record
    drawn = purge_chart(now, shown.speech)

    def form(kind: str, **known: str) -> Entry:
        return entry(kind, known, events=events, system=settings.units, stamp=settings.stamp)

    return {
        "now": now,
        "plan": now.plan,
        "line": verdict_line(now, shown),
        "state": now.oxygen.state.replace(" ", "_"),
        "gas": gas_line(now, shown),
        "upper": now.oxygen.upper,
        "chart": drawn,
        "drawing": drawing(settings.language, palette="page").chart(drawn),
        "figures": tuple(key for key in FIGURES if key in now.plan.figures),
        "reading": form("oxygen.read", place="vent"),
        "elsewhere": form("oxygen.read"),
        "start": form("purge.started") if record.purge_started_s is None else None,
        "turn": form("flow.changed", circuit="backing"),
        "dams": tuple(
            (end, end in record.dams_in, form("dam.removed" if end in record.dams_in else "dam.placed", end=end))
            for end in ("a", "b")
        ),
        "dams_said": bool(record.dams_placed_count or record.dams_removed_count),
        "tape": tuple(
            (arc, arc.name in record.arcs_open, form(_tape_kind(arc.name in record.arcs_open), arc=arc.name))
            for arc in now.plan.arcs
        ),
        "tape_said": record.tape_known or bool(record.arcs_open),
        "cautions": CAUTIONS,
    }


def _tape_kind(is_open: bool) -> str:
    return "tape.closed" if is_open else "tape.opened"


def verdict_line(now: Now, shown: Shown) -> str:
    """What is known of the oxygen in one line, never without its age."""
    state = now.oxygen
    name = state.state.replace(" ", "_")
    if state.last is None:
        return shown.say("live.purge.never_read")
    age = shown.time(state.age_s or 0.0)
    if state.last.oxygen_frac is None:
        if name == "over_range":
            return shown.say("live.purge.over_range", age=age)
        return shown.say("live.purge.no_number", shown=shown.choice(state.last.state), age=age)
    oxygen = shown.number(state.last.oxygen_frac, "oxygen_frac", both=False)
    return shown.say(f"live.purge.{name}", oxygen=oxygen, place=shown.choice(state.last.place), age=age)


def gas_line(now: Now, shown: Shown) -> str:
    """How long the gas has been on, and how much of it."""
    record = now.state.record
    if record.purge_started_s is None:
        return shown.say("live.purge.not_started")
    started = shown.say("live.purge.started", time=shown.time(now.now_s - record.purge_started_s))
    if record.backing_flow_m3_s is None:
        return f"{started} {shown.say('live.purge.flow_unknown')}"
    return f"{started} {shown.say('live.purge.flow', flow=shown.number(record.backing_flow_m3_s, 'flow_m3_s'))}"
