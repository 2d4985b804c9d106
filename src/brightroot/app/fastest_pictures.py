"""Pictures of a found way: the reading where the next run is struck over the runs, and the runs on the clock face."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import numpy as np

from brightroot.app.compare import Comparison, Side
from brightroot.base.show import show
from brightroot.base.units import from_si
from brightroot.documents.speech import Speech
from brightroot.model.picture import Face, HeatCourse, HeatLimit, HeatLine, RingRun
from brightroot.physics.heat.modal import after_pause, cold, modes, rise_dK, with_run
from brightroot.physics.heat.ring import ArcRun
from brightroot.planner.choose import family_cells
from brightroot.planner.search.task import Found
from brightroot.planner.search.tasks import Setting

LOOKS = 10  # in a pause
LAST_S = 600.0
Rows = list[tuple[float, float, float, float]]


def found_course(setting: Setting, found: Found, speech: Speech) -> HeatCourse:
    """From each arc-off until the next strike: the highest reading along the run that comes next, in the efficiency's range."""
    task, unit = setting.task, "°C" if speech.system == "metric" else "°F"
    cell = family_cells(setting.joint, setting.library)["efficiency_frac"]
    scales = (cell.low / cell.value, 1.0, cell.high / cell.value)
    own, state, air = modes(task.ring), cold(modes(task.ring)), task.ring.ambient_K

    def shown(kelvin: float) -> float:
        return from_si(kelvin, unit=unit, dimension="temperature")

    rows: Rows = []
    arcs = []
    for number, (run, following) in enumerate(pairwise([*found.runs, None]), 1):
        if run is None:
            continue
        way = task.layers[run.layer].ways[run.way]
        stretch = way.stretches[run.stretch]
        state = with_run(own, state, ArcRun(0.0, run.duration_s, stretch.from_rad, stretch.sweep_rad, way.power_W))
        arcs.append((run.start_s / 60, run.stop_s / 60, str(number), False))
        pause = following.pause_s if following else LAST_S
        there = task.layers[following.layer].ways[following.way].stretches[following.stretch] if following else stretch
        gates = np.linspace(there.from_rad, there.from_rad + there.sweep_rad, 5)
        for after_s in np.linspace(0.0, pause, LOOKS):
            left = after_pause(own, state, pause_s=float(after_s))
            rise = float(rise_dK(own, left, theta_rad=gates, z_m=task.limits.reading_m).max())
            low, value, high = (shown(air + rise * k) for k in scales)
            rows.append(((run.stop_s + float(after_s)) / 60, low, value, high))
        state = after_pause(own, state, pause_s=pause)
    limits: tuple[HeatLimit, ...] = ()
    if task.limits.interpass_K is not None:
        kelvin = task.limits.interpass_K
        told = show(kelvin, name="limit_K", system=speech.system, both=False)
        limits = (HeatLimit(shown(kelvin), speech.say("heat.limit", limit=told)),)
    line = HeatLine(speech.say("fastest.reading"), tuple(rows), False)
    return HeatCourse(speech.say("fastest.chart"), speech.say("fastest.minutes"), unit, (line,), limits, tuple(arcs))


def found_face(setting: Setting, found: Found, speech: Speech) -> Face:
    """The runs on their bands, numbered as they are made."""
    layers = setting.task.layers
    bands: list[str] = []
    runs = []
    for number, run in enumerate(found.runs, 1):
        layer = layers[run.layer]
        band = layer.name
        if band not in bands:
            bands.append(band)
        stretch = layer.ways[run.way].stretches[run.stretch]
        runs.append(RingRun(number, band, stretch.from_rad, stretch.sweep_rad, "planned", label=str(number)))
    return _face(speech.say("fastest.order"), tuple(bands), runs, speech, setting.joint.id)


def side_by_side(told: Comparison, speech: Speech) -> Face:
    """The roots of all plans on one face, a ring each, from the inside out."""
    names = tuple(side_name(side, speech) for side in told.sides)
    runs = [
        RingRun(run.number, name, run.from_rad, run.sweep_rad, "planned", label=str(run.number))
        for name, side in zip(names, told.sides, strict=True)
        for run in side.plan.runs
        if run.pass_number == 1
    ]
    return _face(speech.say("compare.clock"), names, runs, speech, told.sides[0].plan.joint.id)


def side_name(side: Side, speech: Speech) -> str:
    """What is other in a column, as typed."""
    return ", ".join(f"{speech.say(f'field.{name}')} {value}" for name, value in side.changes) or speech.say(
        "compare.own"
    )


def _face(title: str, bands: tuple[str, ...], runs: Sequence[RingRun], speech: Speech, centre: str) -> Face:
    datum, view = speech.say("face.datum.up"), speech.say("face.view.side")
    return Face(title, datum, view, bands, tuple(runs), (), (), centre=centre)
