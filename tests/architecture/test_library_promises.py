"""What the library promises: every cell is sourced and in range, every grade can be planned with, every card has a source."""

import ast
import importlib
import pkgutil
import re
import tomllib
from pathlib import Path

import pytest

import brightroot.physics
from brightroot.base.formula import FORMULAS
from brightroot.library.check import ALLOY_CELLS, ALLOY_CURVES, FAMILY_CELLS, PRACTICE_CELLS, check_library, every_cell
from brightroot.library.load import OURS, load_library
from brightroot.model.find import find_alloy, names_of

LIBRARY = load_library()
ROOT = OURS.parent
GRADES = {
    "ti-1", "ti-2", "ti-3", "ti-4", "ti-5", "ti-7", "ti-9", "ti-12", "ti-16", "zr-702", "zr-705", "ss-304l", "ss-316l",
    "ni-625",
}  # fmt: skip


def test_the_library_hangs_together():
    assert check_library(LIBRARY) == ()


def test_every_cell_is_sourced():
    cells = dict(every_cell(LIBRARY))
    assert len(cells) > 400
    assert {where for where, cell in cells.items() if cell.source not in LIBRARY.sources} == set()


def test_every_grade_is_there_with_what_a_plan_needs():
    assert set(LIBRARY.alloys) >= GRADES
    for alloy in LIBRARY.alloys.values():
        assert set(alloy.cells) >= set(ALLOY_CELLS) and set(alloy.curves) >= set(ALLOY_CURVES)
        for name in names_of(alloy):
            assert find_alloy(LIBRARY, name, field="metal") is alloy, name


def card_sources():
    for module in pkgutil.walk_packages(brightroot.physics.__path__, "brightroot.physics."):
        importlib.import_module(module.name)
    return {card.id: card.source for card in FORMULAS.values() if card.function.__module__.startswith("brightroot.")}


def test_every_formula_names_a_source_we_have():
    cards = card_sources()
    assert cards
    assert {name: source for name, source in cards.items() if source not in LIBRARY.sources} == {}


def optic_tables():
    optics = LIBRARY.optics
    return [
        table for part in (optics.substrates, optics.films, optics.lights, optics.observers) for table in part.values()
    ]


def test_every_optical_table_names_a_source_we_have():
    assert len(optic_tables()) == 21
    assert {table.name: table.source for table in optic_tables() if table.source not in LIBRARY.sources} == {}


def test_every_source_is_used_or_only_compared_with():
    used = {cell.source for _, cell in every_cell(LIBRARY)} | set(card_sources().values())
    used |= {curve.source for alloy in LIBRARY.alloys.values() for curve in alloy.curves.values()}
    used |= {filler.source for filler in LIBRARY.fillers.values()} | {pipe.source for pipe in LIBRARY.pipes}
    used |= {clause.source for code in LIBRARY.codes.values() for clause in code.clauses}
    used |= {table.source for table in optic_tables()}
    assert set(LIBRARY.sources) - used <= {"reflib/fluids"}


def test_every_source_says_what_was_seen():
    """A derivation is its own evidence; of everything else the note says whether it was seen, run or remembered."""
    silent = {s.id for s in LIBRARY.sources.values() if s.kind != "derivation" and not s.note}
    assert silent == set()
    assert {s.kind for s in LIBRARY.sources.values()} <= {
        "standard", "handbook", "paper", "datasheet", "derivation", "measurement", "practice", "memory",
    }  # fmt: skip


def test_every_cell_that_work_asks_for_is_checked():
    """`cells["…"]` and `practice["…"]` in planner, live and app must be among the needed cells, or a plan breaks one day."""
    needed = {*FAMILY_CELLS, *PRACTICE_CELLS, *ALLOY_CELLS}
    asked = {
        name
        for folder in ("planner", "live", "app")
        for path in (ROOT / folder).rglob("*.py")
        for name in re.findall(r'(?:cells|practice)\["(\w+)"\]', path.read_text(encoding="utf-8"))
    }
    assert asked and asked <= needed


def test_no_maker_and_no_forbidden_word_stands_in_a_fact():
    text = "\n".join(path.read_text(encoding="utf-8").lower() for path in OURS.rglob("*.toml"))
    assert re.findall(r"\b(?:certified|compliant|safe to enter|validated)\b", text) == []


def test_every_toml_file_can_be_read():
    for path in sorted(OURS.rglob("*.toml")):
        assert tomllib.loads(path.read_text(encoding="utf-8")), path


@pytest.mark.parametrize("path", sorted(OURS.glob("*.py")), ids=lambda p: p.name)
def test_the_library_is_read_with_the_standard_library_alone(path):
    tree = ast.parse(Path(path).read_text(encoding="utf-8"))
    names = {node.module for node in ast.walk(tree) if isinstance(node, ast.ImportFrom)}
    names |= {alias.name for node in ast.walk(tree) if isinstance(node, ast.Import) for alias in node.names}
    allowed = {"__future__", "brightroot", "collections", "csv", "dataclasses", "datetime", "functools", "hashlib", "itertools",
               "math", "pathlib"}  # fmt: skip
    assert {name.split(".")[0] for name in names} <= allowed | {"tomllib", "typing"}
