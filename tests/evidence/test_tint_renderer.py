"""The renderer that judges the photo reader: apart from what it judges, its optics against others, its truth, its scores."""

import ast
import hashlib
import sys
from pathlib import Path

import numpy as np
import pytest
import tmm
from benchmarks.tint_renderer.draw import COUNTS, FILMS, JUDGED_FROM, METALS, group_of, shot
from benchmarks.tint_renderer.film import (
    REFERENCE,
    equivalent_nm,
    landmarks,
    perturbed,
    physical_nm,
    published,
    reflectance,
)
from benchmarks.tint_renderer.render import photograph
from benchmarks.tint_renderer.strip import strip
from benchmarks.tint_renderer.tables import LAMBDA_NM
from benchmarks.tint_scores import matched, pixels, scored
from benchmarks.tint_table import table

ROOT = Path(__file__).parents[2]
FOLDER = ROOT / "benchmarks/tint_renderer"


def test_it_imports_nothing_of_what_it_judges():
    files = list(FOLDER.glob("*.py"))
    assert len(files) > 8
    for path in files:
        tree = ast.parse(path.read_text())
        names = [a.name for node in ast.walk(tree) if isinstance(node, ast.Import) for a in node.names]
        names += [node.module or "" for node in ast.walk(tree) if isinstance(node, ast.ImportFrom)]
        outside = {name.split(".")[0] for name in names} - set(sys.stdlib_module_names)
        assert outside <= {"numpy", "scipy", "PIL", "benchmarks"}, path.name
        assert all(name.startswith("benchmarks.tint_renderer") for name in names if name.startswith("benchmarks")), (
            path.name
        )
        assert "brightroot" not in path.read_text().replace("brightroot's photo reader", ""), path.name


def test_it_shares_no_data_file_with_what_it_judges():
    own = {hashlib.sha256(path.read_bytes()).hexdigest() for path in FOLDER.glob("*.json")}
    theirs = {hashlib.sha256(p.read_bytes()).hexdigest() for p in (ROOT / "src").rglob("*") if p.is_file()}
    assert own and not own & theirs


def test_the_pools_of_training_and_judging_have_no_oxide_in_common():
    assert not set(FILMS[True]) & set(FILMS[False])
    assert set(METALS[True]) != set(METALS[False])
    assert (shot(JUDGED_FROM - 1, 0).judging, shot(JUDGED_FROM, 0).judging) == (False, True)


@pytest.mark.parametrize("angle_deg", [0, 40, 70])
@pytest.mark.parametrize("film_nm", [0.0, 25.0, 117.0])
def test_its_reflectance_is_that_of_a_transfer_matrix(angle_deg, film_nm):
    pair = published("Ti/Palm", "TiO2/Zhukovsky")
    angle = np.radians(angle_deg)
    here = reflectance(pair, film_nm=np.array([film_nm]), angle_rad=float(angle))[0]
    for k in (4, 34, 64):
        stack = ([1, pair.film[k], pair.metal[k]], [np.inf, film_nm, np.inf], angle, LAMBDA_NM[k])
        there = (tmm.coh_tmm("s", *stack)["R"] + tmm.coh_tmm("p", *stack)["R"]) / 2
        assert here[k] == pytest.approx(there, abs=1e-12)


def test_landmarks_of_the_reference_pair_lie_where_its_colours_turn():
    down, up, yellow, again = landmarks(published(*REFERENCE))
    assert 31 < down < 40 and 78 < up < 92 < yellow < 125 < again < 155
    films = np.linspace(0, 200, 9)
    assert np.allclose(equivalent_nm(published(*REFERENCE), films), films)


def test_a_pair_nobody_holds_goes_there_and_back():
    pair = perturbed(np.random.default_rng(4), METALS[True], FILMS[True])
    films = np.linspace(0, 250, 26)
    there = physical_nm(pair, films)
    assert (np.diff(there) > 0).all() and np.allclose(equivalent_nm(pair, there), films)
    assert equivalent_nm(pair, landmarks(pair))[1] == pytest.approx(landmarks(published(*REFERENCE))[1])


