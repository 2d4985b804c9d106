"""The library from its folders: ours first, then the user's own of the same shape, which add to it or stand in its place."""

from __future__ import annotations

import csv
import hashlib
import tomllib
from collections.abc import Iterator, Mapping
from functools import cache
from pathlib import Path
from typing import Any

from brightroot.base.errors import Broken
from brightroot.base.source import Datum, Source, Standing
from brightroot.base.units import INCH
from brightroot.library.cells import cell_of, cells_of, curve_of
from brightroot.model.library import Alloy, AmpsRow, Clause, Code, Curve, Family, Filler, Library, PipeSize

OURS = Path(__file__).parent


def load_library(*extra_folders: Path) -> Library:
    """All facts of our folder and the given ones. Raises Broken naming the file and the cell that does not check.

    >>> "ti-2" in load_library().alloys
    True
    """
    return _loaded((OURS, *extra_folders))


@cache
def _loaded(folders: tuple[Path, ...]) -> Library:
    practice: dict[str, Datum] = {}
    gases: dict[str, Mapping[str, Datum]] = {}
    parts: dict[str, dict[str, Any]] = {name: {} for name in ("alloys", "fillers", "families", "codes", "sources")}
    pipes: dict[tuple[str, str], PipeSize] = {}
    curves: dict[str, dict[str, Curve]] = {}
    for root in folders:
        for path in sorted((root / "curves").glob("*/*.csv")):
            curves.setdefault(path.parent.name, {})[path.stem] = curve_of(path)
        for path in sorted(root.glob("practice.toml")):
            practice |= _cells(path)
        for path in sorted((root / "gases").glob("*.toml")):
            gases[path.stem] = _cells(path)
        parts["sources"] |= {key: _source(key, row) for key, row in _rows(root / "sources.toml")}
        parts["families"] |= {p.stem: _family(p) for p in sorted((root / "families").glob("*.toml"))}
        parts["fillers"] |= {p.stem: _filler(p) for p in sorted((root / "fillers").glob("*.toml"))}
        parts["alloys"] |= {p.parent.name: _alloy(p, curves) for p in sorted((root / "alloys").glob("*/alloy.toml"))}
        parts["codes"] |= {c.id: c for c in map(_code, sorted((root / "codes").glob("*/*/about.toml")))}
        pipes |= {(p.nps, p.schedule): p for path in sorted((root / "pipe").glob("*.csv")) for p in _pipes(path)}
    return Library(pipes=tuple(pipes.values()), practice=practice, gases=gases, digest=_digest(folders), **parts)


def _digest(folders: tuple[Path, ...]) -> str:
    """One hash over every data file, by its path inside its folder: the same facts, the same digest, anywhere."""
    total = hashlib.sha256()
    for root in folders:
        for path in sorted(p for p in root.rglob("*") if p.suffix in (".toml", ".csv")):
            total.update(f"{path.relative_to(root).as_posix()}\n".encode())
            total.update(hashlib.sha256(path.read_bytes()).digest())
    return total.hexdigest()


def _read(path: Path) -> dict[str, Any]:
    try:
        return tomllib.loads(path.read_text(encoding="utf-8"))
    except tomllib.TOMLDecodeError as fault:
        raise Broken(where=_name(path), wanted="a TOML file", got=str(fault)) from fault


def _name(path: Path) -> str:
    return "/".join(path.parts[-2:])


def _rows(path: Path) -> Iterator[tuple[str, Any]]:
    if path.exists():
        yield from _read(path).items()


def _wanted(data: Mapping[str, Any], path: Path, *names: str) -> None:
    missing = [name for name in names if name not in data]
    if missing:
        raise Broken(where=f"{_name(path)}, {missing[0]}", wanted="a value", got="nothing")


def _cells(path: Path) -> dict[str, Datum]:
    data = _read(path)
    return cells_of(data.get("cells", {}), defaults=data.get("defaults", {}), where=_name(path))


