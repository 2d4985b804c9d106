"""What people type, and what it is taken for. Nothing is guessed."""

import pytest

from brightroot.base.errors import Refused
from brightroot.library.load import OURS, load_library
from brightroot.model.find import find_alloy, find_filler, find_pipe, folded

LIBRARY = load_library()


@pytest.mark.parametrize(
    ("typed", "grade"),
    [
        ("Gr 2", "ti-2"), ("Grade 2", "ti-2"), ("gr. 2", "ti-2"), ("Ti Gr 2", "ti-2"), ("Ti-2", "ti-2"), ("CP2", "ti-2"),
        ("R50400", "ti-2"), ("UNS R50400", "ti-2"), ("titanio grado 2", "ti-2"), ("ASTM B861 Grade 2", "ti-2"),
        ("Gr 12", "ti-12"), ("SB-861 Gr 7", "ti-7"), ("Ti-6Al-4V", "ti-5"), ("316L", "ss-316l"), ("S31603", "ss-316l"),
        ("A312 TP316L", "ss-316l"), ("1.4404", "ss-316l"), ("304/304L", "ss-304l"), ("Alloy 625", "ni-625"),
        ("N06625", "ni-625"), ("R60702", "zr-702"), ("Zr 702", "zr-702"), ("circonio 705", "zr-705"),
    ],
)  # fmt: skip
def test_names_people_type(typed, grade):
    assert find_alloy(LIBRARY, typed, field="metal").id == grade


@pytest.mark.parametrize(
    "typed", ["Ti CP", "CP Ti", "titanium", "Titanio", "Ti", "CP", "Gr", "", "-", "316", "304", "2"]
)
def test_a_metal_without_its_grade_is_refused(typed):
    with pytest.raises(Refused) as refusal:
        find_alloy(LIBRARY, typed, field="metal")
    assert (refusal.value.field, refusal.value.got, refusal.value.reason) == ("metal", typed, "refused.metal")


def test_near_names_are_grades_of_that_metal():
    def near(typed):
        with pytest.raises(Refused) as refusal:
            find_alloy(LIBRARY, typed, field="metal")
        return refusal.value.near

    assert near("Ti CP") == tuple(f"Titanium grade {n}" for n in (1, 2, 3, 4))
    assert near("zirconium") == ("Zirconium 702", "Zirconium 705")
    assert near("316") == ("Stainless 316L",)
    assert near("R50401")[0] == "Titanium grade 2"
    assert near("banana phone") == ()


def test_a_name_of_two_grades_is_refused_with_both(tmp_path):
    own = tmp_path / "alloys" / "house-2" / "alloy.toml"
    own.parent.mkdir(parents=True)
    ours = OURS / "alloys" / "ti-2" / "alloy.toml"
    own.write_text(ours.read_text().replace('name = "Titanium grade 2"', 'name = "House grade"'))
    with pytest.raises(Refused) as refusal:
        find_alloy(load_library(tmp_path), "Gr 2", field="metal")
    assert refusal.value.near == ("Titanium grade 2", "House grade")


@pytest.mark.parametrize(
    ("typed", "filler"),
    [("ERTi-2", "ERTi-2"), ("erti2", "ERTi-2"), ("AWS A5.16 ERTi-7", "ERTi-7"), ("ER NiCrMo 3", "ERNiCrMo-3")],
)
def test_fillers(typed, filler):
    assert find_filler(LIBRARY, typed, field="filler").id == filler


def test_an_unknown_filler_is_refused_with_near_ones():
    with pytest.raises(Refused) as refusal:
        find_filler(LIBRARY, "ER316", field="filler")
    assert refusal.value.near[0] == "ER316L"


@pytest.mark.parametrize(
    ("typed", "outer_mm", "wall_mm"),
    [
        ("NPS 6 Sch 10S", 168.275, 3.4036), ('6" Sch. 10S', 168.275, 3.4036), ("6 in schedule 10s", 168.275, 3.4036),
        ("nps6sch10s", 168.275, 3.4036), ("6 in 10S", 168.275, 3.4036), ("DN 150 Sch 10S", 168.275, 3.4036),
        ("DN150 cédula 10S", 168.275, 3.4036), ("tubería de 6 pulgadas céd. 10S", 168.275, 3.4036),
        ("NPS 2-1/2 Sch 40", 73.025, 5.1562), ("2 1/2 in sch 40", 73.025, 5.1562), ("2½ sch 40", 73.025, 5.1562),
        ("2.5 in sch 40", 73.025, 5.1562), ("DN 65 Sch 40", 73.025, 5.1562), ("NPS 1½ Sch 80", 48.26, 5.08),
        ("½ in sch 5S", 21.336, 1.651), ("NPS 6 STD", 168.275, 7.112), ("NPS 12 Sch XS", 323.85, 12.7),
    ],
)  # fmt: skip
def test_nominal_sizes(typed, outer_mm, wall_mm):
    found = find_pipe(LIBRARY, typed, field="pipe")
    assert found.outer_diameter_m.value == pytest.approx(outer_mm / 1000, rel=1e-12)
    assert found.wall_m.value == pytest.approx(wall_mm / 1000, rel=1e-12)
    assert found.size == typed == found.wall_m.as_entered


