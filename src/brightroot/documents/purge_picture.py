"""The purge as a picture: what was read on a log axis, the forecast as a band, floor, target, both clocks and events."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field

from brightroot.base.show import show
from brightroot.documents.speech import Speech
from brightroot.model.entry import number_of
from brightroot.model.picture import Chart, Series
from brightroot.model.plan import Plan
from brightroot.model.record import JointRecord, OxygenRead, Seen

PPM = 1e6
AIR_FRAC = 0.20946
POINTS = 60
RANGE_FRAC = 1000e-6  # where an over-range look stands if the monitor never showed more
AFTER_S = 120.0
MARKED = (
    "tape.opened", "tape.closed", "dam.removed", "dam.moved", "cylinder.changed", "flow.changed", "purge.started",
    "purge.ended", "sample_line.opened", "sample_line.closed", "sample_line.moved",
)  # fmt: skip
Ends = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class Forecast:
    """What is known of a purge beyond its readings, as plain numbers; times are the record's seconds."""

    target_frac: float
    place: str
    band: tuple[tuple[float, float, float, float], ...] = ()
    floor_frac: Ends | None = None
    clocks_s: Mapping[str, Ends] = field(default_factory=dict)  # gas | shown
    now_s: float | None = None


def purge_chart(plan: Plan, record: JointRecord, *, forecast: Forecast | None, speech: Speech) -> Chart:
    """Oxygen over minutes of purge. Before the gas is on only the target stands in it."""
    say = speech.say
    place = forecast.place if forecast else "vent"
    target = (forecast.target_frac if forecast else plan.figures["purge.vent_target_frac"].value) * PPM
    start = _start_s(record)
    reads = [r for r in record.oxygen if start is not None and r.place == place and r.at_s >= start]
    until = _until_min(plan, reads, start, forecast)

    def minute(at_s: float) -> float:
        return (at_s - (start or 0.0)) / 60

    limit = say("purge_chart.limit_vent" if place == "vent" else "purge_chart.limit")
    series = [Series(limit, "limit", ((0.0, target), (until, target)))]
    if start is None:
        series.append(_planned(plan, until, speech))
    if forecast and forecast.floor_frac:
        low, middle, high = (max(x, 1e-7) * PPM for x in forecast.floor_frac)
        since = minute(forecast.now_s or forecast.band[0][0]) if forecast.band or forecast.now_s else 0.0
        series.append(
            Series(say("purge_chart.floor"), "floor", ((since, middle), (until, middle)), ((since, low, high), (until, low, high)))
        )  # fmt: skip
    if forecast and forecast.band:
        points = tuple((minute(at), middle * PPM) for at, _, middle, _ in forecast.band)
        band = tuple((minute(at), low * PPM, high * PPM) for at, low, _, high in forecast.band)
        series.append(Series(say("purge_chart.forecast"), "model", points, band))
    series += [
        Series(say(f"purge_chart.{name}"), "clock", tuple((minute(at), target) for at in ends))
        for name, ends in (forecast.clocks_s if forecast else {}).items()
        if minute(ends[1]) <= until
    ]
    beyond = tuple((minute(r.at_s), _range_frac(reads) * PPM) for r in reads if r.state == "over range")
    if beyond:
        series.append(Series(say("purge_chart.beyond"), "beyond", beyond))
    measured = tuple((minute(r.at_s), r.oxygen_frac * PPM) for r in reads if r.oxygen_frac)
    if measured:
        series.append(Series(say("purge_chart.read"), "measured", measured))
    place_said = say(f"choice.{place.replace(' ', '_')}")
    return Chart(
        title=say("purge_chart.title", place=place_said), x_label=say("chart.minutes"), y_label=say("chart.oxygen_ppm"),
        series=tuple(series), log_y=True, marks=_marks(record, start, until, forecast, speech),
    )  # fmt: skip


def _planned(plan: Plan, until: float, speech: Speech) -> Series:
    """Before the gas is on: a plain exponential that is at the target when the plan says so, early, likely and late."""
    time, target = plan.figures["purge.time_s"], plan.figures["purge.vent_target_frac"].value
    minutes = [until * k / POINTS for k in range(POINTS + 1)]

    def left(reach_s: float, minute: float) -> float:
        return AIR_FRAC * PPM * math.exp(-math.log(AIR_FRAC / target) / max(reach_s, 1.0) * minute * 60)

    points = tuple((m, left(time.value, m)) for m in minutes if left(time.value, m) > target * PPM / 2)
    band = tuple((m, max(left(time.low, m), target * PPM / 2), left(time.high, m)) for m in minutes)
    return Series(speech.say("chart.model"), "model", points, band)


def _start_s(record: JointRecord) -> float | None:
    """When the gas was first turned on."""
    on = [seen.at_s for seen in record.purge_course if seen.kind == "purge.started"]
    return min(on, default=record.purge_started_s)


def _range_frac(reads: list[OxygenRead]) -> float:
    return max((r.oxygen_frac for r in reads if r.oxygen_frac), default=RANGE_FRAC)


def _until_min(plan: Plan, reads: list[OxygenRead], start: float | None, forecast: Forecast | None) -> float:
    """The end of the axis: the last reading, or as far as the forecast goes; the plan's late end before either is."""
    if start is None:
        return plan.figures["purge.time_s"].high / 60
    ends = [r.at_s for r in reads]
    if forecast and forecast.now_s is not None:
        ends += [forecast.now_s, *(at for at, *_ in forecast.band[-1:])]
    return max([AFTER_S / 60, *((at - start) / 60 for at in ends)])


def _marks(
    record: JointRecord, start: float | None, until: float, forecast: Forecast | None, speech: Speech
) -> tuple[tuple[float, str], ...]:
    """What was done, where it was done; the first turning on is the axis' own beginning."""
    if start is None:
        return ()
    course = [s for s in record.purge_course if s.kind in MARKED and s.at_s > start and _of_backing(s)]
    found = [((s.at_s - start) / 60, _said(s, speech)) for s in course]
    if forecast and forecast.now_s is not None:
        found.append(((forecast.now_s - start) / 60, speech.say("purge_chart.event.now")))
    return tuple((at, text) for at, text in found if at <= until + 1e-6)


def _of_backing(seen: Seen) -> bool:
    return seen.kind != "flow.changed" or seen.data.get("circuit") == "backing"


def _said(seen: Seen, speech: Speech) -> str:
    flow = number_of(seen.data, "flow_m3_s") if "flow_m3_s" in seen.data else None
    said = "" if flow is None else show(flow, name="flow_m3_s", system=speech.system, both=False)
    return speech.say(f"purge_chart.event.{seen.kind}", arc=str(seen.data.get("arc", "")), flow=said)
