"""Typed text to an event's data, and a refusal in the person's words for whatever does not fit its field."""

from __future__ import annotations

import difflib
from collections.abc import Mapping
from typing import Any

from brightroot.base.clock import read_clock
from brightroot.base.errors import Refused, gathered
from brightroot.base.instant import read_day
from brightroot.base.units import Reading, read
from brightroot.model.codec import from_data, to_data
from brightroot.model.event import KINDS, Field, Kind
from brightroot.model.solvents import refused_solvent

YES = ("yes", "y", "true", "1", "on", "sí", "si")
NO = ("no", "n", "false", "0", "off")


def kind_named(name: str, kinds: Mapping[str, Kind] = KINDS) -> Kind:
    """The kind of that name, or a refusal with the nearest names.

    >>> kind_named("oxygen.raed")
    Traceback (most recent call last):
    brightroot.base.errors.Refused: kind: wanted a kind of event; got 'oxygen.raed' (near: oxygen.read)
    """
    if name not in kinds:
        near = tuple(difflib.get_close_matches(name, kinds, n=2))
        raise Refused(field="kind", wanted="a kind of event", got=name, near=near, reason="refused.name")
    return kinds[name]


def entered(kind_name: str, facts: Mapping[str, Any], kinds: Mapping[str, Kind] = KINDS) -> dict[str, Any]:
    """The checked data of an event from what was typed. Blank optional fields are left out: not recorded, never zero.

    Raises Refused with every field that needs mending in `also`.

    >>> entered("tape.opened", {"arc": "A"})
    {'arc': 'A'}
    """
    kind = kind_named(kind_name, kinds)
    names = ", ".join(f.name for f in kind.fields) or "no facts"
    known = [f.name for f in kind.fields]
    refusals = [
        Refused(field=one, wanted=names, got=one, near=_near(one, known), reason="refused.name")
        for one in sorted(set(facts) - set(known))
    ]
    data: dict[str, Any] = {}
    for f in kind.fields:
        given = facts.get(f.name)
        if given is None or (isinstance(given, str) and not given.strip()):
            if f.required:
                refusals.append(Refused(field=f.name, wanted=_wanted(f), got="nothing", reason="refused.missing"))
            continue
        try:
            data[f.name] = given if f.kind == "data" else _one(f, str(given))
        except Refused as refusal:
            refusals.append(refusal)
    refusals += _ends(data)
    if refusals:
        raise gathered(refusals)
    _whole(kind_name, data)
    return data


def _wanted(f: Field) -> str:
    if f.choices:
        return "one of " + ", ".join(f.choices)
    return {
        "number": "a number with its unit",
        "clock": "a clock position like 4:30",
        "yes_no": "yes or no",
        "count": "a whole number",
        "share": "a number from 0.1 to 1",
        "stamp": "a stamp like W-07",
        "date": "a day like 2026-03-02",
    }.get(f.kind, "some words")


def _one(f: Field, text: str) -> Any:
    if f.kind == "number":
        return _number(f, text)
    if f.kind == "clock":
        return read_clock(text, field=f.name)
    if f.kind == "choice":
        if text not in f.choices:
            near = tuple(difflib.get_close_matches(text, f.choices, n=2))
            raise Refused(field=f.name, wanted=_wanted(f), got=text, near=near, reason="refused.choice")
        return text
    if f.kind == "yes_no":
        if text.lower() in (*YES, *NO):
            return text.lower() in YES
        raise Refused(field=f.name, wanted=_wanted(f), got=text, reason="refused.choice")
    if f.kind == "date":
        return read_day(text, field=f.name)
    if f.kind == "count":
        if not text.strip().isdigit() or int(text) == 0:
            raise Refused(field=f.name, wanted=_wanted(f), got=text, reason="refused.number")
        return int(text)
    if f.kind == "share":
        return _share(f, text)
    return text.strip()


def _share(f: Field, text: str) -> float:
    """A number without a unit, as an instrument's dial shows it: 0.95 or 0,95."""
    try:
        share = float(text.strip().replace(",", "."))
    except ValueError:
        share = -1.0
    if not 0.1 <= share <= 1.0:
        raise Refused(field=f.name, wanted=_wanted(f), got=text, reason="refused.range")
    return share


