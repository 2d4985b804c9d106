"""Reading the folders: ours, the user's beside it, and files that do not check."""

import subprocess
import sys

import pytest

from brightroot.base.errors import Broken
from brightroot.base.source import Standing
from brightroot.library.check import check_library
from brightroot.library.load import OURS, load_library
from brightroot.model.find import find_alloy, find_pipe

ALLOY = """
name = "Niobium R04200"
family = "titanium"
uns = "R04200"
aliases = ["Nb", "Niobium"]
p_number = "-"
fillers = ["ERNb-1"]

[cells]
density_kg_m3 = { value = 8570, source = "datasheet/house", standing = "published" }
melting_K = { value = 2750, source = "datasheet/house", standing = "published" }
latent_heat_J_kg = { value = 323000, low = 290000, high = 330000, source = "datasheet/house", standing = "memory" }
emissivity_1 = { value = 0.3, low = 0.2, high = 0.5, source = "datasheet/house", standing = "memory" }
"""
CURVE = "# source = datasheet/house\n# standing = published\n# spread_frac = 0.05\ntemperature_K,value\n{}"
FILLER = """
specification = "house"
edition = "1"
family = "titanium"
f_number = "-"
composition = "Nb"
source = "datasheet/house"
standing = "published"
[cells]
density_kg_m3 = { value = 8570, source = "datasheet/house", standing = "published" }
"""
SOURCE = '["datasheet/house"]\nkind = "datasheet"\ntitle = "House sheet"\nstanding = "published"\n'


def write(root, **files):
    for name, text in files.items():
        path = root / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    return root


@pytest.fixture
def own(tmp_path):
    return write(
        tmp_path,
        **{
            "sources.toml": SOURCE,
            "alloys/nb-1/alloy.toml": ALLOY,
            "alloys/nb-1/conductivity_W_mK.csv": CURVE.format("300,53.7\n1000,64.4\n"),
            "alloys/nb-1/specific_heat_J_kgK.csv": CURVE.format("300,265\n1000,305\n"),
            "fillers/ERNb-1.toml": FILLER,
            "pipe/house.csv": "nps,schedule,outer_diameter_in,wall_in,standing,source\n"
            "6,T1,6.625,0.1,published,datasheet/house\n",
        },
    )


def test_a_users_folder_adds_an_alloy_without_code(own):
    library = load_library(own)
    assert check_library(library) == ()
    alloy = find_alloy(library, "niobium", field="metal")
    assert alloy.id == "nb-1" and alloy.curves["conductivity_W_mK"].value == (53.7, 64.4)
    assert alloy.cells["density_kg_m3"].low == alloy.cells["density_kg_m3"].value == 8570.0
    assert find_pipe(library, "NPS 6 Sch T1", field="pipe").wall_m.value == pytest.approx(0.00254)
    assert set(load_library().alloys) < set(library.alloys)
    assert "nb-1" not in load_library().alloys


def test_a_users_file_stands_in_the_place_of_ours(tmp_path):
    text = (OURS / "families" / "titanium.toml").read_text()
    assert "interpass_max_K = { value = 373.15, low = 338.15" in text
    text = text.replace("interpass_max_K = { value = 373.15, low", "interpass_max_K = { value = 366.15, low")
    library = load_library(write(tmp_path, **{"families/titanium.toml": text}))
    assert library.families["titanium"].cells["interpass_max_K"].value == 366.15
    assert load_library().families["titanium"].cells["interpass_max_K"].value == 373.15
    assert library.families["nickel"] == load_library().families["nickel"]


def test_a_users_alloy_may_lean_on_our_curves(tmp_path):
    text = (OURS / "alloys" / "ti-2" / "alloy.toml").read_text()
    mine = CURVE.replace("datasheet/house", "practice/common").replace("published", "memory").format("300,20\n900,19\n")
    files = {"alloys/ti-2/alloy.toml": text, "alloys/ti-2/conductivity_W_mK.csv": mine}
    curves = load_library(write(tmp_path, **files)).alloys["ti-2"].curves
    assert curves["conductivity_W_mK"].value == (20.0, 19.0)
    assert curves["specific_heat_J_kgK"] == load_library().alloys["ti-2"].curves["specific_heat_J_kgK"]


