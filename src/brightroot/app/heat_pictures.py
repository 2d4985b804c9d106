"""Pictures of a run's heat: the unrolled map at moments after arc-off, its cooling with the band, and the whole joint's reading."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from brightroot.app.heat import RunSeen, face_of_joint, planned_until, run_heat
from brightroot.app.ports import Place
from brightroot.app.work_live import Now
from brightroot.base.show import show
from brightroot.base.units import from_si
from brightroot.documents.speech import Speech
from brightroot.live.estimators.heat_made import made_of
from brightroot.model.picture import Chart, HeatMap, Series

ROUND = 121  # angles of a map
POOL_K = 1100.0


def heat_maps(now: Now, seen: RunSeen, speech: Speech) -> tuple[tuple[float, HeatMap], ...]:
    """(seconds after arc-off, map) for each moment, with lines at the release and the interpass temperature."""
    figure = now.plan.figures
    lines = tuple(
        (
            figure[key].value,
            f"{speech.say(word)} {show(figure[key].value, name='limit_K', system=speech.system)}",
        )
        for key, word in (("set_up.release_K", "heat.release"), ("set_up.interpass_max_K", "heat.interpass"))
    )
    found = []
    for seconds, state in seen.moments():
        along, angles, kelvin = face_of_joint(seen, state)
        even = np.linspace(0, 2 * np.pi, ROUND, endpoint=False)
        rows = [np.interp(even, angles, row, period=2 * np.pi) for row in kelvin]
        said = speech.say("heat.moment", seconds=f"{seconds:.0f}")
        title = speech.say("heat.map", run=str(seen.number))
        found.append(
            (
                seconds,
                HeatMap(
                    title, said, tuple(float(x) for x in along), tuple(float(x) for x in even),
                    tuple(tuple(round(float(x), 2) for x in row) for row in rows), lines, seen.arc.to_rad,
                ),
            )
        )  # fmt: skip
    return tuple(found)


def _degrees(speech: Speech) -> tuple[str, Callable[[float], float]]:
    unit = "°C" if speech.system == "metric" else "°F"
    return unit, lambda kelvin: from_si(kelvin, unit=unit, dimension="temperature")


def run_chart(now: Now, seen: RunSeen, speech: Speech) -> Chart:
    """After arc-off: the probe's place and the hottest metal, each with its band, against both limits."""
    unit, shown = _degrees(speech)
    cooling, air = seen.after.cooling, seen.body.losses.air_K
    seconds = cooling.time_s - cooling.time_s[0]
    hottest = np.maximum(cooling.outer_max_K, cooling.inner_max_K)
    last = float(seconds[-1])
    series = []
    for word, kelvin in (("heat.hottest", hottest), ("heat.read_here", cooling.probe_K[:, 0])):
        low, value, high = (air + (kelvin - air) * k for k in seen.scales_1)
        rows = [
            (float(s), shown(float(a)), shown(float(b)), shown(float(c)))
            for s, a, b, c in zip(seconds, low, value, high, strict=True)
            if c < POOL_K  # the pool itself is not reckoned
        ]
        series.append(
            Series(
                speech.say(word), "model", tuple((s, b) for s, _, b, _ in rows), tuple((s, a, c) for s, a, _, c in rows)
            )
        )
    for word, key in (("heat.release", "set_up.release_K"), ("chart.interpass_limit", "set_up.interpass_max_K")):
        limit = shown(now.plan.figures[key].value)
        series.append(Series(speech.say(word), "limit", ((0.0, limit), (last, limit))))
    return Chart(
        title=speech.say("heat.run_chart", run=str(seen.number)), x_label=speech.say("chart.seconds_after"), y_label=unit,
        series=tuple(series),
    )  # fmt: skip


def joint_chart(place: Place, now: Now, speech: Speech) -> Chart:
    """Through the whole joint: at each run's own place, from its arc-off to the next arc-on."""
    unit, shown = _degrees(speech)
    numbers = [run.number for run in now.plan.runs]
    planned = planned_until(now.plan, numbers[-1], cells=now.cells)
    made = made_of(now.plan, now.state.record)
    chain = made + planned[len(made) :] if len(made) < len(planned) else made
    shift = (made[-1].arc.stop_s - planned[len(made) - 1].arc.stop_s) if made and len(made) < len(planned) else 0.0
    start = chain[0].arc.start_s
    points: list[tuple[float, float]] = []
    band: list[tuple[float, float, float]] = []
    marks = []
    for n, one in enumerate(chain):
        seen = run_heat(place, now, one.number)
        own_shift = shift if n >= len(made) else 0.0
        off = one.arc.stop_s + own_shift - start
        until = (
            (chain[n + 1].arc.start_s + (shift if n + 1 >= len(made) else 0.0) - start)
            if n + 1 < len(chain)
            else off + 600
        )
        cooling, air = seen.after.cooling, seen.body.losses.air_K
        for moment, kelvin in zip(cooling.time_s - cooling.time_s[0], cooling.probe_K[:, 0], strict=True):
            if off + moment <= until:
                low, value, high = (shown(air + (float(kelvin) - air) * k) for k in seen.scales_1)
                minutes = (off + float(moment)) / 60
                points.append((minutes, value))
                band.append((minutes, low, high))
        if len(chain) <= 16:
            marks.append((off / 60, str(one.number)))
    limit = shown(now.plan.figures["set_up.interpass_max_K"].value)
    series = (
        Series(speech.say("heat.read_here"), "model", tuple(points), tuple(band)),
        Series(speech.say("chart.interpass_limit"), "limit", ((0.0, limit), (points[-1][0], limit))),
    )
    return Chart(
        title=speech.say("heat.joint_chart"), x_label=speech.say("heat.minutes"), y_label=unit, series=series,
        marks=tuple(marks),
    )  # fmt: skip
