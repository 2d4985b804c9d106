"""Heat: one run's map as it cools, its curves with their bands, and the reading through the whole joint."""

from __future__ import annotations

from typing import Any

from brightroot.app.heat import run_heat
from brightroot.app.heat_pictures import heat_maps, joint_chart, run_chart
from brightroot.app.ports import Place
from brightroot.app.work_live import look
from brightroot.base.errors import Refused
from brightroot.live.gates import last_stopped
from brightroot.render.drawing import drawing
from brightroot.web.settings import Settings
from brightroot.web.shown import Shown

ROUTE = "/joints/{id}/heat"
TITLE = "heat.title"

FIGURES = (
    "reading_at_arc_off_K",
    "reading_peak_K",
    "peak_after_s",
    "wait_s",
    "hold_s",
    "hot_length_outer_m",
    "hot_length_inner_m",
)


def view(place: Place, settings: Settings, *, id: str, run: str = "") -> dict[str, Any]:
    """The run asked for; without one, the last that was made, or the first."""
    now = look(place, id)
    last = last_stopped(now.state.record)
    if run and not run.isdigit():
        raise Refused(field="run", wanted="the number of a run", got=run, reason="refused.range")
    number = int(run) if run else last.number if last else now.plan.runs[0].number
    seen = run_heat(place, now, number)
    shown = Shown(settings)
    drawn = drawing(settings.language, palette="page")
    charts = [run_chart(now, seen, shown.speech), joint_chart(place, now, shown.speech)]
    return {
        "now": now,
        "plan": now.plan,
        "seen": seen,
        "run": now.plan.run(number),
        "maps": tuple((seconds, drawn.heat_map(picture)) for seconds, picture in heat_maps(now, seen, shown.speech)),
        "charts": tuple((one, drawn.chart(one)) for one in charts),
        "keys": tuple(key for name in FIGURES if (key := f"runs.{number}.{name}") in now.plan.figures),
    }