# what a physical reading can be; outside it is a slip of the pen or of the unit, so it is refused and never clipped
POSSIBLE: dict[str, tuple[float, float, str]] = {
    "oxygen_frac": (0.0, 0.25, "0 ppm to 25 %"),
    "supply_oxygen_frac": (0.0, 0.01, "0 ppm to 1 %"),
    "room_oxygen_frac": (0.0, 1.0, "0 to 100 %"),
    "temperature_K": (223.15, 1073.15, "-50 to 800 °C"),
    "dew_point_K": (173.15, 313.15, "-100 to 40 °C"),
    "gap_m": (0.0, 0.02, "0 to 20 mm"),
    "hi_lo_m": (0.0, 0.02, "0 to 20 mm"),
    "land_m": (0.0, 0.02, "0 to 20 mm"),
    "flow_m3_s": (0.0, 0.005, "0 to 300 L/min"),
    "cylinder_pressure_Pa": (0.0, 4e7, "0 to 400 bar"),
    "cylinder_volume_m3": (1e-4, 1.0, "0.1 to 1000 L"),
    "current_A": (1.0, 500.0, "1 to 500 A"),
    "voltage_V": (1.0, 50.0, "1 to 50 V"),
    "cylinder_K": (233.15, 343.15, "-40 to 70 °C"),
    "lag_s": (0.0, 600.0, "0 to 10 min"),
    "room_m3": (0.05, 1e5, "50 L to 100,000 m³"),
    "ventilation_m3_s": (0.0, 100.0, "0 to 360,000 m³/h"),
    "bottom_m2": (0.01, 1e5, "0.01 to 100,000 m²"),
    "lip_m": (0.0, 100.0, "0 to 100 m"),
    "distance_m": (0.0, 5.0, "0 to 5 m"),
    "rod_diameter_m": (0.0005, 0.006, "0.5 to 6 mm"),
    "heat_input_J_m": (5e4, 5e6, "0.05 to 5 kJ/mm"),
    "metal_thickness_m": (2e-4, 0.3, "0.2 to 300 mm"),
    "deposit_m": (2e-4, 0.3, "0.2 to 300 mm"),
    "tungsten_diameter_m": (0.0005, 0.0065, "0.5 to 6.5 mm"),
    "cup_bore_m": (0.003, 0.06, "3 to 60 mm"),
    "preheat_K": (223.15, 1073.15, "-50 to 800 °C"),
    "interpass_K": (223.15, 1073.15, "-50 to 800 °C"),
}


# what a display shows instead of a number, as people type it, and the state that says so
SHOWN = {
    **dict.fromkeys(("over", "ol", "o.l.", "o/l", "hi", "high", "9999", ">>>>", "over range", "overrange"), "over range"),
    **dict.fromkeys(("under", "lo", "low", "under range", "underrange"), "under range"),
    **dict.fromkeys(("-", "--", "---", "----", "–", "—", "err", "error", "blank"), "no digits"),
}  # fmt: skip


def _number(f: Field, text: str) -> dict[str, Any]:
    if f.name == "oxygen_frac" and (state := SHOWN.get(text.strip().lower())):
        wanted = f"a number, or state={state} and no number"
        raise Refused(field=f.name, wanted=wanted, got=text, near=(f"state={state}",), reason="refused.display")
    reading = read(text, field=f.name)
    whole = f.name.replace("_min_", "_").replace("_max_", "_")  # an end of a range is what the reading itself can be
    known = POSSIBLE.get(f.name) or POSSIBLE.get(whole) or POSSIBLE.get("flow_m3_s" if "_flow_" in whole else "")
    low, high, words = known or (0.0, float("inf"), "zero or more")
    if not low <= reading.value <= high:
        raise Refused(field=f.name, wanted=words, got=text, reason="refused.range")
    data: dict[str, Any] = to_data(reading)
    return data


def _whole(kind_name: str, data: Mapping[str, Any]) -> None:
    """Rules between the fields of one event."""
    if kind_name == "oxygen.read" and (data["state"] == "reading") != ("oxygen_frac" in data):
        got = "a number" if "oxygen_frac" in data else "nothing"
        wanted = (
            "a number with ppm or %"
            if data["state"] == "reading"
            else f"no number, since the display shows {data['state']}"
        )
        raise Refused(field="oxygen_frac", wanted=wanted, got=got, reason="refused.missing")
    if kind_name == "surface.prepared" and (no := refused_solvent(str(data.get("solvent", "")), field="solvent")):
        raise no


def _near(name: str, known: list[str]) -> tuple[str, ...]:
    return tuple(difflib.get_close_matches(name, known, n=2))


def _ends(data: Mapping[str, Any]) -> list[Refused]:
    """The least of a range is no more than its most: every range that stands the wrong way round is told at once."""
    wrong = []
    for name in data:
        most = name.replace("_min_", "_max_")
        if most != name and most in data and data[name]["value"] > data[most]["value"]:
            wanted = f"at least {data[name]['as_entered']}, where the range begins"
            wrong.append(Refused(field=most, wanted=wanted, got=data[most]["as_entered"], reason="refused.range"))
    return wrong


def number_of(data: Mapping[str, Any], name: str) -> float | None:
    """The SI value of a recorded number, or None where it was not recorded."""
    return None if name not in data else float(data[name]["value"])


def reading_of(data: Mapping[str, Any], name: str) -> Reading | None:
    """The recorded Reading with its text, or None."""
    return None if name not in data else from_data(data[name], Reading)
