"""One cell of a library file: value, spread, source and standing, or a sentence that names the file and the cell."""

from __future__ import annotations

import csv
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from brightroot.base.errors import Broken
from brightroot.base.source import Datum, Standing
from brightroot.model.library import Curve

_KEYS = {"value", "low", "high", "source", "standing", "where", "note"}


def cells_of(table: Mapping[str, Any], *, defaults: Mapping[str, str], where: str) -> dict[str, Datum]:
    """All cells of a table. Raises Broken naming the file and the cell."""
    return {name: cell_of(row, defaults=defaults, where=f"{where}, {name}") for name, row in table.items()}


def cell_of(row: Any, *, defaults: Mapping[str, str], where: str) -> Datum:
    """A Datum from `{ value = …, low = …, high = …, source = …, standing = … }`; no spread given means low = high."""
    if not isinstance(row, Mapping) or "value" not in row or set(row) - _KEYS:
        raise Broken(where=where, wanted="a table with value, low, high, source, standing, where, note", got=repr(row))
    full = {**defaults, **row}
    value = row["value"]
    try:
        datum = Datum(
            value=float(value),
            low=float(row.get("low", value)),
            high=float(row.get("high", value)),
            source=str(full["source"]),
            standing=Standing(full["standing"]),
            where=str(full.get("where", "")),
            note=str(full.get("note", "")),
        )
    except (KeyError, ValueError) as fault:
        raise Broken(where=where, wanted="numbers, a source and a standing", got=str(fault)) from fault
    if not datum.low <= datum.value <= datum.high:
        raise Broken(where=where, wanted="low ≤ value ≤ high", got=f"{datum.low}, {datum.value}, {datum.high}")
    return datum


def curve_of(path: Path) -> Curve:
    """A curve from a CSV whose first lines say `# source = …`. Temperatures must rise."""
    lines = path.read_text(encoding="utf-8").splitlines()
    notes = (line[1:].partition("=") for line in lines if line.startswith("#"))
    head = {key.strip(): value.strip() for key, _, value in notes}
    rows = list(csv.DictReader(line for line in lines if not line.startswith("#")))
    try:
        temperatures = tuple(float(row["temperature_K"]) for row in rows)
        values = tuple(float(row["value"]) for row in rows)
        curve = Curve(
            temperatures,
            values,
            float(head["spread_frac"]),
            head["source"],
            Standing(head["standing"]),
            head.get("note", ""),
        )
    except (KeyError, ValueError) as fault:
        raise Broken(where=path.name, wanted="temperature_K,value rows and a head", got=repr(fault)) from fault
    if not temperatures or list(temperatures) != sorted(set(temperatures)):
        raise Broken(where=path.name, wanted="rising temperatures", got=str(temperatures))
    return curve
