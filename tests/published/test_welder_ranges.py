"""The welder's ranges against what public pages print of them; each row names the page."""

import tomllib
from pathlib import Path

import pytest

from brightroot.base.source import Standing
from brightroot.base.units import read
from brightroot.library.load import load_library
from brightroot.model.qualification import Coupon
from brightroot.rules.welders.book import book_of, words_of
from brightroot.rules.welders.ranges import COLUMNS, members_of, ranges_of
from brightroot.rules.welders.specimens import coupons_to_examine, retests_after

PRINTED = tomllib.loads((Path(__file__).parent / "welder_ranges.toml").read_text(encoding="utf-8"))
BOOK = book_of(load_library().codes["asme-ix/2023"])


def brought(outside="6.625 in", deposit="5 mm", layers=3, position="5G", p="51", f="51"):
    outer = read(outside, field="outer_diameter_m") if outside else None
    return ranges_of(BOOK, Coupon("", position, read(deposit, field="deposit_m"), layers, outer, p, f))


def rows(name):
    return [pytest.param(row, id=f"{name}-{row['source']}-{n}") for n, row in enumerate(PRINTED[name])]


def test_every_row_names_its_page():
    named = {row["source"] for name, group in PRINTED.items() if name != "source" for row in group}
    assert named == set(PRINTED["source"])


@pytest.mark.parametrize("row", rows("diameter"))
def test_diameter(row):
    for outside, span in row["coupons"].items():
        found = brought(outside).diameter
        assert found.text == span and all(r.standing is Standing.PUBLISHED for r in found.rows)


@pytest.mark.parametrize("row", rows("thickness"))
def test_thickness(row):
    for deposit, layers, span in row["coupons"]:
        assert brought(deposit=deposit, layers=layers).deposit.text == span


@pytest.mark.parametrize("row", rows("position"))
def test_position(row):
    for shape, outside in (("pipe", "6.625 in"), ("plate", "")):
        for position, columns in row[shape].items():
            found = brought(outside, position=position).position
            assert [",".join(words_of(found, column)) for column in COLUMNS] == columns
            assert found.standing is Standing.PUBLISHED


@pytest.mark.parametrize("row", rows("groups"))
def test_groups(row):
    for letter in "pf":
        for number, others in row.get(letter, {}).items():
            found = brought(**{letter: number})
            seen = [r for r in (found.metals if letter == "p" else found.fillers) if r.standing is Standing.PUBLISHED]
            assert set(others) | {number} <= set(members_of(tuple(seen)))
        for number, others in row.get(f"not_{letter}", {}).items():
            found = brought(**{letter: number})
            assert not set(others) & set(members_of(found.metals if letter == "p" else found.fillers))


def test_fillets():
    assert [row.standing for row in BOOK.table("welder_fillet")] == [Standing.PUBLISHED]


@pytest.mark.parametrize("row", rows("retest"))
def test_retests(row):
    for test, coupons in row["tests"].items():
        at_once, trained = retests_after(BOOK, test)
        assert (at_once.cells["coupons"], trained.cells["coupons"]) == (coupons, 1)


@pytest.mark.parametrize("row", rows("examined"))
def test_examined(row):
    for outside, coupons in row["coupons"].items():
        assert coupons_to_examine(BOOK, read(outside, field="outer_diameter_m")) == coupons
