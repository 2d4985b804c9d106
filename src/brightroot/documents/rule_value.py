"""What a rule says as a value, in one line: a clause's limit with its sign, or the cells of a row."""

from __future__ import annotations

from collections.abc import Mapping

from brightroot.model.library import Clause, CodeRow

SIGNS = {"at_most": "≤", "at_least": "≥", "under": "<", "over": ">", "equals": "=", "one_of": "∈"}


def value_of(row: Clause | CodeRow) -> str:
    """The value of a row as text.

    >>> from brightroot.base.source import Standing
    >>> row = CodeRow("r", "welder_thickness", "QW", "…", "s", Standing.MEMORY, {"below": {"us": "1/2 in", "si": "13 mm"}})
    >>> value_of(row)
    'below 1/2 in (13 mm)'
    """
    if isinstance(row, Clause):
        column = f" {row.table}" if row.table else ""
        return f"{row.fact.replace('_', ' ')} {SIGNS.get(row.check, row.check)} {limit_text(row.limit)}{column}".strip()
    return "; ".join(f"{name.replace('_', ' ')} {limit_text(value)}" for name, value in row.cells.items())


def limit_text(limit: object) -> str:
    """A limit as it is written in its row: both figures of a pair, lists with commas."""
    if isinstance(limit, Mapping):
        if set(limit) == {"us", "si"}:
            return f"{limit['us']} ({limit['si']})"
        return ", ".join(f"{name.replace('_', ' ')} {limit_text(value)}" for name, value in limit.items())
    if isinstance(limit, list | tuple):
        return ", ".join(map(limit_text, limit))
    if isinstance(limit, bool):
        return "yes" if limit else "no"
    return "" if limit is None else str(limit).replace("_", " ")
