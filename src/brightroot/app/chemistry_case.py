"""A chemistry case in JSON: certificates by symbol in percent by mass, and how much of the weld was base metal."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from brightroot.base.errors import Refused
from brightroot.base.formula import Assumed, Known
from brightroot.base.source import Standing
from brightroot.model.find import find_alloy, find_filler
from brightroot.model.library import Library
from brightroot.physics.fields import known, listed, number
from brightroot.rules.confirm import Row

SYMBOLS = {
    "O": "oxygen", "N": "nitrogen", "C": "carbon", "H": "hydrogen", "Fe": "iron", "Cr": "chromium",
    "Fe+Cr": "iron_chromium", "Hf": "hafnium", "Zr+Hf": "zirconium_hafnium", "Al": "aluminium", "V": "vanadium",
    "Pd": "palladium", "Ru": "ruthenium", "Mo": "molybdenum", "Ni": "nickel", "Sn": "tin", "Nb": "niobium",
    "Nb+Ta": "niobium_tantalum",
}  # fmt: skip
SHAPE = {
    "wall_m": (0.0004, 0.03),
    "land_m": (0.0, 0.004),
    "included_angle_rad": (0.0, 2.0944),
    "melt_in_m": (0.0, 0.004),
    "gap_m": (0.0, 0.008),
    "added_area_m2": (0.0, 0.005),
}


@dataclass(frozen=True, slots=True)
class Part:
    """Base metal or rod: which, and what its certificate tells, by element."""

    name: str
    content_frac: Mapping[str, float]
    edition: str = ""


@dataclass(frozen=True, slots=True)
class Layer:
    """A bead laid on another: how much of it was base metal, how much the bead below."""

    dilution: Known
    remelted: Known


@dataclass(frozen=True, slots=True)
class Case:
    """A case as read."""

    base: Part
    rod: Part
    dilution: Known | None
    shape: Mapping[str, Known] | None
    layers: tuple[Layer, ...] = ()
    sample_frac: Mapping[str, float] = field(default_factory=dict)
    confirmed: frozenset[Row] = frozenset()


def read_case(case: Mapping[str, Any], library: Library) -> Case:
    """The case checked; whatever does not fit is refused by its key."""
    allowed = ("dilution", "shape", "layers", "weld_sample_pct", "confirmed")
    table = known(case, field="", needed=("base", "rod"), allowed=allowed)
    if ("dilution" in table) == ("shape" in table):
        raise Refused(
            field="dilution", wanted="dilution or shape, one of them", got="both or none", reason="refused.case"
        )
    return Case(
        base=_base(table, library),
        rod=_rod(table, library),
        dilution=_share(table, "dilution") if "dilution" in table else None,
        shape=_shape(table["shape"]) if "shape" in table else None,
        layers=tuple(_layer(row, n) for n, row in enumerate(listed(table, "layers", field="")))
        if "layers" in table
        else (),
        sample_frac=_content(table.get("weld_sample_pct", {}), "weld_sample_pct"),
        confirmed=frozenset(_row(row) for row in table.get("confirmed", ())),
    )


def _base(table: Mapping[str, Any], library: Library) -> Part:
    part = known(table["base"], field="base", needed=("grade", "certificate_pct"))
    alloy = find_alloy(library, str(part["grade"]), field="base.grade")
    return Part(alloy.id, _content(part["certificate_pct"], "base.certificate_pct"))


def _rod(table: Mapping[str, Any], library: Library) -> Part:
    part = known(table["rod"], field="rod", needed=("class", "certificate_pct"), allowed=("edition",))
    filler = find_filler(library, str(part["class"]), field="rod.class")
    return Part(filler.id, _content(part["certificate_pct"], "rod.certificate_pct"), str(part.get("edition", "")))


def _content(given: Any, key: str) -> dict[str, float]:
    """Percent by symbol to mass fractions by element; iron and chromium told apart are also told together."""
    table = known(given, field=key, needed=(), allowed=tuple(SYMBOLS))
    found = {SYMBOLS[symbol]: number(table, symbol, field=key, low=0.0, high=100.0) / 100 for symbol in table}
    for pair in (("iron", "chromium"),):
        if set(pair) <= set(found):
            found.setdefault("_".join(pair), sum(found[element] for element in pair))
    return found


def _share(table: Mapping[str, Any], key: str, field: str = "") -> Known:
    """A share from 0 to 1, or a range of it."""
    return _spread(table, key, field, 0.0, 1.0)


def _spread(table: Mapping[str, Any], key: str, field: str, low: float, high: float) -> Known:
    if not isinstance(table[key], Mapping):
        value = number(table, key, field=field, low=low, high=high)
        return Assumed(value, value, value, "case", Standing.MEASURED, "typed")
    name = f"{field}.{key}" if field else key
    inner = known(table[key], field=name, needed=("low", "value", "high"))
    least, value, most = (number(inner, end, field=name, low=low, high=high) for end in ("low", "value", "high"))
    if not least <= value <= most:
        got = f"{least:g}, {value:g}, {most:g}"
        raise Refused(field=name, wanted="low ≤ value ≤ high", got=got, reason="refused.case")
    return Assumed(value, least, most, "case", Standing.MEASURED, "typed")


def _shape(given: Any) -> dict[str, Known]:
    needed = ("wall_m", "land_m", "included_angle_rad", "melt_in_m")
    table = known(given, field="shape", needed=needed, allowed=("gap_m", "added_area_m2"))
    if "gap_m" not in table and "added_area_m2" not in table:
        raise Refused(
            field="shape.gap_m", wanted="gap_m, or added_area_m2 as measured", got="nothing", reason="refused.case"
        )
    return {name: _spread(table, name, "shape", *SHAPE[name]) for name in SHAPE if name in table}


def _layer(given: Any, number_: int) -> Layer:
    field = f"layers[{number_}]"
    table = known(given, field=field, needed=("dilution", "remelted"))
    return Layer(_share(table, "dilution", field), _share(table, "remelted", field))


def _row(given: Any) -> Row:
    if not isinstance(given, list) or len(given) != 2:
        raise Refused(field="confirmed", wanted='pairs like ["composition/ERTi-7", "palladium"]', got=str(given))
    return str(given[0]), str(given[1])
