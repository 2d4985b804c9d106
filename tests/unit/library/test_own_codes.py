"""A user's folder of rules stands beside ours; one that would take the place of a code is refused."""

import shutil

import pytest

from brightroot.base.errors import Broken
from brightroot.library.load import OURS, load_library


def own(tmp_path, name):
    shutil.copytree(OURS / "codes" / "asme-b31.3" / "2018", tmp_path / "codes" / name / "2018")
    return tmp_path


def test_rules_of_ones_own_stand_beside_ours(tmp_path):
    found = load_library(own(tmp_path, "tidewrack-own")).codes
    assert {"tidewrack-own/2018", "asme-b31.3/2018"} <= set(found)


def test_no_folder_takes_the_place_of_a_code(tmp_path):
    with pytest.raises(Broken, match="asme-b31.3/2018"):
        load_library(own(tmp_path, "asme-b31.3"))
