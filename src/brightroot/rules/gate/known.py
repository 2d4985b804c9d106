"""What the bench gates need of the library: names to grades and rods, and what their certificates may say."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field
from functools import lru_cache

from brightroot.model.find import folded, names_of
from brightroot.model.joint import Joint
from brightroot.model.library import Code, Library
from brightroot.rules.chemistry.composition import SAME_TABLE, composition_code
from brightroot.rules.confirm import Row


@dataclass(frozen=True, slots=True)
class KnownRod:
    """A rod class: its family, its limits, and the editions whose table those limits are."""

    id: str
    family: str
    limits: Code
    editions: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Bench:
    """The joint's metal by end, and every grade and rod by the names that people write."""

    family: str
    ends: Mapping[str, str]  # end a, end b -> grade
    grades: Mapping[str, str]  # folded name -> grade
    limits: Mapping[str, Code]  # grade -> composition
    rods: Mapping[str, KnownRod]  # folded name -> rod
    confirmed: Collection[Row] = field(default_factory=frozenset)

    def grade(self, text: str) -> str:
        """The grade that the text names, or '' where it is none of ours."""
        return self.grades.get(folded(text), "")

    def rod(self, text: str) -> KnownRod | None:
        """The rod class that the text names."""
        return self.rods.get(folded(text))


def bench_of(library: Library, joint: Joint, confirmed: Collection[Row] = ()) -> Bench:
    """The bench of one joint."""
    ends = {"end a": joint.end_a.alloy, "end b": joint.end_b.alloy}
    return Bench(
        family=library.alloys[joint.end_a.alloy].family,
        ends=ends,
        grades=_grades(library),
        limits={grade: _limits(library, grade) for grade in set(ends.values())},
        rods=_rods(library),
        confirmed=confirmed,
    )


@lru_cache(maxsize=8)
def _grades(library: Library) -> Mapping[str, str]:
    return {folded(name): a.id for a in library.alloys.values() for name in names_of(a) if folded(name)}


@lru_cache(maxsize=64)
def _limits(library: Library, grade: str) -> Code:
    alloy = library.alloys[grade]
    return composition_code(id=f"composition/{grade}", title=alloy.name, edition="", cells=alloy.cells)


@lru_cache(maxsize=8)
def _rods(library: Library) -> Mapping[str, KnownRod]:
    found = {}
    for f in library.fillers.values():
        limits = composition_code(id=f"composition/{f.id}", title=f.id, edition=f.edition, cells=f.cells)
        found[folded(f.id)] = KnownRod(f.id, f.family, limits, SAME_TABLE.get(f.specification, (f.edition,)))
    return found