def test_any_first_part_of_a_set_holds_most_groups_and_the_whole_all():
    assert {group_of(index) for index in range(sum(COUNTS.values()))} == set(COUNTS)
    assert len({group_of(index) for index in range(60)}) >= 12 and sum(COUNTS.values()) >= 300


def test_the_same_seed_makes_the_same_photograph_and_another_another():
    one, two, three = (photograph(shot(seed, 1, group="spots", width_px=320)) for seed in (7, 7, 8))
    assert (one.pictures[0] == two.pictures[0]).all()
    assert one.pictures[0].shape != three.pictures[0].shape or (one.pictures[0] != three.pictures[0]).any()


def test_truth_is_of_one_piece():
    made = photograph(shot(11, 2, group="spots", width_px=640))
    assert made.facts["spots"] >= 1
    for k in range(1, made.facts["spots"] + 1):
        spot = made.spot == k
        assert spot.sum() / made.zone.sum() == pytest.approx(0.002, rel=0.25)
        assert (made.class4[spot] == 2).mean() > 0.9
    silver = photograph(shot(11, 3, group="silver", width_px=320))
    assert silver.facts["worst_class4"] == 0 and silver.film_nm[silver.zone].max() < 8
    scale = photograph(shot(11, 4, group="scale", width_px=320))
    assert len(scale.pictures) == 2 and scale.facts["worst_class4"] == 3
    x, y, w, h = silver.facts["base"] or silver.facts["card"]
    assert not silver.zone[y : y + h, x : x + w].any()


def test_blue_looks_blue_and_straw_looks_straw_in_a_picture():
    made = strip(12, (20.0, 50.0))
    red, blue = ([made.picture[y : y + h, x : x + w, k].mean() for x, y, w, h in made.bands] for k in (0, 2))
    assert red[0] > 1.2 * blue[0] and blue[1] > 1.2 * red[1]


@pytest.fixture(scope="module")
def read():
    """A photograph with its truth, and a map that says it all rightly at half the size."""
    made = photograph(shot(13, 5, group="spots", width_px=640))
    truth = {
        "equiv_thickness_nm": made.film_nm, "class4": made.class4, "weldzone": made.zone, "spot": made.spot,
        "scale": made.scale > 0.5,
    }  # fmt: skip
    film = made.film_nm[: made.film_nm.shape[0] // 2 * 2].reshape(-1, 2, 320, 2).mean(axis=(1, 3))
    told = {"equiv_thickness_nm": film, "class4": made.class4[1::2, 1::2], "low_nm": film - 1, "high_nm": film + 1}
    asked = {"refuse": "", "index": 0, **made.facts}
    return asked, truth, told


def test_a_right_map_scores_as_right(read):
    asked, truth, told = read
    row = scored(asked, {"answer": "read", "worst_class4": asked["worst_class4"]}, truth, told)
    found = table([row])
    assert found["worse_called_silver_or_straw"] == 0 and found["mae_below_60_nm"] == 0
    assert (found["spots_found"], found["covered_90"], found["worst_right"]) == (1, 1, 1)


def test_a_map_that_calls_blue_straw_is_caught(read):
    asked, truth, told = read
    wrong = {**told, "class4": np.minimum(told["class4"], 1), "equiv_thickness_nm": told["equiv_thickness_nm"] + 3}
    row = scored(asked, {"answer": "read", "worst_class4": 1}, truth, wrong)
    found = table([row])
    assert found["worse_called_silver_or_straw"] == 1 and found["spots_found"] == 0
    assert found["mae_below_60_nm"] == pytest.approx(3, abs=0.01) and found["covered_90"] == 1
    assert found["worst_too_good"] == (asked["worst_class4"] >= 2)


def test_a_map_of_another_shape_is_no_map(read):
    _, truth, told = read
    with pytest.raises(ValueError, match="does not fit"):
        matched(truth, {**told, "class4": told["class4"][:50]})


def test_pixels_outside_the_zone_count_for_nothing(read):
    _, truth, told = read
    at = matched(truth, told)
    at["told_class4"] = np.where(at["weldzone"], at["told_class4"], 0)
    assert pixels(at, blur_px=1.0)["worse_missed_px"] == 0
