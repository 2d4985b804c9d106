"""One code's folder by itself: its rows and its worked cases, and whether it is as it was when it was released."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from brightroot.base.errors import Broken, Refused
from brightroot.base.source import Source
from brightroot.library.load import code_in, sources_in, toml_in
from brightroot.model.library import Code

NOT_FROZEN = ("about.toml", "cases.toml", "welder_cases.toml", "errata.toml")


@dataclass(frozen=True, slots=True)
class RuleFolder:
    """What stands in the folder. `released` is a day, `frozen` the digest written down then; both "" before it."""

    code: Code
    cases: tuple[Mapping[str, Any], ...]
    welder_cases: tuple[Mapping[str, Any], ...]
    welder_base: Mapping[str, Any]  # what stands for all that a welder case does not say
    released: str
    frozen: str
    digest: str
    sources: Mapping[str, Source]  # of the library that the folder lies in, where it has any


def open_folder(folder: Path) -> RuleFolder:
    """The folder read whole. Refused where there is none, Broken naming file and row where it cannot be read."""
    if not (folder / "about.toml").is_file():
        raise Refused(field="folder", wanted="a folder with about.toml and clauses.toml", got=str(folder))
    about = toml_in(folder / "about.toml")
    cases = toml_in(folder / "cases.toml").get("case", []) if (folder / "cases.toml").is_file() else []
    told = toml_in(folder / "welder_cases.toml") if (folder / "welder_cases.toml").is_file() else {}
    welder_cases = told.pop("case", [])
    for name, found in (("cases.toml", cases), ("welder_cases.toml", welder_cases)):
        if not isinstance(found, list) or not all(isinstance(case, Mapping) for case in found):
            raise Broken(where=name, wanted="[[case]] tables", got=type(found).__name__)
    return RuleFolder(
        code=code_in(folder.resolve()),
        cases=tuple(cases),
        welder_cases=tuple(welder_cases),
        welder_base=told,
        released=str(about.get("released", "")),
        frozen=str(about.get("frozen", "")),
        digest=digest_of(folder),
        sources=_sources(folder.resolve()),
    )


def _sources(folder: Path) -> Mapping[str, Source]:
    """A folder lies at codes/NAME/EDITION of a library; the sources of that library stand at its top."""
    path = folder.parents[2] / "sources.toml" if len(folder.parents) > 2 else folder / "sources.toml"
    return sources_in(path) if path.is_file() and folder.parents[1].name == "codes" else {}


def digest_of(folder: Path) -> str:
    """One hash over the rows: what an edition may not change once it is released. Cases and errata may still grow."""
    total = hashlib.sha256()
    for path in sorted(p for p in folder.rglob("*") if p.suffix in (".toml", ".csv") and p.name not in NOT_FROZEN):
        total.update(f"{path.relative_to(folder).as_posix()}\n".encode())
        total.update(hashlib.sha256(path.read_bytes()).digest())
    return total.hexdigest()
