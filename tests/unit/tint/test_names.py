import pytest

from brightroot.physics.tint.names import BEYOND, TINTS, tint_at, tint_forecast


def test_the_table_rises():
    edges = [tint.below_m for tint in TINTS]
    assert edges == sorted(edges) and len({tint.name for tint in TINTS}) == len(TINTS)


@pytest.mark.parametrize(
    ("film_nm", "name"),
    [(3, "silver"), (8, "light straw"), (20, "gold or bronze"), (35, "purple"), (50, "dark blue"), (60, "light blue"),
     (85, "pale"), (100, "second yellow"), (140, "magenta"), (200, "teal, green or thicker")],
)  # fmt: skip
def test_names(film_nm, name):
    assert tint_at(film_m=film_nm * 1e-9).name == name


def test_two_steps_deceive():
    assert {tint.name: tint.taken_for for tint in TINTS if tint.taken_for} == {
        "pale": "silver",
        "second yellow": "straw",
    }


@pytest.mark.parametrize(("ppm_s", "name"), [(600, "silver"), (3000, "gold or bronze"), (6500, "dark blue")])
def test_dose(ppm_s, name):
    assert tint_forecast(dose_frac_s=ppm_s * 1e-6, family="titanium").value == name


def test_a_factor_of_three_shows():
    said = tint_forecast(dose_frac_s=1500e-6, family="titanium")
    assert (said.low, said.value, said.high) == ("silver", "light straw", "purple")
    assert tint_forecast(dose_frac_s=5000e-6, family="titanium").high == BEYOND


def test_past_seven_thousand_only_beyond():
    said = tint_forecast(dose_frac_s=7001e-6, family="titanium")
    assert {said.low, said.value, said.high} == {BEYOND}


@pytest.mark.parametrize("family", ["zirconium", "stainless", "nickel", ""])
def test_other_metals_are_not_predicted(family):
    assert tint_forecast(dose_frac_s=1e-4, family=family) is None
