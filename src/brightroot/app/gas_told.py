"""Gas, air and instruments in one person's words, for the page and the command line alike."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Protocol

from brightroot.app.gas import GasSeen, Trace
from brightroot.app.work_live import Now
from brightroot.base.formula import Estimate
from brightroot.base.instant import utc_of
from brightroot.live.gas import Cylinder
from brightroot.live.instruments import Point
from brightroot.model.entry import number_of

Line = tuple[str, str]


class Teller(Protocol):
    """Who says and shows: words, choices, numbers, times and volumes as this person reads them."""

    def say(self, message_id: str, **params: object) -> str: ...
    def choice(self, value: str, /) -> str: ...
    def number(self, value: float, name: str, /, *, both: bool = True) -> str: ...
    def time(self, seconds: float, /) -> str: ...
    def gas(self, volume_m3: float, /) -> str: ...
    def slots(self, params: tuple[tuple[str, str], ...], /) -> dict[str, str]: ...


@dataclass(frozen=True, slots=True)
class CylinderRow:
    """One cylinder: the answer in words, its figures as lines, and what is to be minded."""

    answer: str
    says: str
    lines: tuple[Line, ...]
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ProofRow:
    circuit: str
    fill: str
    state: str
    says: str
    missing: str


@dataclass(frozen=True, slots=True)
class HealthRow:
    head: str
    bad: bool
    lines: tuple[str, ...]


def cylinder_rows(seen: GasSeen, now: Now, shown: Teller) -> tuple[CylinderRow, ...]:
    """Every cylinder on line."""
    return tuple(_cylinder(one, seen, now, shown) for one in seen.cylinders)


def _cylinder(one: Cylinder, seen: GasSeen, now: Now, shown: Teller) -> CylinderRow:
    says = one.answer.replace(" ", "_")
    if one.answer == "enough":
        says = "enough" if seen.root_ahead else "enough_run" if seen.arcs_ahead else "nothing"
    lines = [
        (shown.say("gas.usable"), _with_range(one.usable, shown)),
        (shown.say("gas.wants"), _with_range(one.wanted, shown) if seen.arcs_ahead else ""),
        (shown.say("gas.lasts"), _with_range(one.left, shown)),
        (shown.say("gas.shows"), _with_range(one.pressure, shown)),
    ]
    notes = [shown.say("gas.feeds", circuits=", ".join(shown.choice(c) for c in one.circuits))]
    if one.read_s is not None:
        notes.append(shown.say("gas.told", age=shown.time(max(0.0, now.now_s - one.read_s))))
    if one.low:
        notes.append(shown.say("gas.low"))
    if one.under_titanium_heel:
        notes.append(shown.say("gas.under"))
    said = shown.say(f"gas.answer.{says}", fill=one.fill)
    return CylinderRow(one.answer, said, tuple(line for line in lines if line[1]), tuple(notes))


def _with_range(figure: Estimate | None, shown: Teller) -> str:
    if figure is None:
        return ""
    low, value, high = (_volume(x, figure.name, shown) for x in (figure.low, figure.value, figure.high))
    return value if low == high else f"{value} ({low} – {high})"


def _volume(value: float, name: str, shown: Teller) -> str:
    return shown.gas(value) if name.endswith("_m3") else shown.number(value, name, both=False)


def proof_rows(seen: GasSeen, shown: Teller) -> tuple[ProofRow, ...]:
    """Each circuit's gas: what proves it, and what is missing or bad."""
    rows = []
    for one in seen.proofs:
        odd = [f"{shown.say(f'gas.asked.{name}')} ({shown.choice('bad')})" for name in one.bad]
        gone = [shown.say(f"gas.asked.{name}") for name in one.missing]
        fill = one.fill or shown.say("gas.nothing_connected")
        state = shown.say(f"gas.state.{one.state}")
        rows.append(ProofRow(shown.choice(one.circuit), fill, one.state, state, ", ".join((*odd, *gone))))
    return tuple(rows)