@pytest.mark.parametrize(
    ("name", "text", "where"),
    [
        ("practice.toml", "[cells]\nmove_s = 45\n", "practice.toml, move_s"),
        ("practice.toml", "[cells]\nmove_s = { value = 45 }\n", "practice.toml, move_s"),
        ("practice.toml", '[cells]\nmove_s = { value = "45", source = "a", standing = "memory" }\n', "move_s"),
        ("practice.toml", '[cells]\nmove_s = { value = inf, source = "a", standing = "memory" }\n', "move_s"),
        ("practice.toml", '[cells]\nmove_s = { value = nan, source = "a", standing = "memory" }\n', "move_s"),
        ("practice.toml", '[cells]\nmove_s = { value = true, source = "a", standing = "memory" }\n', "move_s"),
        ("practice.toml", '[cells]\nmove_s = { value = 4, low = 5, source = "a", standing = "memory" }\n', "move_s"),
        ("practice.toml", '[cells]\nmove_s = { value = 4, source = "a", standing = "validated" }\n', "move_s"),
        ("practice.toml", '[cells]\nmove_s = { value = 4, hight = 5, source = "a", standing = "memory" }\n', "move_s"),
        ("practice.toml", "[cells\n", "practice.toml"),
        ("practice.toml", "cells = 3\n", "practice.toml, cells"),
        ("sources.toml", '["x/y"]\nkind = "paper"\nstanding = "memory"\n', "sources.toml, x/y"),
        ("sources.toml", '["x/y"]\nkind = "paper"\ntitle = "t"\nstanding = "good"\n', "sources.toml, x/y"),
        ("alloys/a/alloy.toml", 'name = "A"\n', "alloys/a/alloy.toml, family"),
        ("alloys/a/alloy.toml", 'curves = "ti-cp"\n' + ALLOY.replace('["Nb", "Niobium"]', '"Nb"'), "alloys/a/alloy.toml, aliases"),
        ("alloys/a/alloy.toml", ALLOY, "alloys/a/alloy.toml, curves"),
        ("alloys/a/alloy.toml", 'curves = "ti-pc"\n' + ALLOY, "alloys/a/alloy.toml, curves"),
        ("fillers/F.toml", FILLER.replace('"published"\n[', '"good"\n['), "fillers/F.toml, standing"),
        ("curves/a/conductivity_W_mK.csv", "temperature_K,value\n300,1\n", "a/conductivity_W_mK.csv, source"),
        ("curves/a/density_kg_m3.csv", CURVE.format("300,1\n200,1\n"), "a/density_kg_m3.csv, temperature_K"),
        ("curves/a/density_kg_m3.csv", CURVE.format("300,1\n300,1\n"), "a/density_kg_m3.csv, temperature_K"),
        ("curves/a/density_kg_m3.csv", CURVE.format("300,one\n"), "a/density_kg_m3.csv, line 5, value"),
        ("curves/a/density_kg_m3.csv", CURVE.format("300\n"), "a/density_kg_m3.csv, line 5"),
        ("curves/a/density_kg_m3.csv", CURVE.format(""), "a/density_kg_m3.csv, temperature_K"),
        ("pipe/b36_10m.csv", "nps,schedule,outer_diameter_in,wall_in,standing\n6,9,6.6,thin,memory\n", "line 2, wall_in"),
        ("pipe/b36_10m.csv", "nps,schedule,outer_diameter_in,wall_in\n6,9,6.6,0.1\n", "line 2, standing"),
        ("codes/own/1/about.toml", 'title = "Own"\n', "own/1/about.toml, edition"),
    ],
)  # fmt: skip
def test_a_wrong_file_is_broken_and_says_where(tmp_path, name, text, where):
    with pytest.raises(Broken) as fault:
        load_library(write(tmp_path, **{name: text}))
    assert where in fault.value.where
    assert fault.value.wanted and fault.value.got


def test_a_family_row_without_its_current_says_so(tmp_path):
    text = (
        (OURS / "families" / "nickel.toml")
        .read_text()
        .replace("wall_max_m = 0.0021\nroot_A", "wall_max_m = 0.0021\nroot")
    )
    with pytest.raises(Broken) as fault:
        load_library(write(tmp_path, **{"families/nickel.toml": text}))
    assert fault.value.where == "families/nickel.toml, root_A"


def test_a_file_that_is_no_text_is_broken(tmp_path):
    (tmp_path / "practice.toml").write_bytes(b"[cells]\n# \xff\n")
    with pytest.raises(Broken, match=r"practice\.toml: wanted text in UTF-8"):
        load_library(tmp_path)


def test_a_folder_that_is_not_there_is_broken(tmp_path):
    with pytest.raises(Broken, match="wanted a folder of facts"):
        load_library(tmp_path / "not there")


def test_the_digest_follows_the_bytes_and_not_the_place(tmp_path):
    one, other = (write(tmp_path / place, **{"sources.toml": SOURCE}) for place in ("one", "other"))
    changed = write(tmp_path / "changed", **{"sources.toml": SOURCE.replace("House", "house")})
    moved = write(tmp_path / "moved", **{"more.toml": SOURCE})
    assert load_library(one).digest == load_library(other).digest
    assert len({load_library(folder).digest for folder in (one, changed, moved)} | {load_library().digest}) == 4
    assert len(load_library().digest) == 64


def test_it_is_read_once():
    assert load_library() is load_library()


def test_loading_is_fast_and_light():
    """A fresh interpreter: no heavy package comes in, and the library takes at most three times what reading its files does."""
    code = (
        "import sys, time, tomllib; from brightroot.library.load import OURS, load_library, _loaded\n"
        "def took(work):\n start = time.process_time(); work(); return time.process_time() - start\n"
        "read = lambda: [tomllib.loads(p.read_text('utf-8')) for p in OURS.rglob('*.toml')]\n"
        "whole = min(took(lambda: (_loaded.cache_clear(), load_library())) for _ in range(3))\n"
        "print(whole / min(took(read) for _ in range(3)), *sorted({name.split('.')[0] for name in sys.modules}"
        " & {'numpy', 'scipy', 'fluids', 'CoolProp', 'pydantic', 'sqlalchemy', 'cattrs', 'fastapi', 'jinja2'}))"
    )
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    ratio, *heavy = run.stdout.split()
    assert heavy == []
    assert float(ratio) < 3, ratio


def test_standings_are_carried_over():
    library = load_library()
    assert library.alloys["ti-2"].cells["oxygen_max_frac"].standing is Standing.PUBLISHED
    assert library.alloys["ti-4"].cells["oxygen_max_frac"].standing is Standing.MEMORY
    assert library.fillers["ERTi-2"].standing is Standing.PUBLISHED
    assert library.fillers["ERTi-7"].standing is Standing.MEMORY
    assert "CONFLICT" in library.alloys["ti-2"].cells["latent_heat_J_kg"].note
    assert "palladium" in library.alloys["ti-7"].filler_note
