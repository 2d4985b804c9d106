"""The optics folder: `substrates/` and `films/` by material and page, `lights/` and `observer/` on CIE's 5 nm steps."""

from __future__ import annotations

import math
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from brightroot.base.errors import Broken
from brightroot.base.wavelength import WAVELENGTH_NM
from brightroot.library.cells import name_of, standing_of, text_of
from brightroot.model.optics import Constants, Light, Observer, Optics


def optics_in(folders: tuple[Path, ...]) -> Optics:
    """All optical tables of the folders; a later folder adds to an earlier one or stands in its place."""
    parts: dict[str, dict[str, Any]] = {"substrates": {}, "films": {}, "lights": {}, "observers": {}}
    for root in folders:
        for role in ("substrates", "films"):
            for path in sorted((root / "optics" / role).glob("*/*.csv")):
                constants = _constants(path)
                parts[role][constants.name] = constants
        parts["lights"] |= {p.stem: _light(p) for p in sorted((root / "optics" / "lights").glob("*.csv"))}
        parts["observers"] |= {p.stem: _observer(p) for p in sorted((root / "optics" / "observer").glob("*.csv"))}
    return Optics(**parts)


def _head(path: Path) -> Mapping[str, str]:
    notes = (line[1:].partition("=") for line in text_of(path).splitlines() if line.startswith("#"))
    head = {key.strip(): value.strip() for key, _, value in notes}
    missing = [name for name in ("source", "standing", "reference") if not head.get(name)]
    if missing:
        raise Broken(where=f"{name_of(path)}, {missing[0]}", wanted=f"a line like # {missing[0]} = …", got="nothing")
    return head


def _columns(path: Path, *names: str) -> dict[str, tuple[float, ...]]:
    """The named columns. Read line by line without a dictionary for each row: there are thousands of rows."""
    rows = [line.split(",") for line in text_of(path).splitlines() if line and not line.startswith("#")]
    if not rows or tuple(rows[0]) != names:
        raise Broken(
            where=name_of(path), wanted=f"the columns {','.join(names)}", got=",".join(rows[0]) if rows else ""
        )
    try:
        numbers = [[float(cell) for cell in row] for row in rows[1:]]
        columns = tuple(zip(*numbers, strict=True))
    except ValueError as fault:
        raise Broken(where=name_of(path), wanted="numbers, one in each column", got=str(fault)) from fault
    if len(columns) != len(names) or not all(math.isfinite(x) for column in columns for x in column):
        raise Broken(where=name_of(path), wanted=f"finite numbers under {','.join(names)}", got="something else")
    return dict(zip(names, columns, strict=True))


def _constants(path: Path) -> Constants:
    where, head = name_of(path), _head(path)
    columns = _columns(path, "wavelength_um", "n", "k")
    micrometres = columns["wavelength_um"]
    if not micrometres or list(micrometres) != sorted(set(micrometres)):
        raise Broken(where=f"{where}, wavelength_um", wanted="rising wavelengths", got=str(micrometres[:5]))
    if min(columns["n"]) <= 0 or min(columns["k"]) < 0:
        raise Broken(where=where, wanted="n above 0 and k of 0 or more", got="a value below that")
    return Constants(
        name=f"{path.parent.name}/{path.stem}",
        wavelength_nm=tuple(round(w * 1000, 6) for w in micrometres),
        n_1=columns["n"],
        k_1=columns["k"],
        source=head["source"],
        standing=standing_of(head["standing"], where=f"{where}, standing"),
        reference=head["reference"],
        sample=head.get("sample", ""),
    )


def _on_cie_steps(path: Path, *names: str) -> dict[str, tuple[float, ...]]:
    columns = _columns(path, "wavelength_nm", *names)
    if columns.pop("wavelength_nm") != WAVELENGTH_NM:
        raise Broken(where=name_of(path), wanted="a row for each of 380, 385 … 780 nm", got="other wavelengths")
    return columns


def _light(path: Path) -> Light:
    head = _head(path)
    standing = standing_of(head["standing"], where=f"{name_of(path)}, standing")
    return Light(path.stem, _on_cie_steps(path, "power")["power"], head["source"], standing)


def _observer(path: Path) -> Observer:
    head, columns = _head(path), _on_cie_steps(path, "x", "y", "z")
    standing = standing_of(head["standing"], where=f"{name_of(path)}, standing")
    return Observer(path.stem, columns["x"], columns["y"], columns["z"], head["source"], standing)
