"""Purge: the verdict in words, the one next test, both clocks, the curve with its forecast, and the plan around it."""

from __future__ import annotations

from typing import Any

from brightroot.app.pictures import chart_of_purge
from brightroot.app.ports import Place
from brightroot.app.purge import PurgeSeen, purge_scores, purge_seen, stop_figures
from brightroot.app.work_live import Now, look
from brightroot.base.errors import Refused
from brightroot.live.gates import read_limit_frac
from brightroot.model.plan import Arc
from brightroot.records.order import in_order
from brightroot.render.drawing import drawing
from brightroot.web.pages.now.form import Entry, entry
from brightroot.web.pages.purge.words import (
    Clock,
    causes,
    clocks,
    dam_rows,
    gas_line,
    reading_line,
    scores_said,
    stop_said,
    verdict_line,
)  # fmt: skip
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
    "purge.wind_Pa",
)
ARC_FIGURES = ("least_flow_m3_s", "gap_share_frac", "backing_flow_m3_s", "open_pressure_Pa", "wind_m_s")
CAUTIONS = ("caution.argon", "caution.argon_inside")


def view(place: Place, settings: Settings, *, id: str, minutes: str = "") -> dict[str, Any]:
    """The purge as it stands."""
    now = look(place, id)
    events = in_order(place.store.events(id))
    shown = Shown(settings)
    record = now.state.record
    seen = purge_seen(now)
    drawn = chart_of_purge(now, seen, shown.speech)

    def form(kind: str, **known: str) -> Entry:
        return entry(kind, known, events=events, system=settings.units, stamp=settings.stamp)

    return {
        "now": now,
        "plan": now.plan,
        "verdict": seen.verdict,
        "line": verdict_line(seen, now, shown),
        "reading_line": reading_line(now, shown),
        "state": now.oxygen.state.replace(" ", "_"),
        "gas": gas_line(now, shown),
        "upper": now.oxygen.upper,
        "limit": shown.number(_limit(now, seen), "oxygen_frac", both=False),
        "place": seen.state.place if seen.state else "vent",
        "seen": seen.state,
        "test": _test(seen),
        "clocks": _clocks(seen, now, shown),
        "causes": causes(seen, shown),
        "missing": ", ".join(shown.choice(p) for p in seen.state.missing) if seen.state else "",
        "score": scores_said(purge_scores(place), shown),
        "chart": drawn,
        "drawing": drawing(settings.language, palette="page").chart(drawn),
        "figures": tuple(key for key in FIGURES if key in now.plan.figures),
        "arcs": sorted(now.plan.arcs, key=lambda arc: arc.order),
        "arc_figures": ARC_FIGURES,
        "next_arc": _next_arc(now),
        "dam_rows": dam_rows(now.plan, shown),
        "stops": stop_said(stop_figures(place, now, minutes=_minutes(minutes or "5")), shown),
        "minutes": _minutes(minutes or "5"),
        "asked_minutes": bool(minutes),
        "reading": form("oxygen.read", place=seen.state.place if seen.state else "vent"),
        "elsewhere": form("oxygen.read"),
        "start": form("purge.started") if record.purge_started_s is None else None,
        "turn": form("flow.changed", circuit="backing"),
        "check": form("instrument.checked", instrument="oxygen monitor"),
        "moved": tuple(
            (kind, form(kind))
            for kind in ("sample_line.opened", "sample_line.closed", "sample_line.moved", "dam.moved")
        ),
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


def _limit(now: Now, seen: PurgeSeen) -> float:
    """What has to be read where it is being read."""
    return read_limit_frac(now.plan, now.cells, seen.state.place if seen.state else "vent")


def _test(seen: PurgeSeen) -> str:
    """The one next test, where there is something to find out."""
    wondered = ("stalled", "leak", "check_instrument", "wait_unsure", "wait_doubtful")
    if seen.state is None or seen.verdict not in wondered:
        return ""
    return "swap_the_monitor" if seen.verdict == "check_instrument" else seen.state.next_test


def _clocks(seen: PurgeSeen, now: Now, shown: Shown) -> tuple[Clock, ...]:
    return clocks(seen, now, shown) if seen.state is not None and seen.verdict != "over" else ()


def _next_arc(now: Now) -> Arc | None:
    """The arc that is opened next."""
    step = next((s for s in now.left if s.event == "tape.opened"), None)
    return next((arc for arc in now.plan.arcs if step and arc.name == step.arc), None)


def _minutes(typed: str) -> float:
    """Minutes of a stop, from the page's own field."""
    try:
        minutes = float(typed.replace(",", "."))
    except ValueError:
        minutes = -1.0
    if not 0 < minutes <= 24 * 60:
        raise Refused(field="minutes", wanted="minutes, from 1 to 1440", got=typed, reason="refused.range")
    return minutes
