"""A folder of rules checked: what is wrong is named, and nothing is said of what is right."""

import shutil

import pytest

from brightroot.app.check_rules import problems_of
from brightroot.base.errors import Broken, Refused
from brightroot.library.folder import open_folder
from brightroot.library.load import OURS, load_library

FOLDERS = sorted(path.parent for path in (OURS / "codes").glob("*/*/about.toml"))
B31 = OURS / "codes/asme-b31.3/2018"


def problems(path, **more):
    folder = open_folder(path)
    library = load_library()
    given = {
        "cases": folder.cases, "welder_cases": folder.welder_cases, "welder_base": folder.welder_base,
        "sources": {**library.sources, **folder.sources}, "released": folder.released, "frozen": folder.frozen,
        "digest": folder.digest,
    }  # fmt: skip
    return problems_of(folder.code, **{**given, **more})


@pytest.fixture
def copy(tmp_path):
    """A copy of a folder under a name of the shop's own, to be spoiled."""
    path = tmp_path / "library/codes/own/1"
    shutil.copytree(B31, path)
    return path


def spoil(path, name, old, new):
    text = (path / name).read_text(encoding="utf-8")
    assert old in text
    (path / name).write_text(text.replace(old, new, 1), encoding="utf-8")


def said(path, **more):
    return " | ".join(f"{p.where}: {p.says}" for p in problems(path, **more))


@pytest.mark.parametrize("path", FOLDERS, ids=lambda p: p.parent.name)
def test_every_folder_of_ours_runs_as_it_says(path):
    assert problems(path) == ()
    folder = open_folder(path)
    assert folder.cases or folder.welder_cases


def test_a_case_that_comes_out_otherwise_is_named(copy):
    spoil(copy, "cases.toml", 'verdict = "pass"', 'verdict = "fail"')
    assert "cases.toml, case 1" in said(copy) and "comes out pass" in said(copy)


@pytest.mark.parametrize(
    ("name", "old", "new", "told"),
    [
        ("clauses.toml", 'check = "equals"', 'check = "guess"', "'guess'"),
        ("clauses.toml", 'source = "standard/asme-b31.3"', 'source = "standard/none"', "no source"),
        ("clauses.toml", 'id = "lack-of-fusion"', 'id = "crack"', "used twice"),
        ("cases.toml", "verdict = ", "verdikt = ", "verdict is missing"),
        ("cases.toml", 'clause = "crack"', 'clause = "krack"', "no clause 'krack'"),
    ],
)
def test_what_is_wrong_is_named(copy, name, old, new, told):
    spoil(copy, name, old, new)
    assert told in said(copy)


def test_a_clause_without_its_three_cases_is_named(copy):
    (copy / "cases.toml").write_text("case = []\n", encoding="utf-8")
    found = problems(copy)
    assert len(found) == len(open_folder(copy).code.clauses) and all("no worked case" in p.says for p in found)


def test_looser_than_the_code_beside_it_is_named(copy):
    assert problems(copy, beside=tuple(load_library().codes.values())) == ()
    spoil(copy, "tables/height.csv", "1.5 mm", "2.5 mm") if "1.5 mm" in (
        copy / "tables/height.csv"
    ).read_text() else spoil(copy, "clauses.toml", 'limit = "1 mm"', 'limit = "9 mm"')
    assert "no looser than" in said(copy, beside=tuple(load_library().codes.values()))


def test_released_rows_are_frozen_and_errata_are_not(copy):
    digest = open_folder(copy).digest
    spoil(copy, "about.toml", "edition", f'released = "2026-11-25"\nfrozen = "{digest}"\nedition')
    assert problems(copy) == ()
    erratum = (
        '[[erratum]]\ndate = "2026-11-26"\nrow = "crack"\nwhy = "a slip of the pen"\nref = "Table 341.3.2, first row"\n'
    )
    (copy / "errata.toml").write_text(erratum, encoding="utf-8")
    assert problems(copy) == ()
    assert {c.id: c.ref for c in open_folder(copy).code.clauses}["crack"].endswith("first row")
    spoil(copy, "clauses.toml", "No crack", "No large crack")
    assert "changed after the release" in said(copy)


def test_released_without_a_digest_is_named(copy):
    spoil(copy, "about.toml", "edition", 'released = "2026-11-25"\nedition')
    assert open_folder(copy).digest in said(copy)


@pytest.mark.parametrize(
    "erratum",
    [
        'row = "crack"\nwhy = "?"',
        'date = "soon"\nrow = "crack"\nwhy = "?"',
        'date = "2026-11-26"\nrow = "krack"\nwhy = "?"',
        'date = "2026-11-26"\nrow = "crack"\nwhy = ""',
        'date = "2026-11-26"\nrow = "crack"\nwhy = "?"\nid = "other"',
    ],
)
def test_an_erratum_says_when_what_and_why(copy, erratum):
    (copy / "errata.toml").write_text(f"[[erratum]]\n{erratum}\n", encoding="utf-8")
    with pytest.raises(Broken):
        open_folder(copy)


def test_an_erratum_reaches_a_cell_of_a_row(tmp_path):
    path = tmp_path / "codes/own/1"
    shutil.copytree(OURS / "codes/asme-ix/2023", path)
    erratum = '[[erratum]]\ndate = "2026-11-26"\nrow = "qw-322.1.six-months"\nwhy = "another number"\nmonths = 3\n'
    (path / "errata.toml").write_text(erratum, encoding="utf-8")
    row = next(r for r in open_folder(path).code.rows if r.id == "qw-322.1.six-months")
    assert row.cells["months"] == 3 and row.cells["per"] == "process"


def test_no_folder_is_refused_and_no_toml_is_broken(tmp_path):
    with pytest.raises(Refused):
        open_folder(tmp_path)
    (tmp_path / "about.toml").write_text("title =", encoding="utf-8")
    with pytest.raises(Broken):
        open_folder(tmp_path)
