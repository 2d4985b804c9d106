"""One cell of a library file: value, spread, source and standing, or a sentence that names the file and the cell."""

from __future__ import annotations

import csv
import math
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from brightroot.base.errors import Broken
from brightroot.base.source import Datum, Standing
from brightroot.model.library import Curve

_KEYS = {"value", "low", "high", "source", "standing", "where", "note"}


def cells_of(table: Mapping[str, Any], *, defaults: Mapping[str, str], where: str) -> dict[str, Datum]:
    """All cells of a table. Raises Broken naming the file and the cell."""
    if not isinstance(table, Mapping):
        raise Broken(where=f"{where}, cells", wanted="a table of cells", got=repr(table))
    return {name: cell_of(row, defaults=defaults, where=f"{where}, {name}") for name, row in table.items()}


def cell_of(row: Any, *, defaults: Mapping[str, str], where: str) -> Datum:
    """A Datum from `{ value = …, low = …, high = …, source = …, standing = … }`; no spread given means low = high."""
    if not isinstance(row, Mapping) or "value" not in row or set(row) - _KEYS:
        raise Broken(where=where, wanted="a table with value, low, high, source, standing, where, note", got=repr(row))
    full = {**defaults, **row}
    value = number_of(row["value"], where=where)
    low, high = (number_of(row.get(end, value), where=f"{where}, {end}") for end in ("low", "high"))
    if not low <= value <= high:
        raise Broken(where=where, wanted="low ≤ value ≤ high", got=f"{low}, {value}, {high}")
    if not full.get("source"):
        raise Broken(where=where, wanted="a source", got="nothing")
    standing = standing_of(full.get("standing", ""), where=where)
    return Datum(value, low, high, str(full["source"]), standing, str(full.get("where", "")), str(full.get("note", "")))


def number_of(value: Any, *, where: str) -> float:
    """A finite number that was written as one: no text, no true or false, no infinity."""
    if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
        raise Broken(where=where, wanted="a number", got=repr(value))
    return float(value)


def standing_of(value: Any, *, where: str) -> Standing:
    """The Standing of that name."""
    if value not in list(Standing):
        raise Broken(where=where, wanted=f"a standing: {', '.join(Standing)}", got=repr(value))
    return Standing(value)


def text_of(path: Path) -> str:
    """The text of a library file."""
    try:
        return path.read_text(encoding="utf-8")
    except UnicodeDecodeError as fault:
        raise Broken(where=name_of(path), wanted="text in UTF-8", got=str(fault)) from fault


def name_of(path: Path) -> str:
    """A file by its last two folders, as messages name it."""
    return "/".join(path.parts[-3:] if path.stem in ("about", "alloy", "clauses") else path.parts[-2:])


def rows_of(path: Path) -> Iterator[tuple[str, dict[str, str]]]:
    """The rows of a CSV file, each with the place that a message can name. Lines that begin with # are left out."""
    lines = [(n, line) for n, line in enumerate(text_of(path).splitlines(), 1) if line and not line.startswith("#")]
    for (number, line), row in zip(lines[1:], csv.DictReader(line for _, line in lines)):
        where = f"{name_of(path)}, line {number}"
        if None in row or None in row.values():
            raise Broken(where=where, wanted=f"the columns {lines[0][1]}", got=line)
        yield where, row


def cell_number(row: Mapping[str, str], name: str, *, where: str) -> float:
    """A number in a column of a CSV row."""
    try:
        return number_of(float(row[name]), where=f"{where}, {name}")
    except (KeyError, ValueError):
        raise Broken(where=f"{where}, {name}", wanted="a number", got=repr(row.get(name, "no such column"))) from None


def curve_of(path: Path) -> Curve:
    """A curve from a CSV whose first lines say `# source = …`. Temperatures must rise."""
    where = name_of(path)
    notes = (line[1:].partition("=") for line in text_of(path).splitlines() if line.startswith("#"))
    head = {key.strip(): value.strip() for key, _, value in notes}
    missing = [name for name in ("source", "standing", "spread_frac") if not head.get(name)]
    if missing:
        raise Broken(where=f"{where}, {missing[0]}", wanted=f"a line like # {missing[0]} = …", got="nothing")
    points = [
        (cell_number(row, "temperature_K", where=place), cell_number(row, "value", where=place))
        for place, row in rows_of(path)
    ]
    temperatures = tuple(temperature for temperature, _ in points)
    if not points or list(temperatures) != sorted(set(temperatures)):
        raise Broken(where=f"{where}, temperature_K", wanted="rising temperatures", got=str(temperatures))
    return Curve(
        temperature_K=temperatures,
        value=tuple(value for _, value in points),
        spread_frac=cell_number(head, "spread_frac", where=where),
        source=head["source"],
        standing=standing_of(head["standing"], where=f"{where}, standing"),
        note=head.get("note", ""),
    )
