"""What the drawings show: the joint as a ring, oxygen over time with its forecast, temperature with its cooling."""

from __future__ import annotations

from brightroot.base.clock import TURN_RAD
from brightroot.base.show import show
from brightroot.base.units import from_si
from brightroot.documents.speech import Speech
from brightroot.model.joint import POSITIONS
from brightroot.model.picture import Chart, Face, RingMark, RingRun, Series
from brightroot.model.plan import Plan, PlannedRun
from brightroot.model.record import JointRecord, RunRecord

SUSPECT = ("purple", "dark blue", "light blue", "grey", "white")


def face(plan: Plan, record: JointRecord, *, next_run: int, early_lifts: tuple[int, ...], speech: Speech) -> Face:
    """The clock face of a joint: planned and made runs, tacks, and every reading where it was taken."""
    position = POSITIONS[plan.joint.position]
    bands = tuple(dict.fromkeys(p.name for p in plan.passes))
    fixed = (position.axis == "horizontal" and not position.rolled) or position.axis == "inclined"
    return Face(
        title=speech.say("face.title", joint=plan.joint.id),
        datum=speech.say("face.datum.up" if fixed else "face.datum.mark"),
        view=speech.say("face.view.top" if position.axis == "vertical" else "face.view.side"),
        bands=bands,
        runs=tuple(_run(run, record, next_run, early_lifts) for run in plan.runs),
        marks=(*_tacks(plan, record), *_readings(record, speech)),
        arcs=_arcs(plan, record),
        turned_rad=_turned(plan, record, next_run) if position.rolled else 0.0,
        centre=plan.joint.id,
    )


def _turned(plan: Plan, record: JointRecord, next_run: int) -> float:
    """Rolled pipe stands so that the run at hand is at the top; its marks have turned with it."""
    run = plan.run(record.arc_on_run or next_run)
    return -(run.from_rad + run.sweep_rad / 2) % TURN_RAD if run else 0.0


def _arcs(plan: Plan, record: JointRecord) -> tuple[tuple[str, float, float, bool], ...]:
    """Tape and openings while the root is being made; a welded arc is closed by metal, a finished root needs no tape."""
    root = [r for r in plan.runs if r.pass_number == 1]
    if all(record.run(r.number) is not None for r in root):
        return ()
    welded = {a.name for a in plan.arcs if all(record.run(r.number) for r in root if r.arc == a.name)}
    return tuple(
        (a.name, a.from_rad, a.sweep_rad, a.name in record.arcs_open and a.name not in welded) for a in plan.arcs
    )


def _run(run: PlannedRun, record: JointRecord, next_run: int, early_lifts: tuple[int, ...]) -> RingRun:
    made = record.run(run.number)
    state = _state(run, made, record, next_run, early_lifts)
    return RingRun(
        run.number, run.pass_name, run.from_rad, run.sweep_rad, state, made.tint if made else "", str(run.number)
    )


def _state(
    run: PlannedRun, made: RunRecord | None, record: JointRecord, next_run: int, early_lifts: tuple[int, ...]
) -> str:
    if made is None:
        return "next" if run.number == next_run else "planned"
    if record.arc_on_run == run.number:
        return "now"
    if made.lifted_s is None:
        return "hold"
    doubtful = made.tint in SUSPECT or made.dipped or run.number in early_lifts
    return "doubtful" if doubtful else "done"


def _tacks(plan: Plan, record: JointRecord) -> list[RingMark]:
    marks = []
    for planned in plan.tacks:
        made = record.tack(planned.name)
        if made is None:
            marks.append(RingMark("tack", planned.at_rad, "planned", planned.name))
        elif not made.cut:
            doubt = made.tint in SUSPECT or not made.purged
            marks.append(RingMark("tack", made.at_rad, "doubtful" if doubt else "done", planned.name))
    return marks


def _readings(record: JointRecord, speech: Speech) -> list[RingMark]:
    temperatures = [
        RingMark("temperature", t.at_rad, text=show(t.temperature_K, name="temperature_K", system=speech.system, both=False),
                 value=t.temperature_K)
        for t in record.temperatures[-6:]
    ]  # fmt: skip
    gaps = [
        RingMark("gap", p.at_rad, text=show(p.gap_m, name="gap_m", system=speech.system, both=False), value=p.gap_m)
        for p in record.fit_up
    ]
    seen = [v for v in record.visual if v.data.get("seen") == "seen" and "at_rad" in v.data]
    defects = [RingMark("defect", float(str(v.data["at_rad"])), "doubtful", str(v.data["item"])) for v in seen]
    return [*temperatures, *(gaps if not record.runs else []), *defects]


def cooling_chart(
    plan: Plan, record: JointRecord, *, run: int, cooling: tuple[tuple[float, float, float, float], ...], speech: Speech
) -> Chart:
    """Temperature at the probe's place after a run: (seconds, low, value, high) of the model, readings, and the limit."""
    unit = "°C" if speech.system == "metric" else "°F"

    def shown(kelvin: float) -> float:
        return from_si(kelvin, unit=unit, dimension="temperature")

    limit = shown(plan.figures["set_up.interpass_max_K"].value)
    made = record.run(run)
    stop = made.stopped_s if made else None
    points = tuple((s, shown(value)) for s, _, value, _ in cooling)
    band = tuple((s, shown(low), shown(high)) for s, low, _, high in cooling)
    reads = tuple(
        (r.at_s - stop, shown(r.temperature_K)) for r in record.temperatures if stop is not None and r.at_s >= stop
    )
    last = max([cooling[-1][0] if cooling else 60.0, *(x for x, _ in reads)])
    series = [
        Series(speech.say("chart.model"), "model", points, band),
        Series(speech.say("chart.interpass_limit"), "limit", ((0.0, limit), (last, limit))),
    ]
    if reads:
        series.append(Series(speech.say("chart.read"), "measured", reads))
    return Chart(
        title=speech.say("chart.cooling", run=str(run)),
        x_label=speech.say("chart.seconds_after"),
        y_label=unit,
        series=tuple(series),
    )
