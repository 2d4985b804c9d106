"""Pictures of a run's heat: the unrolled map at moments after arc-off, its cooling in its range, and the whole joint's reading."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from brightroot.app.heat import RunSeen, face_of_joint, planned_until, run_heat
from brightroot.app.ports import Place
from brightroot.app.work_live import Now
from brightroot.base.show import show, show_time
from brightroot.base.units import from_si
from brightroot.documents.speech import Speech
from brightroot.live.estimators.heat_made import made_of
from brightroot.model.picture import HeatCourse, HeatLimit, HeatLine, HeatMap
from brightroot.physics.heat.ring import ArcRun

Array = NDArray[np.float64]
ROUND = 121  # angles of a map
POOL_K = 1100.0  # the pool itself is not reckoned
AFTER_LAST_S = 600.0


def heat_maps(now: Now, seen: RunSeen, speech: Speech, *, side: str = "outside") -> tuple[tuple[float, HeatMap], ...]:
    """(seconds after arc-off, map of a face) for each moment, with lines at the release and the interpass temperature."""
    figure = now.plan.figures
    lines = tuple(
        (figure[key].value, f"{speech.say(word)} {_one(speech, figure[key].value)}")
        for key, word in (("set_up.release_K", "heat.release"), ("set_up.interpass_max_K", "heat.interpass"))
    )
    reading_m, cooling, air = figure["set_up.reading_distance_m"].value, seen.after.cooling, seen.body.losses.air_K
    even = np.linspace(0, 2 * np.pi, ROUND, endpoint=False)
    found = []
    for seconds, state in seen.moments():
        along, angles, kelvin = face_of_joint(seen, state, side=side)
        rows = [np.interp(even, angles, row, period=2 * np.pi) for row in kelvin]
        read = np.interp(seconds, cooling.time_s - cooling.time_s[0], cooling.probe_K[:, 0])
        told = _one(speech, air + (float(read) - air) * seen.scales_1[1])
        picture = HeatMap(
            title=speech.say("heat.map" if side == "outside" else "heat.map_inside", run=str(seen.number)),
            moment=speech.say("heat.moment", seconds=f"{seconds:.0f}"),
            along_m=tuple(float(x) for x in along),
            at_rad=tuple(float(x) for x in even),
            warm_K=tuple(tuple(round(float(x), 2) for x in row) for row in rows),
            lines=lines,
            arc_at_rad=seen.arc.to_rad,
            around_m=2 * math.pi * seen.body.radius_m,
            read=(seen.arc.to_rad, reading_m, told) if side == "outside" and reading_m < along.max() else None,
            us=speech.system == "us",
        )
        found.append((seconds, picture))
    return tuple(found)


def _one(speech: Speech, kelvin: float) -> str:
    """In the person's unit alone: a drawing has no room for both."""
    return show(kelvin, name="limit_K", system=speech.system, both=False)


def _degrees(speech: Speech) -> tuple[str, Callable[[float], float]]:
    unit = "°C" if speech.system == "metric" else "°F"
    return unit, lambda kelvin: from_si(kelvin, unit=unit, dimension="temperature")


def run_course(now: Now, seen: RunSeen, speech: Speech) -> HeatCourse:
    """After arc-off: the hottest metal and the probe's place, each in its range; when release and limit are met."""
    unit, shown = _degrees(speech)
    cooling = seen.after.cooling
    seconds = cooling.time_s - cooling.time_s[0]
    hottest = np.maximum(cooling.outer_max_K, cooling.inner_max_K)
    lines = tuple(
        HeatLine(speech.say(word), tuple(_rows(seen, seconds, kelvin, shown)), seen.made)
        for word, kelvin in (("heat.hottest", hottest), ("heat.read_here", cooling.probe_K[:, 0]))
    )
    limits = tuple(
        HeatLimit(shown(now.plan.figures[key].value), _words_of(speech, word, now.plan.figures[key].value, met), met)
        for word, key, met in (
            ("heat.hold_until", "set_up.release_K", _met_at(now, seen, "hold_s")),
            ("heat.wait_until", "set_up.interpass_max_K", _met_at(now, seen, "wait_s")),
        )
    )
    title = speech.say("heat.run_chart", run=str(seen.number))
    return HeatCourse(title, speech.say("chart.seconds_after"), unit, lines, limits)


