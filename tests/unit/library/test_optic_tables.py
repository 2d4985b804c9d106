"""The optics folder: every pair of the contract is there, and a spoiled table is refused by its file."""

import shutil

import pytest

from brightroot.base.errors import Broken, Refused
from brightroot.library.load import OURS, load_library
from brightroot.library.optic_tables import optics_in

OPTICS = load_library().optics


def test_what_is_there():
    assert set(OPTICS.substrates) == {
        "Ti/Johnson", "Ti/Mash", "Ti/Palm", "Ti/Rakic-LD", "Zr/Palm", "Zr/Querry", "SS316-like/Karlsson-austenitic",
    }  # fmt: skip
    assert set(OPTICS.lights) == {"D65", "D50", "A", "LED-B3", "FL11"}
    assert len(OPTICS.films) == 8 and OPTICS.film("TiO2/Siefke").held_outside_nm() is None
    assert OPTICS.film("TiO2/Devore-o").held_outside_nm() == (430.0, 805.0)


def test_a_name_that_is_not_there_is_refused_with_those_that_are():
    with pytest.raises(Refused, match="Ti/Johnson"):
        OPTICS.substrate("Ti/Werner")


@pytest.mark.parametrize(
    ("line", "spoiled"),
    [("0.4,1.71,2.23", "0.9,1.71,2.23"), ("0.4,1.71,2.23", "0.4,nan,2.23"), ("0.4,1.71,2.23", "0.4,1.71"),
     ("0.4,1.71,2.23", "0.4,-1.71,2.23"), ("wavelength_um,n,k", "nm,n,k"), ("# reference", "# said")],
)  # fmt: skip
def test_a_spoiled_table_is_named(tmp_path, line, spoiled):
    target = tmp_path / "optics" / "substrates" / "Ti" / "Mash.csv"
    target.parent.mkdir(parents=True)
    shutil.copy(OURS / "optics" / "substrates" / "Ti" / "Mash.csv", target)
    text = target.read_text()
    assert line in text
    target.write_text(text.replace(line, spoiled, 1))
    with pytest.raises(Broken, match=r"Ti/Mash\.csv"):
        optics_in((tmp_path,))
