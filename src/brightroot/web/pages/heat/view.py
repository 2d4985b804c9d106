"""Heat: how long to hold and to wait after a run, its map as it cools, and the reading through the whole joint."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from brightroot.app.heat import RunSeen, run_heat
from brightroot.app.heat_pictures import heat_maps, joint_course, run_course
from brightroot.app.ports import Place
from brightroot.app.work_live import Now, look
from brightroot.base.errors import Refused
from brightroot.base.formula import Estimate
from brightroot.live.gates import last_stopped
from brightroot.render.drawing import drawing
from brightroot.web.settings import Settings
from brightroot.web.shown import Shown

ROUTE = "/joints/{id}/heat"
TITLE = "heat.title"

FIGURES = (
    "hold_s",
    "wait_s",
    "reading_at_arc_off_K",
    "reading_peak_K",
    "peak_after_s",
    "hot_length_outer_m",
    "hot_length_inner_m",
)


SIDES = ("outside", "inside")


def view(place: Place, settings: Settings, *, id: str, run: str = "", side: str = "outside") -> dict[str, Any]:
    """The run asked for; without one, the last that was made, or the first."""
    now = look(place, id)
    last = last_stopped(now.state.record)
    if run and not run.isdigit():
        raise Refused(field="run", wanted="the number of a run", got=run, reason="refused.range")
    if side not in SIDES:
        raise Refused(field="side", wanted=" or ".join(SIDES), got=side, reason="refused.choice")
    number = int(run) if run else last.number if last else now.plan.runs[0].number
    seen = run_heat(place, now, number)
    shown = Shown(settings)
    drawn = drawing(settings.language, palette="page")
    course, whole = run_course(now, seen, shown.speech), joint_course(place, now, shown.speech)
    figures = figures_of(now, seen)
    return {
        "now": now,
        "plan": now.plan,
        "seen": seen,
        "side": side,
        "run": now.plan.run(number),
        "figures": figures,
        "rows": tuple(_row(now, shown, seen, name) for name in FIGURES),
        "hold_key": f"runs.{number}.hold_s",
        "wait_key": f"runs.{number}.wait_s",
        "limit": shown.number(now.plan.figures["set_up.interpass_max_K"].value, "interpass_max_K", both=False),
        "maps": tuple(
            (seconds, drawn.heat_map(picture)) for seconds, picture in heat_maps(now, seen, shown.speech, side=side)
        ),
        "course": (course, drawn.heat_course(course)),
        "whole": (whole, drawn.heat_course(whole)),
    }


def figures_of(now: Now, seen: RunSeen) -> Mapping[str, Estimate]:
    """The run's figures: the plan's, or, once it was made, what its own times and the readings make of them."""
    keys = [f"runs.{seen.number}.{name}" for name in FIGURES]
    planned = {key: now.plan.figures[key] for key in keys if key in now.plan.figures}
    if not seen.made:
        return planned
    made = {
        key: replace(one, low=band[0], value=band[1], high=band[2], caveats=(*one.caveats, "caveat.from_readings"))
        for key, one in planned.items()
        if (band := seen.band(one.name)) is not None
    }
    return made | {key: told for key, told in now.forecasts.items() if key in planned}


def _row(now: Now, shown: Shown, seen: RunSeen, name: str) -> tuple[str, str, str]:
    """Name, key, and what was planned where the run was made since."""
    key = f"runs.{seen.number}.{name}"
    planned = now.plan.figures.get(key)
    return name, key, shown.number(planned.value, name, both=False) if planned and seen.made else ""