def trace_rows(traces: Iterable[Trace], shown: Teller) -> tuple[tuple[str, str, str, str, str], ...]:
    """(fill, joint, circuit, what it fed, state) across the shop's joints."""
    rows = []
    for one in traces:
        if one.runs:
            fed = shown.say("gas.traced_runs", runs=_ranges(one.runs))
        else:
            fed = shown.say("gas.traced_purge") if one.circuit == "backing" else "–"
        rows.append((one.fill, one.joint, shown.choice(one.circuit), fed, shown.say(f"gas.state.{one.state}")))
    return tuple(rows)


def _ranges(numbers: tuple[int, ...]) -> str:
    """`1–4, 6` for 1, 2, 3, 4, 6.

    >>> _ranges((1, 2, 3, 4, 6))
    '1–4, 6'
    """
    runs: list[list[int]] = []
    for number in sorted(numbers):
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    return ", ".join(str(r[0]) if len(r) == 1 else f"{r[0]}–{r[-1]}" for r in runs)


def health_rows(seen: GasSeen, now: Now, shown: Teller) -> tuple[HealthRow, ...]:
    """Every instrument with its points, its lag, what its line adds and what it lacks this shift."""
    rows = []
    for one in seen.health:
        lines = [_point(point, now, shown) for point in one.points]
        if one.lag_s is not None:
            lines.append(shown.say("gas.lag", lag=shown.time(one.lag_s)))
        if one.line_adds is not None:
            lines.append(shown.say("gas.line_adds", oxygen=_ppm(one.line_adds.value, shown)))
        if one.missing:
            lines.append(shown.say("gas.not_good", points=", ".join(shown.choice(p) for p in one.missing)))
        rows.append(HealthRow(f"{shown.choice(one.instrument)} {one.tag}", one.bad, tuple(lines)))
    return tuple(rows)


def _point(point: Point, now: Now, shown: Teller) -> str:
    age = shown.time(max(0.0, now.now_s - point.at_s))
    result = shown.choice(point.result)
    parts = [shown.say("gas.point.line", against=shown.choice(point.against), result=result, age=age)]
    if point.oxygen_frac is not None:
        parts.append(shown.say("gas.shown", oxygen=_ppm(point.oxygen_frac, shown)))
    if point.odd and point.off_frac is not None:
        parts.append(shown.say("gas.odd", off=_ppm(abs(point.off_frac), shown)))
    if point.drift_frac_day is not None:
        sign = "+" if point.drift_frac_day >= 0 else "−"
        parts.append(shown.say("gas.drift", drift=f"{sign}{_ppm(abs(point.drift_frac_day), shown)}"))
    return "; ".join(parts)


def _ppm(value: float, shown: Teller) -> str:
    return f"{value * 100:.1f} %" if value >= 0.01 else shown.number(value, "oxygen_frac", both=False)


def suspect_rows(seen: GasSeen, shown: Teller) -> tuple[str, ...]:
    """Every reading in doubt, and the check that doubts it."""
    return tuple(
        shown.say(
            "gas.suspect",
            time=utc_of(one.at_s)[:16].replace("T", " "),
            event=one.event,
            instrument=shown.choice(one.doubt.instrument),
            tag=one.doubt.tag,
            against=shown.choice(one.doubt.against),
        )
        for one in seen.suspects
    )


def air_line(seen: GasSeen, shown: Teller) -> str:
    """What stands against leaning in; nothing where nothing asks for a reading."""
    if seen.air is None:
        return ""
    return shown.say(seen.air.because.says, **shown.slots(seen.air.because.params))


def space_line(seen: GasSeen, shown: Teller) -> str:
    """The space as it was described; nothing where nobody did."""
    described = seen.space.described
    if described is None:
        return ""
    room = number_of(described.data, "room_m3") or 0.0
    how = shown.choice(str(described.data["air_change"]))
    return shown.say("gas.described", room=shown.number(room, "room_m3", both=False), how=how)