def _source(key: str, row: Mapping[str, str]) -> Source:
    try:
        return Source(id=key, **{**row, "standing": Standing(row["standing"])})  # type: ignore[arg-type]
    except (KeyError, TypeError, ValueError) as fault:
        raise Broken(where=f"sources.toml, {key}", wanted="kind, title and standing", got=str(fault)) from fault


def _family(path: Path) -> Family:
    data = _read(path)
    _wanted(data, path, "name", "words", "cells", "amps", "rods", "cautions")
    defaults = data.get("defaults", {})

    def cell(row: Any, name: str) -> Datum:
        return cell_of(row, defaults=defaults, where=f"{_name(path)}, {name}")

    return Family(
        id=path.stem,
        name=data["name"],
        cells=_cells(path),
        words=data["words"],
        amps=tuple(
            AmpsRow(row["wall_min_m"], row["wall_max_m"], cell(row["root_A"], "root_A"), cell(row["fill_A"], "fill_A"))
            for row in data["amps"]
        ),
        rods_m=tuple(cell(row["rod_diameter_m"], "rod_diameter_m") for row in data["rods"]),
        cautions=tuple(data["cautions"]),
        backing_required=bool(data.get("backing_required", True)),
        trailing_required=bool(data.get("trailing_required", True)),
        tint_model=bool(data.get("tint_model", False)),
    )


def _filler(path: Path) -> Filler:
    data = _read(path)
    names = ("specification", "edition", "family", "f_number", "composition", "source", "standing")
    _wanted(data, path, *names)
    text = {name: data[name] for name in names if name != "standing"}
    return Filler(id=path.stem, cells=_cells(path), standing=Standing(data["standing"]), **text)


def _alloy(path: Path, curves: Mapping[str, Mapping[str, Curve]]) -> Alloy:
    data = _read(path)
    _wanted(data, path, "name", "family", "uns", "aliases", "p_number", "curves", "fillers")
    if data["curves"] not in curves:
        near = ", ".join(sorted(curves))
        raise Broken(where=f"{_name(path)}, curves", wanted=f"one of {near}", got=data["curves"])
    return Alloy(
        id=path.parent.name,
        name=data["name"],
        family=data["family"],
        uns=data["uns"],
        aliases=tuple(data["aliases"]),
        p_number=data["p_number"],
        cells=_cells(path),
        curves=curves[data["curves"]],
        fillers=tuple(data["fillers"]),
        note=data.get("note", ""),
    )


def _pipes(path: Path) -> Iterator[PipeSize]:
    standard = "standard/asme-" + path.stem.replace("_", ".")
    with path.open(encoding="utf-8") as handle:
        for row in csv.DictReader(handle):
            diameter, wall = (float(INCH) * float(row[name]) for name in ("outer_diameter_in", "wall_in"))
            yield PipeSize(row["nps"], row["schedule"], diameter, wall, standard, Standing(row["standing"]))


def _code(path: Path) -> Code:
    about = _read(path)
    clauses = _read(path.parent / "clauses.toml")
    _wanted(about, path, "title", "edition", "covers", "left_out")
    tables = {
        p.stem: tuple(dict(row) for row in csv.DictReader(p.read_text(encoding="utf-8").splitlines()))
        for p in sorted((path.parent / "tables").glob("*.csv"))
    }
    text = {name: about[name] for name in ("title", "edition", "covers", "left_out")}
    rows = clauses.get("clauses", clauses.get("clause", []))
    return Code(
        id="/".join(path.parts[-3:-1]), clauses=tuple(_clause(path, row) for row in rows), tables=tables, **text
    )


def _clause(path: Path, row: Mapping[str, Any]) -> Clause:
    try:
        return Clause(**{**row, "standing": Standing(row["standing"])})
    except (KeyError, TypeError, ValueError) as fault:
        raise Broken(where=f"{_name(path.parent)}, {row.get('id', '?')}", wanted="a clause", got=str(fault)) from fault
