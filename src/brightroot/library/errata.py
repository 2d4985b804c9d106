"""Corrections to a released edition: `errata.toml` beside its rows, each with a day and a reason, laid over them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import fields, replace
from datetime import date
from typing import Any

from brightroot.base.errors import Broken
from brightroot.library.cells import standing_of
from brightroot.model.library import Clause, Code, CodeRow

HEAD = ("date", "row", "why")
FIXED = ("id", "table")


def corrected(code: Code, errata: Mapping[str, Any], *, where: str) -> Code:
    """The code with its errata laid over it, in their order. Broken for one that names no row or gives no reason."""
    clauses, rows = {c.id: c for c in code.clauses}, {r.id: r for r in code.rows}
    for name, change in _read(errata, where):
        if name in clauses:
            clauses[name] = replace(clauses[name], **_fields(Clause, change, f"{where}, {name}"))
        elif name in rows:
            head = {key: value for key, value in change.items() if key in {f.name for f in fields(CodeRow)}}
            cells = {key: value for key, value in change.items() if key not in head}
            told = _fields(CodeRow, head, f"{where}, {name}")
            rows[name] = replace(rows[name], **told, cells={**rows[name].cells, **cells})
        else:
            raise Broken(where=f"{where}, {name}", wanted=f"a row of {code.id}", got=name)
    return replace(code, clauses=tuple(clauses.values()), rows=tuple(rows.values()))


def _read(errata: Mapping[str, Any], where: str) -> Iterator[tuple[str, dict[str, Any]]]:
    for row in errata.get("erratum", ()):
        missing = next((name for name in HEAD if not str(row.get(name, "")).strip()), "")
        if missing:
            raise Broken(where=f"{where}, {row.get('row', '?')}", wanted=missing, got="nothing")
        try:
            date.fromisoformat(str(row["date"]))
        except ValueError:
            raise Broken(where=f"{where}, {row['row']}", wanted="a day like 2026-03-02", got=str(row["date"])) from None
        yield row["row"], {name: value for name, value in row.items() if name not in HEAD}


def _fields(kind: type, change: Mapping[str, Any], where: str) -> dict[str, Any]:
    """The changed fields, checked to be fields that may change."""
    names = {f.name for f in fields(kind)} - set(FIXED) - {"cells"}
    strange = next((name for name in change if name not in names), "")
    if strange:
        raise Broken(where=where, wanted=f"one of {', '.join(sorted(names))}", got=strange)
    told = dict(change)
    if "standing" in told:
        told["standing"] = standing_of(told["standing"], where=where)
    return told
