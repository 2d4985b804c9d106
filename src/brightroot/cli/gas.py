"""`brightroot gas J-05`: cylinders, minutes left, proof, air and instruments; with a kind of event, one more entry first."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import typer

from brightroot.app.gas import GasSeen, gas_seen, traced, whose_leak
from brightroot.app.gas_told import (
    air_line,
    cylinder_rows,
    health_rows,
    proof_rows,
    space_line,
    suspect_rows,
    trace_rows,
)
from brightroot.app.ports import Place
from brightroot.app.work_live import Now, look, record
from brightroot.base.errors import Refused
from brightroot.base.show import show, show_time
from brightroot.base.units import dimension_of, from_si, read
from brightroot.cli.output import FAIL, PASS, UNKNOWN, pairs, put
from brightroot.cli.wiring import place_at
from brightroot.model.codec import to_data
from brightroot.render.words import Words, words

KINDS = (
    "gas.connected", "gas.proved", "cylinder.read", "cylinder.changed", "flow.changed", "instrument.checked",
    "space.described", "air.read", "air.seconded",
)  # fmt: skip
WHOSE = ("first", "first_flow", "other", "other_flow")


@dataclass(frozen=True, slots=True)
class Spoken:
    """Says and shows for whoever sits at this terminal."""

    words: Words
    system: str

    def say(self, message_id: str, **params: object) -> str:
        return self.words.say(message_id, **params)

    def choice(self, value: str, /) -> str:
        slug = value.replace(" ", "_")
        return self.say(f"choice.{slug}") if f"choice.{slug}" in self.words.english else value

    def number(self, value: float, name: str, /, *, both: bool = True) -> str:
        return show(value, name=name, system=self.system, both=both)

    def time(self, seconds: float, /) -> str:
        return show_time(seconds)

    def gas(self, volume_m3: float, /) -> str:
        if self.system == "us":
            return f"{from_si(volume_m3, unit='ft³', dimension='volume'):.0f} ft³"
        return f"{volume_m3:.1f} m³" if volume_m3 >= 0.5 else f"{volume_m3 * 1000:.0f} L"

    def slots(self, params: tuple[tuple[str, str], ...], /) -> dict[str, str]:
        return {name: self._slot(name, value) for name, value in params}

    def _slot(self, name: str, value: str) -> str:
        try:
            return self.number(float(value), name) if dimension_of(name) else value
        except ValueError:
            return self.choice(value)


def run_gas(
    joint: str,
    event: list[str],
    *,
    by: str,
    at: str,
    store: Path | None,
    language: str,
    units: str,
    as_json: bool,
) -> None:
    """Record, then tell how gas, air and instruments stand. Exit 1 where something is shut, 2 where it is not known."""
    place, spoken = place_at(store), Spoken(words(language), units)
    if event and event[0] == "whose":
        _whose(pairs(event[1:]), spoken, as_json)
        return
    if event and event[0] not in KINDS:
        wanted = f"one of {', '.join(KINDS)} or whose"
        raise Refused(field="kind", wanted=wanted, got=event[0], reason="refused.name")
    made = record(place, joint, event[0], pairs(event[1:]), by=by, at_utc=at) if event else None
    now = look(place, joint)
    seen = gas_seen(place, now)
    if as_json:
        put({**to_data(seen), **({"recorded": made.id} if made else {})})
    else:
        if made:
            print(spoken.say("word.recorded", event=made.id))
        _print(place, now, seen, spoken)
    raise typer.Exit(_exit(seen))


def _exit(seen: GasSeen) -> int:
    states = [one.answer for one in seen.cylinders] + ([seen.air.state] if seen.air else [])
    if "change first" in states or "shut" in states:
        return FAIL
    return UNKNOWN if "not known" in states or "unknown" in states else PASS


def _print(place: Place, now: Now, seen: GasSeen, spoken: Spoken) -> None:
    say = spoken.say
    _title(say("gas.finish"))
    for cylinder in cylinder_rows(seen, now, spoken):
        print(cylinder.says)
        for name, value in cylinder.lines:
            print(f"  {name}: {value}")
        for note in cylinder.notes:
            print(f"  {note}")
    if not seen.cylinders:
        print(say("gas.none"))
    _title(say("gas.proof"))
    for proof in proof_rows(seen, spoken):
        missing = f" ({say('gas.missing').lower()}: {proof.missing})" if proof.missing else ""
        print(f"{proof.circuit}: {proof.fill}, {proof.says}{missing}")
    fills = tuple(dict.fromkeys(one.fill for one in seen.proofs if one.fill))
    for trace in trace_rows(traced(place, fills), spoken):
        print("  " + "  ".join(trace))
    _title(say("gas.air"))
    print(air_line(seen, spoken) or say("gas.air_not_asked"))
    if line := space_line(seen, spoken):
        print(line)
    print(f"{say('gas.let_go')}: {spoken.gas(seen.space.argon_m3)}")
    if seen.space.mixed and seen.space.soonest_s is not None:
        print(f"{say('gas.soonest')}: {spoken.time(seen.space.soonest_s)}")
    print(f"{say('gas.air_note')}\n{say('gas.pit')}")
    _title(say("gas.instruments"))
    for row in health_rows(seen, now, spoken):
        print(row.head + (f" — {say('gas.bad')}" if row.bad else ""))
        for line in row.lines:
            print(f"  {line}")
    if not seen.health:
        print(say("gas.instruments_none"))
    for doubt in suspect_rows(seen, spoken) or (say("gas.suspects_none"),):
        print(doubt)


def _title(text: str) -> None:
    print(f"\n{text}\n{'-' * len(text)}")


def _whose(told: dict[str, str], spoken: Spoken, as_json: bool) -> None:
    """The two parts of a plateau, from two plateaus at two flows."""
    missing = [name for name in WHOSE if name not in told]
    if missing:
        raise Refused(
            field=missing[0], wanted=", ".join(f"{n}=" for n in WHOSE), got="nothing", reason="refused.missing"
        )
    plateau, flow, other, other_flow = (
        read(told[name], field=field).value
        for name, field in zip(WHOSE, ("oxygen_frac", "flow_m3_s", "oxygen_frac", "flow_m3_s"), strict=True)
    )
    leak, rest = whose_leak(plateau_frac=plateau, flow_m3_s=flow, other_frac=other, other_flow_m3_s=other_flow)
    if as_json:
        put({"in_leak_m3_s": leak, "oxygen_frac": rest})
        return
    print(spoken.say("gas.pipe_part", leak=spoken.number(leak, "in_leak_m3_s", both=False)))
    print(spoken.say("gas.rest_part", oxygen=spoken.number(rest, "oxygen_frac", both=False)))
