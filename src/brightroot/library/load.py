"""The library from its folders: ours first, then the user's own of the same shape, which add to it or stand in its place."""

from __future__ import annotations

import hashlib
import tomllib
from collections.abc import Iterator, Mapping
from functools import cache
from pathlib import Path
from typing import Any

from brightroot.base.errors import Broken
from brightroot.base.source import Datum, Source
from brightroot.base.units import INCH
from brightroot.library.cells import (
    cell_number,
    cell_of,
    cells_of,
    curve_of,
    name_of,
    number_of,
    rows_of,
    standing_of,
    text_of,
)
from brightroot.library.errata import corrected
from brightroot.library.optic_tables import optics_in
from brightroot.model.library import Alloy, AmpsRow, Clause, Code, CodeRow, Curve, Family, Filler, Library, PipeSize
from brightroot.model.owed import Owing

OURS = Path(__file__).parent


def load_library(*extra_folders: Path) -> Library:
    """All facts of our folder and the given ones. Raises Broken naming the file and the cell that does not check.

    What was read is kept: the same folders give the same Library until the program ends.

    >>> "ti-2" in load_library().alloys
    True
    """
    return _loaded((OURS, *extra_folders))


@cache
def _loaded(folders: tuple[Path, ...]) -> Library:
    practice: dict[str, Datum] = {}
    parts: dict[str, dict[str, Any]] = {
        name: {} for name in ("alloys", "fillers", "families", "gases", "codes", "sources", "owing")
    }
    pipes: dict[tuple[str, str], PipeSize] = {}
    curves: dict[str, dict[str, Curve]] = {}
    for root in folders:
        if not root.is_dir():
            raise Broken(where=str(root), wanted="a folder of facts", got="no such folder")
        for path in sorted((root / "curves").glob("*/*.csv")):
            curves.setdefault(path.parent.name, {})[path.stem] = curve_of(path)
        for path in root.glob("practice.toml"):
            practice |= _cells(path)
        for path in root.glob("sources.toml"):
            parts["sources"] |= sources_in(path)
        for path in root.glob("owed.toml"):
            parts["owing"] |= {name: _owing(name, row, path) for name, row in _read(path).items()}
        parts["gases"] |= {p.stem: _cells(p) for p in sorted((root / "gases").glob("*.toml"))}
        parts["families"] |= {p.stem: _family(p) for p in sorted((root / "families").glob("*.toml"))}
        parts["fillers"] |= {p.stem: _filler(p) for p in sorted((root / "fillers").glob("*.toml"))}
        parts["alloys"] |= {p.parent.name: _alloy(p, curves) for p in sorted((root / "alloys").glob("*/alloy.toml"))}
        for code in map(_code, sorted((root / "codes").glob("*/*/about.toml"))):
            if code.id in parts["codes"]:
                # own rules may only tighten: they stand beside a code under another name, never in its place
                raise Broken(where=f"codes/{code.id}", wanted="a name that no code of ours has", got=code.id)
            parts["codes"][code.id] = code
        pipes |= {(p.nps, p.schedule): p for path in sorted((root / "pipe").glob("*.csv")) for p in _pipes(path)}
    return Library(
        pipes=tuple(pipes.values()), practice=practice, digest=_digest(folders), optics=optics_in(folders), **parts
    )  # fmt: skip


def code_in(folder: Path) -> Code:
    """One code from its own folder, wherever that lies."""
    return _code(folder / "about.toml")


def sources_in(path: Path) -> dict[str, Source]:
    """The sources of one library's `sources.toml`."""
    return {key: _source(key, row, path) for key, row in _read(path).items()}


def toml_in(path: Path) -> dict[str, Any]:
    """A TOML file of a folder. Broken where it is none."""
    return _read(path)


def _digest(folders: tuple[Path, ...]) -> str:
    """One hash over every data file, by its path inside its folder: the same facts, the same digest, anywhere."""
    total = hashlib.sha256()
    for root in folders:
        inside = {
            path.relative_to(root).as_posix(): path for path in root.rglob("*") if path.suffix in (".toml", ".csv")
        }
        for name in sorted(inside):
            total.update(f"{name}\n".encode())
            total.update(hashlib.sha256(inside[name].read_bytes()).digest())
    return total.hexdigest()


def _read(path: Path, *wanted: str) -> dict[str, Any]:
    """A TOML file that has at least the wanted names."""
    try:
        data = tomllib.loads(text_of(path))
    except tomllib.TOMLDecodeError as fault:
        raise Broken(where=name_of(path), wanted="a TOML file", got=str(fault)) from fault
    for name in wanted:
        if name not in data:
            raise Broken(where=f"{name_of(path)}, {name}", wanted="a value", got="nothing")
    return data


def _owing(name: str, row: Any, path: Path) -> Owing:
    if not isinstance(row, dict) or set(row) != {"by", "due"} or not all(isinstance(v, str) for v in row.values()):
        raise Broken(where=f"{name_of(path)}, {name}", wanted='{ by = "welder", due = "arc.started" }', got=repr(row))
    return Owing(**row)


def _cells(path: Path) -> dict[str, Datum]:
    data = _read(path)
    return cells_of(data.get("cells", {}), defaults=data.get("defaults", {}), where=name_of(path))


def _texts(data: Mapping[str, Any], name: str, path: Path) -> tuple[str, ...]:
    if not isinstance(data[name], list) or not all(isinstance(text, str) for text in data[name]):
        raise Broken(where=f"{name_of(path)}, {name}", wanted='a list of names like ["…", "…"]', got=repr(data[name]))
    return tuple(data[name])


