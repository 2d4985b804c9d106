"""Composition limits against what was typed apart from the library, source beside each. No reference library of ours
carries grade limits (those that know elements and pipe sizes do not), so there is nothing to run them against."""

import csv
from pathlib import Path

import pytest

from brightroot.library.load import load_library
from brightroot.rules.chemistry.composition import ELEMENTS, composition_code

LIBRARY = load_library()
LINES = (Path(__file__).parents[1] / "cases/compositions.csv").read_text().splitlines()
ROWS = list(csv.DictReader(line for line in LINES if not line.startswith("#")))


def cells(thing):
    return LIBRARY.alloys[thing].cells if thing in LIBRARY.alloys else LIBRARY.fillers[thing].cells


@pytest.mark.parametrize("row", ROWS, ids=lambda r: f"{r['thing']}-{r['element']}")
def test_limit(row):
    have, element = cells(row["thing"]), row["element"]
    least, most = row["least"], row["most"]
    ranged = have.get(f"{element}_frac")
    if ranged is not None:
        found = (ranged.low, ranged.high)
    else:
        low, high = (have.get(f"{element}_{end}_frac") for end in ("min", "max"))
        found = (low.value if low else None, high.value if high else None)
    wanted = tuple(float(x) / 100 if x else None for x in (least, most))
    assert found == pytest.approx(wanted)


def test_nothing_is_left_out():
    assert len(ROWS) >= 180
    things = {row["thing"] for row in ROWS}
    assert {a.id for a in LIBRARY.alloys.values() if a.family in ("titanium", "zirconium")} <= things
    assert {f.id for f in LIBRARY.fillers.values() if f.family in ("titanium", "zirconium")} <= things


def test_every_limit_becomes_a_clause():
    for alloy in LIBRARY.alloys.values():
        code = composition_code(id=alloy.id, title=alloy.name, edition="", cells=alloy.cells)
        names = [n for n in alloy.cells if n.endswith("_frac") and n != "elongation_min_frac"]
        assert len(code.clauses) == len(names)
        assert {c.fact.removesuffix("_frac") for c in code.clauses} <= set(ELEMENTS)
