"""Readings: what a person typed, kept verbatim, beside its exact SI value.

SI inside, always; these tables are the only place where units are converted, once, with exact fractions.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction as F

from brightroot.base.errors import Refused
from brightroot.base.source import Standing

INCH = F(254, 10000)
FOOT3 = (12 * INCH) ** 3
PSI = F("0.45359237") * F("9.80665") / INCH**2

# dimension -> unit -> (factor, offset): SI = factor * x + offset
UNITS: dict[str, dict[str, tuple[F, F]]] = {
    "length": {
        "mm": (F(1, 1000), F(0)),
        "in": (INCH, F(0)),
        "m": (F(1), F(0)),
        "cm": (F(1, 100), F(0)),
        "ft": (12 * INCH, F(0)),
        "µm": (F(1, 10**6), F(0)),
        "nm": (F(1, 10**9), F(0)),
    },
    "temperature": {"°C": (F(1), F("273.15")), "°F": (F(5, 9), F("459.67") * F(5, 9)), "K": (F(1), F(0))},
    "temperature difference": {"K": (F(1), F(0)), "°C": (F(1), F(0)), "°F": (F(5, 9), F(0))},
    "time": {"s": (F(1), F(0)), "min": (F(60), F(0)), "h": (F(3600), F(0))},
    "flow": {
        "L/min": (F(1, 60000), F(0)),
        "cfh": (FOOT3 / 3600, F(0)),
        "mL/min": (F(1, 60000000), F(0)),
        "m³/h": (F(1, 3600), F(0)),
        "m³/s": (F(1), F(0)),
    },
    "fraction": {"ppm": (F(1, 10**6), F(0)), "%": (F(1, 100), F(0)), "1": (F(1), F(0))},
    "pressure": {
        "bar": (F(10**5), F(0)),
        "psi": (PSI, F(0)),
        "mbar": (F(100), F(0)),
        "Pa": (F(1), F(0)),
        "kPa": (F(1000), F(0)),
        "inH2O": (F("249.08891"), F(0)),
        "MPa": (F(10**6), F(0)),
    },
    "speed": {
        "mm/min": (F(1, 60000), F(0)),
        "in/min": (INCH / 60, F(0)),
        "mm/s": (F(1, 1000), F(0)),
        "m/s": (F(1), F(0)),
    },
    "heat input": {"kJ/mm": (F(10**6), F(0)), "kJ/in": (F(1000) / INCH, F(0)), "J/m": (F(1), F(0))},
    "current": {"A": (F(1), F(0))},
    "voltage": {"V": (F(1), F(0))},
    "angle": {"°": (F("3.14159265358979323846264338327950288") / 180, F(0)), "rad": (F(1), F(0))},
    "volume": {
        "L": (F(1, 1000), F(0)),
        "ft³": (FOOT3, F(0)),
        "m³": (F(1), F(0)),
        "mL": (F(1, 10**6), F(0)),
        "cm³": (F(1, 10**6), F(0)),
    },
    "area": {"mm²": (F(1, 10**6), F(0)), "in²": (INCH**2, F(0)), "m²": (F(1), F(0))},
    "mass": {
        "g": (F(1, 1000), F(0)),
        "kg": (F(1), F(0)),
        "lb": (F("0.45359237"), F(0)),
        "oz": (F("0.45359237") / 16, F(0)),
    },
    "power": {"W": (F(1), F(0)), "kW": (F(1000), F(0))},
    "dose": {"ppm·s": (F(1, 10**6), F(0))},
}

# other ways people write a unit -> the name above
ALIASES: dict[str, str] = {
    "c": "°C",
    "degc": "°C",
    "celsius": "°C",
    "f": "°F",
    "degf": "°F",
    "fahrenheit": "°F",
    "k": "K",
    '"': "in",
    "″": "in",
    "inch": "in",
    "inches": "in",
    "millimetre": "mm",
    "millimeter": "mm",
    "um": "µm",
    "μm": "µm",
    "lpm": "L/min",
    "l/min": "L/min",
    "cfh": "cfh",
    "ft3/h": "cfh",
    "scfh": "cfh",
    "ml/min": "mL/min",
    "m3/h": "m³/h",
    "amp": "A",
    "amps": "A",
    "a": "A",
    "volt": "V",
    "volts": "V",
    "v": "V",
    "deg": "°",
    "degrees": "°",
    "sec": "s",
    "seconds": "s",
    "minutes": "min",
    "hours": "h",
    "hr": "h",
    "percent": "%",
    "ipm": "in/min",
    "l": "L",
    "litre": "L",
    "liter": "L",
    "m3": "m³",
    "w": "W",
    "kw": "kW",
    "psig": "psi",
    "psia": "psi",
    "mm2": "mm²",
    "m3/s": "m³/s",
    "ft3": "ft³",
    "grams": "g",
}

# the unit at the end of a numeric name -> its dimension; the longest match wins
SUFFIXES: dict[str, str] = {
    "_m3_s": "flow",
    "_m_s": "speed",
    "_J_m": "heat input",
    "_frac_s": "dose",
    "_frac": "fraction",
    "_m3": "volume",
    "_m2": "area",
    "_m": "length",
    "_K": "temperature",
    "_dK": "temperature difference",
    "_s": "time",
    "_Pa": "pressure",
    "_A": "current",
    "_V": "voltage",
    "_rad": "angle",
    "_kg": "mass",
    "_W": "power",
}
# suffixes of numbers that no person types and no screen converts
PLAIN_SUFFIXES = (
    "_W_mK",
    "_J_m3K",
    "_J_kgK",
    "_kg_m3",
    "_W_m2K",
    "_m2_s",
    "_J_kg",
    "_J",
    "_kg_s",
    "_kg_mol",
    "_Pas",
    "_rad_s",
    "_m_s2",
    "_count",
    "_1",
    "_J_mol",
    "_HV",
    "_HB",
    "_s_K",
    "_m2_s_K",
    "_K_W",
    "_kg_m",
    "_nm",
    "_nm2_s",
)

_NUMBER = re.compile(r"^\s*([+-]?)\s*(?:(\d+)[ -]+(\d+)/(\d+)|(\d+)/(\d+)|(\d+(?:[.,]\d+)?|[.,]\d+))\s*(.*?)\s*$")


@dataclass(frozen=True, slots=True)
class Reading:
    """A number as somebody read or typed it: `as_entered` verbatim, `value` in SI, `unit` as typed."""

    as_entered: str
    value: float
    unit: str
    dimension: str

    @property
    def low(self) -> float:
        return self.value

    @property
    def high(self) -> float:
        return self.value

    @property
    def standing(self) -> Standing:
        return Standing.MEASURED

    @property
    def origin(self) -> str:
        return "typed"

    @property
    def ref(self) -> str:
        return self.as_entered


def dimension_of(name: str) -> str:
    """The dimension that a numeric name's last part says; '' for text, counts and internal numbers.

    >>> dimension_of("interpass_max_K"), dimension_of("flow_m3_s"), dimension_of("grade")
    ('temperature', 'flow', '')
    """
    if name.endswith(PLAIN_SUFFIXES):
        return ""
    return next((dim for suffix, dim in SUFFIXES.items() if name.endswith(suffix)), "")


def to_si(number: F, *, unit: str, dimension: str) -> float:
    """Exact conversion: 0.9 mm is the float nearest to 0.0009 m, not 0.9 * 1e-3."""
    factor, offset = UNITS[dimension][unit]
    return float(factor * number + offset)


def from_si(value: float, *, unit: str, dimension: str) -> float:
    """SI to a named unit, for display only.

    >>> round(from_si(373.15, unit="°F", dimension="temperature"), 9)
    212.0
    """
    factor, offset = UNITS[dimension][unit]
    return float((F(value) - offset) / factor)


def _unit_named(text: str, dimension: str) -> str | None:
    table = UNITS[dimension]
    if text in table:
        return text
    alias = ALIASES.get(text.lower().replace(" ", ""))
    if alias in table:
        return alias
    folded = {name.lower(): name for name in table}
    return folded.get(text.lower().replace(" ", ""))


def read(text: str, *, field: str, dimension: str | None = None) -> Reading:
    """Turn typed text into a Reading. A bare number is refused: the unit is part of the evidence.

    Decimal comma and point, fractions (`3/32 in`) and mixed numbers (`2 7/8 in`) are understood.
    Raises Refused for no number, no unit, or a unit of another dimension.

    >>> read("3/32 in", field="gap_m").value
    0.00238125
    >>> read("88,9 mm", field="outer_diameter_m").value
    0.0889
    """
    dimension = dimension or dimension_of(field)
    names = ", ".join(list(UNITS[dimension])[:4])
    wanted = f"a number and one of {names}"
    match = _NUMBER.match(text)
    if match is None:
        raise Refused(field=field, wanted=wanted, got=text, reason="refused.number")
    sign, whole, top, bottom, top2, bottom2, decimal, unit_text = match.groups()
    if "0" in (bottom, bottom2):
        raise Refused(field=field, wanted=wanted, got=text, reason="refused.number")
    if whole:
        number = F(int(whole)) + F(int(top), int(bottom))
    elif top2:
        number = F(int(top2), int(bottom2))
    else:
        number = F(decimal.replace(",", "."))
    number = -number if sign == "-" else number
    if not unit_text:
        raise Refused(
            field=field, wanted=wanted, got=text, near=_both_ways(number, dimension), reason="refused.no_unit"
        )
    unit = _unit_named(unit_text, dimension)
    if unit is None:
        raise Refused(field=field, wanted=wanted, got=text, reason="refused.unit")
    value = to_si(number, unit=unit, dimension=dimension)
    if dimension == "temperature" and value < 0:
        raise Refused(field=field, wanted="a temperature above absolute zero", got=text, reason="refused.number")
    return Reading(as_entered=text.strip(), value=value, unit=unit, dimension=dimension)


def _both_ways(number: F, dimension: str) -> tuple[str, ...]:
    """What a bare number would mean in the two commonest units, so that the person can choose."""
    pairs = {"temperature": ("°C", "°F"), "flow": ("L/min", "cfh"), "length": ("mm", "in"), "pressure": ("bar", "psi")}
    if dimension not in pairs:
        return ()
    first, second = pairs[dimension]
    one, two = (to_si(number, unit=unit, dimension=dimension) for unit in (first, second))
    return (
        f"{float(number):g} {first} = {from_si(one, unit=second, dimension=dimension):.4g} {second}",
        f"{float(number):g} {second} = {from_si(two, unit=first, dimension=dimension):.4g} {first}",
    )