def _source(key: str, row: Any, path: Path) -> Source:
    where = f"{name_of(path)}, {key}"
    try:
        return Source(id=key, **{**row, "standing": standing_of(row["standing"], where=where)})
    except (KeyError, TypeError) as fault:
        raise Broken(where=where, wanted="kind, title and standing", got=str(fault)) from fault


def _family(path: Path) -> Family:
    data = _read(path, "name", "words", "cells", "amps", "rods", "cautions")
    where = name_of(path)

    def cell(row: Mapping[str, Any], name: str) -> Datum:
        return cell_of(row.get(name), defaults=data.get("defaults", {}), where=f"{where}, {name}")

    def wall(row: Mapping[str, Any], name: str) -> float:
        return number_of(row.get(name), where=f"{where}, {name}")

    return Family(
        id=path.stem,
        name=data["name"],
        cells=_cells(path),
        words=data["words"],
        amps=tuple(
            AmpsRow(wall(row, "wall_min_m"), wall(row, "wall_max_m"), cell(row, "root_A"), cell(row, "fill_A"))
            for row in data["amps"]
        ),
        rods_m=tuple(cell(row, "rod_diameter_m") for row in data["rods"]),
        cautions=_texts(data, "cautions", path),
        backing_required=bool(data.get("backing_required", True)),
        trailing_required=bool(data.get("trailing_required", True)),
        tint_model=bool(data.get("tint_model", False)),
    )


def _filler(path: Path) -> Filler:
    names = ("specification", "edition", "family", "f_number", "composition", "source")
    data = _read(path, *names, "standing", "cells")
    standing = standing_of(data["standing"], where=f"{name_of(path)}, standing")
    return Filler(id=path.stem, cells=_cells(path), standing=standing, **{name: data[name] for name in names})


def _alloy(path: Path, curves: Mapping[str, Mapping[str, Curve]]) -> Alloy:
    """A grade. Its curves are a shared set by name, and whatever CSV lies beside it comes first."""
    data = _read(path, "name", "family", "uns", "aliases", "p_number", "fillers", "cells")
    own = {p.stem: curve_of(p) for p in sorted(path.parent.glob("*.csv"))}
    shared = data.get("curves", "")
    if (shared or not own) and shared not in curves:
        near = ", ".join(sorted(curves))
        raise Broken(where=f"{name_of(path)}, curves", wanted=f"curves of its own or one of {near}", got=repr(shared))
    return Alloy(
        id=path.parent.name,
        name=data["name"],
        family=data["family"],
        uns=data["uns"],
        aliases=_texts(data, "aliases", path),
        p_number=data["p_number"],
        cells=_cells(path),
        curves={**curves.get(shared, {}), **own},
        fillers=_texts(data, "fillers", path),
        filler_note=data.get("filler_note", ""),
        note=data.get("note", ""),
    )


def _pipes(path: Path) -> Iterator[PipeSize]:
    """Inch columns `outer_diameter_in, wall_in`; the file's name is the standard's, unless a column names the source."""
    standard = "standard/asme-" + path.stem.replace("_", ".")
    for where, row in rows_of(path):
        outer, wall = (float(INCH) * cell_number(row, f"{n}_in", where=where) for n in ("outer_diameter", "wall"))
        standing = standing_of(row.get("standing", ""), where=f"{where}, standing")
        yield PipeSize(row["nps"], row["schedule"], outer, wall, row.get("source", standard), standing)


def _code(path: Path) -> Code:
    about = _read(path, "title", "edition", "covers", "left_out")
    clauses = _read(path.with_name("clauses.toml"))
    tables = {p.stem: tuple(dict(row) for _, row in rows_of(p)) for p in sorted((path.parent / "tables").glob("*.csv"))}
    text = {name: about[name] for name in ("title", "edition", "covers", "left_out")}
    listed = clauses.get("clauses", clauses.get("clause", []))
    code = Code(
        id="/".join(path.parts[-3:-1]),
        clauses=tuple(_clause(path, row) for row in listed),
        tables=tables,
        rows=tuple(row for p in sorted((path.parent / "rows").glob("*.toml")) for row in _rows(p)),
        judges=str(about.get("judges", "joint")),
        **text,
    )
    errata = path.with_name("errata.toml")
    return corrected(code, _read(errata), where=name_of(errata)) if errata.is_file() else code


def _rows(path: Path) -> Iterator[CodeRow]:
    """`[[row]]` with id, ref, says, source and standing; whatever else stands there are its cells."""
    for row in _read(path, "row")["row"]:
        where = f"{name_of(path)}, {row.get('id', '?')}"
        head = {name: row.pop(name, None) for name in ("id", "ref", "says", "source")}
        missing = next((name for name, value in head.items() if not isinstance(value, str) or not value), "")
        if missing:
            raise Broken(where=f"{where}, {missing}", wanted="text", got="nothing")
        standing = standing_of(row.pop("standing", ""), where=f"{where}, standing")
        yield CodeRow(table=path.stem, standing=standing, cells=row, **head)


def _clause(path: Path, row: Mapping[str, Any]) -> Clause:
    where = f"{name_of(path.with_name('clauses.toml'))}, {row.get('id', '?')}"
    try:
        return Clause(**{**row, "standing": standing_of(row["standing"], where=where)})
    except (KeyError, TypeError) as fault:
        raise Broken(where=where, wanted="a clause", got=str(fault)) from fault