@pytest.mark.parametrize(
    ("typed", "outer_mm", "wall_mm"),
    [
        ("168.3 x 3.40 mm", 168.3, 3.4), ("168,3 x 3,40 mm", 168.3, 3.4), ("168.3 mm × 3.4 mm", 168.3, 3.4),
        ("88.9mm x 5.49mm", 88.9, 5.49), ("Ø88.9x5.49 mm", 88.9, 5.49), ("tubo 88,9 x 5,49 mm", 88.9, 5.49),
        ("diámetro exterior 88,9 mm, pared 5,49 mm", 88.9, 5.49), ("OD 88.9 mm, wall 5.49 mm", 88.9, 5.49),
        ("88.9 mm OD 5.49 mm wall", 88.9, 5.49), ("6.625 in x 0.134 in", 168.275, 3.4036),
        ("6 5/8 in x .134 in", 168.275, 3.4036), ("3 1/2 in OD x .216 wall", 88.9, 5.4864),
        ('3 1/2" OD x 0.216"', 88.9, 5.4864), ("3 1/2 pulgadas OD x 0.216 pulgadas", 88.9, 5.4864),
        ("3.5 in x 5.49 mm", 88.9, 5.49), ("1 in OD x 0.065 in", 25.4, 1.651), ("25.4 mm x 1.65 mm", 25.4, 1.65),
    ],
)  # fmt: skip
def test_sizes_by_diameter_and_wall(typed, outer_mm, wall_mm):
    found = find_pipe(LIBRARY, typed, field="pipe")
    assert found.outer_diameter_m.value == pytest.approx(outer_mm / 1000, rel=1e-12)
    assert found.wall_m.value == pytest.approx(wall_mm / 1000, rel=1e-12)
    assert found.size == typed


def refused(typed):
    with pytest.raises(Refused) as refusal:
        find_pipe(LIBRARY, typed, field="pipe")
    assert refusal.value.field == "pipe"
    return refusal.value


def test_a_schedule_that_is_not_there_names_those_that_are():
    found = refused("NPS 3 Sch 10")
    assert found.reason == "refused.schedule"
    assert found.wanted == "a schedule of NPS 3: 5S, 10S, 40, STD, 40S, 80, XS, 80S, 160"
    assert found.near == ("10S",)
    assert refused("NPS 22 Sch 40S").near == ()


def test_sch_10_and_10s_are_two_walls_from_nps_14():
    plain, stainless = (find_pipe(LIBRARY, f"NPS 14 Sch {s}", field="pipe").wall_m.value for s in ("10", "10S"))
    assert plain == pytest.approx(0.25 * 0.0254) and stainless == pytest.approx(0.188 * 0.0254)


def test_a_size_that_is_not_there_names_its_neighbours():
    assert refused("NPS 7 Sch 40").near == ("NPS 6", "NPS 8")
    assert refused("DN 155 Sch 40").near == ("DN 150", "DN 125")


@pytest.mark.parametrize("typed", ["6 in x 0.134 in", '6" x 0.134"', "2 in x 0.065 in", "4 in x 0.237 in"])
def test_inches_that_may_be_nominal_are_refused_with_both(typed):
    found = refused(typed)
    assert found.reason == "refused.pipe"
    outside, nominal = found.near
    assert find_pipe(LIBRARY, nominal, field="pipe").wall_m.value == pytest.approx(
        find_pipe(LIBRARY, outside, field="pipe").wall_m.value
    )


def test_inches_that_are_a_pipe_of_the_tables_are_taken_as_outside():
    assert find_pipe(LIBRARY, "4 in x 0.226 in", field="pipe").outer_diameter_m.value == pytest.approx(0.1016)


def test_a_bare_number_that_may_be_a_dn_is_refused_with_both():
    assert refused("20 Sch 10S").near == ("NPS 20 Sch 10S", "DN 20 Sch 10S")
    assert find_pipe(LIBRARY, '20" Sch 10S', field="pipe").outer_diameter_m.value == pytest.approx(0.508)
    assert find_pipe(LIBRARY, "DN 20 Sch 10S", field="pipe").outer_diameter_m.value == pytest.approx(0.02667)
    assert find_pipe(LIBRARY, "6 Sch 10S", field="pipe").outer_diameter_m.value == pytest.approx(0.168275)


def test_no_unit_shows_both_readings():
    assert refused("168.3 x 3.40").near == ("168.3 mm = 6.626 in", "168.3 in = 4275 mm")


@pytest.mark.parametrize(
    "typed",
    ["", "banana", "168.3 mm", "6 sch", "6 40", "x x x", "6/0 sch 40", "0/0 in x 1 mm", "NPS 6 10S x 3", "168.3 x 34 mm",
     "9999 x 3 mm", "2 x 1 x 3 mm", "-168.3 x 3.4 mm", "10 sch", "NPS", "DN 150", "NPS 140", "DN 15040"],
)  # fmt: skip
def test_what_is_no_size_is_refused(typed):
    assert refused(typed).reason in ("refused.pipe", "refused.number", "refused.range")


def test_folding_keeps_what_tells_grades_apart():
    assert folded("Gr 2") != folded("Gr 2H") != folded("Gr 12")
    assert folded("316") != folded("316L")
