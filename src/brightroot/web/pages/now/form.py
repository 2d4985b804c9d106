"""What the table of event kinds asks, as fields to tap: known facts filled in, the last ones offered again."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from brightroot.base.clock import show_clock
from brightroot.base.units import dimension_of
from brightroot.model.event import KINDS, Event, Field

# what a shop's instruments read in: metric first, US first
UNITS_ASKED: dict[str, tuple[tuple[str, ...], tuple[str, ...]]] = {
    "length": (("mm", "in"), ("in", "mm")),
    "temperature": (("°C", "°F"), ("°F", "°C")),
    "flow": (("L/min", "cfh"), ("cfh", "L/min")),
    "fraction": (("ppm", "%"), ("ppm", "%")),
    "pressure": (("bar", "psi"), ("psi", "bar")),
    "volume": (("L", "ft³"), ("ft³", "L")),
    "speed": (("m/s", "mm/s"), ("m/s", "mm/s")),
    "current": (("A",), ("A",)),
    "voltage": (("V",), ("V",)),
    "time": (("s", "min"), ("s", "min")),
    "area": (("m²", "in²"), ("m²", "in²")),
}
# facts that a unit of their dimension alone would not suit
UNITS_OF: dict[str, tuple[tuple[str, ...], tuple[str, ...]]] = {
    "room_oxygen_frac": (("%",), ("%",)),
    "room_m3": (("m³", "ft³"), ("ft³", "m³")),
    "ventilation_m3_s": (("m³/h", "cfh"), ("cfh", "m³/h")),
    "lip_m": (("m", "ft"), ("ft", "m")),
}

# not needed for the entry to stand, yet the clauses will ask for them
ALSO_ASKED = {
    "oxygen.read": ("oxygen_frac",), "temperature.read": ("distance_m",), "air.read": ("monitor",),
    "instrument.checked": ("oxygen_frac",), "gas.proved": ("dew_point_K", "supply_oxygen_frac"),
    "cylinder.changed": ("cylinder_volume_m3", "cylinder_pressure_Pa"),
    "gas.connected": ("cylinder_volume_m3", "cylinder_pressure_Pa"),
}  # fmt: skip
# kinds whose choices tell circumstances, never what was seen: these may all be as last time at one touch
ROUTINE = ("temperature.read", "gas.connected", "cylinder.changed", "dam.placed")

# what is read or seen each time anew: never offered again, for a copied reading is no reading
READ_ANEW = frozenset({
    "oxygen_frac", "room_oxygen_frac", "temperature_K", "gap_m", "hi_lo_m", "land_m", "depth_m", "length_m",
    "protrusion_m", "concavity_m", "wind_m_s", "at_rad", "tint", "arrangement", "seen", "state", "result", "tip", "cut",
    "brushed", "why", "what", "photo_sha256", "cylinder_pressure_Pa", "puddle", "dew_point_K", "supply_oxygen_frac", "lag_s",
    "monitor",
})  # fmt: skip


@dataclass(frozen=True, slots=True)
class Asked:
    """One fact still to be given. `last` is what was given last time for the same kind, `planned` what the plan says."""

    name: str
    kind: str  # number | clock | choice | text | count | stamp
    required: bool
    choices: tuple[str, ...] = ()
    units: tuple[str, ...] = ()
    value: str = ""
    last: str = ""
    planned: str = ""


@dataclass(frozen=True, slots=True)
class Entry:
    """A form for one event: what is known and goes along, what is asked, what may be added."""

    kind: str
    known: tuple[tuple[str, str], ...]
    asked: tuple[Asked, ...]
    more: tuple[Asked, ...]
    corrects: str = ""

    @property
    def bare(self) -> bool:
        """Whether one tap is enough."""
        return not self.asked

    @property
    def as_last(self) -> bool:
        """Whether one touch may choose all circumstances as they were last time."""
        return self.kind in ROUTINE and any(f.last for f in self.asked if f.kind == "choice")


def entry(
    kind_name: str,
    known: Mapping[str, str],
    *,
    events: tuple[Event, ...] = (),
    system: str = "metric",
    stamp: str = "",
    values: Mapping[str, str] | None = None,
    planned: Mapping[str, str] | None = None,
    corrects: str = "",
) -> Entry:
    """The form of a kind. `known` is settled; `values` stand in the fields and can still be
    changed; `planned` are offered at one touch: a dial is looked at first, then the plan's figure is tapped or another typed.

    >>> [f.name for f in entry("tungsten.dipped", {"run_count": "3"}).asked]
    []
    """
    kind = KINDS[kind_name]
    last = next((typed(e.data) for e in reversed(events) if e.kind == kind_name), {})
    names = {f.name for f in kind.fields}
    settled = tuple((name, value) for name, value in known.items() if name in names and value)
    start = {"stamp": stamp, **(values or {})}
    offered = planned or {}
    fields = [_asked(f, start, last, offered, system) for f in kind.fields if f.name not in dict(settled)]
    asked = tuple(f for f in fields if f.required or f.name in ALSO_ASKED.get(kind_name, ()))
    return Entry(kind_name, settled, asked, tuple(f for f in fields if f not in asked), corrects)


def _asked(
    f: Field, start: Mapping[str, str], last: Mapping[str, str], planned: Mapping[str, str], system: str
) -> Asked:
    choices = ("yes", "no") if f.kind == "yes_no" else f.choices
    kind = "choice" if f.kind == "yes_no" else f.kind
    asked = UNITS_OF.get(f.name) or UNITS_ASKED.get(dimension_of(f.name), ((), ()))
    units = asked[system == "us"] if f.kind == "number" else ()
    again = "" if f.name in READ_ANEW else last.get(f.name, "")
    return Asked(f.name, kind, f.required, choices, units, start.get(f.name, ""), again, planned.get(f.name, ""))


def typed(data: Mapping[str, Any]) -> dict[str, str]:
    """An event's facts as a person would type them again."""
    return {name: _typed(name, value) for name, value in data.items()}


def _typed(name: str, value: Any) -> str:
    if isinstance(value, Mapping):
        return str(value.get("as_entered", ""))
    if isinstance(value, bool):
        return "yes" if value else "no"
    return show_clock(float(value)) if name == "at_rad" else str(value)