def _rows(
    seen: RunSeen, x: Array, kelvin: Array, shown: Callable[[float], float]
) -> Iterable[tuple[float, float, float, float]]:
    air = seen.body.losses.air_K
    for at, value in zip(x, kelvin, strict=True):
        low, middle, high = (air + (float(value) - air) * k for k in seen.scales_1)
        if high < POOL_K:
            yield float(at), shown(low), shown(middle), shown(high)


def _met_at(now: Now, seen: RunSeen, name: str) -> tuple[float, float, float] | None:
    """As the forecast has it, else as this run's own march; None where it does not come about or nothing is waited for."""
    told = now.forecasts.get(f"runs.{seen.number}.{name}")
    band = (told.low, told.value, told.high) if told else seen.band(name)
    return None if band is None or band[2] == 0.0 else band


def _words_of(speech: Speech, word: str, kelvin: float, met: tuple[float, float, float] | None) -> str:
    limit = _one(speech, kelvin)
    if met is None:
        return speech.say(f"{word}_plain", limit=limit)
    low, value, high = (show_time(x) for x in met)
    unit = high.rsplit(" ", 1)[-1]
    low = low.removesuffix(f" {unit}")
    return speech.say(word, limit=limit, time=value, low=low, high=high)


@dataclass(frozen=True, slots=True)
class _Placed:
    """A run on the joint's own clock: when its arc goes on and off, and when the next one does."""

    number: int
    made: bool
    on_s: float
    off_s: float
    until_s: float


def _placed(now: Now) -> tuple[_Placed, ...]:
    """The runs made at their own times, the rest of the plan after them. Times count from the first arc-on."""
    planned = planned_until(now.plan, now.plan.runs[-1].number, cells=now.cells)
    made = made_of(now.plan, now.state.record)
    done = {one.number for one in made}
    rest = [one for one in planned if one.number not in done]
    later = 0.0
    if made and rest:
        before = [one.arc for one in planned if one.arc.start_s < rest[0].arc.start_s]
        gap = rest[0].arc.start_s - before[-1].stop_s if before else 0.0
        later = made[-1].arc.stop_s + gap - rest[0].arc.start_s
    arcs: list[tuple[int, bool, ArcRun, float]] = [(one.number, True, one.arc, 0.0) for one in made]
    arcs += [(one.number, False, one.arc, later) for one in rest]
    start = arcs[0][2].start_s + arcs[0][3]
    on = [arc.start_s + shift - start for _, _, arc, shift in arcs]
    off = [arc.stop_s + shift - start for _, _, arc, shift in arcs]
    nexts = [*on[1:], off[-1] + AFTER_LAST_S]
    return tuple(
        _Placed(number, is_made, *times) for (number, is_made, _, _), *times in zip(arcs, on, off, nexts, strict=True)
    )


def joint_course(place: Place, now: Now, speech: Speech) -> HeatCourse:
    """Through the whole joint: an inch from where each arc went off until the next is struck, and what was read."""
    unit, shown = _degrees(speech)
    placed = _placed(now)
    rows: dict[bool, list[tuple[float, float, float, float]]] = {True: [], False: []}
    for one in placed:
        seen = run_heat(place, now, one.number)
        cooling = seen.after.cooling
        seconds = one.off_s + cooling.time_s - cooling.time_s[0]
        here = list(_rows(seen, seconds / 60, cooling.probe_K[:, 0], shown))
        rows[one.made] += [row for row in here if row[0] * 60 <= one.until_s]
    # where the made ends and the planned begins there is one line: it is named once
    lines = tuple(
        HeatLine(speech.say("heat.read_here" if made else "heat.read_planned"), tuple(rows[made]), made)
        for made in (True, False)
        if rows[made]
    )
    limit_K = now.plan.figures["set_up.interpass_max_K"].value
    limits = (HeatLimit(shown(limit_K), speech.say("heat.limit", limit=_one(speech, limit_K))),)
    arcs = tuple((one.on_s / 60, one.off_s / 60, str(one.number), one.made) for one in placed)
    made = made_of(now.plan, now.state.record)
    read = tuple(
        ((t.at_s - made[0].arc.start_s) / 60, shown(t.temperature_K))
        for t in now.state.record.temperatures
        if made and made[0].arc.start_s <= t.at_s and t.method != "crayon"
    )
    name = speech.say("heat.read_dots") if read else ""
    return HeatCourse(speech.say("heat.joint_chart"), speech.say("heat.minutes"), unit, lines, limits, arcs, read, name)
