"""How a number is shown: the person's units first, the other system beside it, digits fixed per quantity."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from brightroot.base.clock import show_clock
from brightroot.base.units import PLAIN_SUFFIXES, SUFFIXES, UNITS, dimension_of, from_si

# dimension -> ((metric unit, digits), (US unit, digits))
SHOWN: dict[str, tuple[tuple[str, int], tuple[str, int]]] = {
    "length": (("mm", 1), ("in", 3)),
    "temperature": (("°C", 0), ("°F", 0)),
    "temperature difference": (("°C", 0), ("°F", 0)),
    "time": (("s", 0), ("s", 0)),
    "flow": (("L/min", 1), ("cfh", 0)),
    "fraction": (("ppm", 0), ("ppm", 0)),
    "pressure": (("Pa", 0), ("inH2O", 3)),
    "speed": (("mm/min", 0), ("in/min", 1)),
    "heat input": (("kJ/mm", 2), ("kJ/in", 1)),
    "current": (("A", 0), ("A", 0)),
    "voltage": (("V", 1), ("V", 1)),
    "angle": (("°", 1), ("°", 1)),
    "volume": (("L", 2), ("ft³", 3)),
    "area": (("mm²", 1), ("in²", 4)),
    "mass": (("g", 1), ("oz", 2)),
    "power": (("W", 0), ("W", 0)),
    "dose": (("ppm·s", 0), ("ppm·s", 0)),
}
# a stem (the name without its unit) that wants its own units or digits
SPECIAL: dict[str, tuple[tuple[str, int], tuple[str, int]]] = {
    "wall": (("mm", 2), ("in", 3)),
    "film": (("nm", 0), ("nm", 0)),
    "cylinder_pressure": (("bar", 0), ("psi", 0)),
    "heel_pressure": (("bar", 0), ("psi", 0)),
    "efficiency": (("%", 0), ("%", 0)),
    "rod_length": (("m", 1), ("ft", 1)),
    "argon": (("L", 0), ("ft³", 1)),
    "metal": (("cm³", 1), ("cm³", 1)),
    "in_leak": (("mL/min", 2), ("mL/min", 2)),
    "humidity": (("%", 0), ("%", 0)),
    "room_oxygen": (("%", 1), ("%", 1)),
    "share": (("%", 0), ("%", 0)),
    "room": (("m³", 1), ("ft³", 0)),
    "outflow_speed": (("mm/s", 0), ("in/min", 0)),
    "wind": (("m/s", 1), ("m/s", 1)),
    "ventilation": (("m³/h", 0), ("cfh", 0)),
}


def stem_of(name: str) -> str:
    """The name without the unit at its end.

    >>> stem_of("cylinder_pressure_Pa"), stem_of("runs.3.hold_s")
    ('cylinder_pressure', 'hold')
    """
    last = name.rsplit(".", 1)[-1]
    for suffix in sorted((*PLAIN_SUFFIXES, *SUFFIXES), key=len, reverse=True):
        if last.endswith(suffix):
            return last[: -len(suffix)]
    return last


def show_time(seconds: float) -> str:
    """Seconds below two minutes, minutes below two hours, hours beyond.

    >>> show_time(48), show_time(500), show_time(9000)
    ('48 s', '8.3 min', '2.5 h')
    """
    size = abs(seconds)
    if size < 10:
        return f"{seconds:.1f} s"
    if size < 119.5:
        return f"{seconds:.0f} s"
    if size < 7170:
        return f"{seconds / 60:.1f} min"
    return f"{seconds / 3600:.1f} h"


def show(value: float, *, name: str, system: str = "metric", both: bool = True) -> str:
    """A number with its unit, and the other system's beside it where that differs.

    >>> show(0.0034, name="wall_m"), show(373.15, name="interpass_max_K"), show(3e-6, name="oxygen_frac")
    ('3.40 mm / 0.134 in', '100 °C / 212 °F', '3 ppm')
    """
    if name.endswith(("_at_rad", "from_rad", "to_rad", "at_rad")):
        return show_clock(value)
    dimension = dimension_of(name)
    if dimension == "time":
        return show_time(value)
    if not dimension:
        return f"{value:.3g}"
    stem = stem_of(name)
    special = SPECIAL.get(stem) or next((SPECIAL[s] for s in SPECIAL if stem.endswith("_" + s)), SHOWN[dimension])
    # `metal_K` is no volume although `metal_m3` is shown in cm³
    metric, us = special if special[0][0] in UNITS[dimension] else SHOWN[dimension]
    first, second = (metric, us) if system == "metric" else (us, metric)
    text = _one(value, *first, dimension)
    if both and second[0] != first[0]:
        text += f" / {_one(value, *second, dimension)}"
    return text


def _one(value: float, unit: str, digits: int, dimension: str) -> str:
    number = from_si(value, unit=unit, dimension=dimension)
    # a fraction is never rounded to 0 ppm: small ones get the digits they need
    if unit == "ppm" and 0 < abs(number) < 0.5:
        return f"{number:.1g} ppm"
    if unit == "ppm" and abs(number) >= 10000:
        return f"{number / 10000:.3g} %"
    return f"{number:z.{digits}f} {unit}"


def show_range(low: float, value: float, high: float, *, name: str, system: str = "metric") -> str:
    """`24 s (18–33 s)`; where nothing spreads, the value alone.

    >>> show_range(18, 24, 33, name="hold_s")
    '24 s (18–33 s)'
    """
    middle = show(value, name=name, system=system, both=False)
    lower, upper = (show(x, name=name, system=system, both=False) for x in (low, high))
    if lower == upper:
        return show(value, name=name, system=system)
    unit = upper.rsplit(" ", 1)[-1]
    shorter = lower.removesuffix(f" {unit}") if lower.endswith(f" {unit}") else lower
    return f"{middle} ({shorter}–{upper})"


_SLOT = re.compile(r"\{(\w+)(?::([^}.]*)(?:\.(\d+))?)?\}")


def fill_hand(template: str, values: Mapping[str, Any]) -> str:
    """Fill a card's hand check: `{bore_m:mm.1}` is the bore in millimetres with one digit.

    >>> fill_hand("{bore_m:mm.1} mm", {"bore_m": 0.1615})
    '161.5 mm'
    """

    def slot(match: re.Match[str]) -> str:
        name, unit, digits = match.groups()
        value = values[name]
        if isinstance(value, str):
            return value
        if not unit:
            return f"{value:.{int(digits)}f}" if digits else f"{value:.4g}"
        dimension = next((d for d, table in UNITS.items() if unit in table and d == dimension_of(name)), None)
        if dimension is None:
            dimension = next(d for d, table in UNITS.items() if unit in table)
        number = from_si(value, unit=unit, dimension=dimension)
        return f"{number:.{int(digits)}f}" if digits else f"{number:.4g}"

    return _SLOT.sub(slot, template)
