"""Every fact of the form, wrong in every way a tired person gets it wrong: refused by name, and nothing written."""

import pytest

from brightroot.app.declare_joint import LIMITS, declare_joint
from brightroot.app.plan_joint import declare, declare_like
from brightroot.base.errors import Refused
from brightroot.base.units import UNITS, dimension_of
from brightroot.cli.demo import SMALL, facts
from brightroot.model.facts import FACTS, FACTS_BY_NAME

GOOD = facts("J-10", position="5G", pipe=SMALL)
NUMBERS = [f.name for f in FACTS if f.kind == "number"]
CHOICES = [f.name for f in FACTS if f.kind in ("choice", "yes_no")]
NAMED = [f.name for f in FACTS if f.kind in ("metal", "pipe", "filler")]
REQUIRED = [f.name for f in FACTS if f.required and not f.start]


def refused(place, **wrong):
    """What is said of the form with those fields changed; the log must stay empty."""
    with pytest.raises(Refused) as caught:
        declare(place, GOOD | wrong, by="W-07")
    assert place.store.joints() == ()
    first = caught.value
    for one in (first, *first.also):
        assert one.field in FACTS_BY_NAME or one.field in wrong
        assert one.wanted.strip() and one.got.strip()
    return {one.field: one for one in (first, *first.also)}


def test_every_number_has_its_limits():
    assert set(LIMITS) == set(NUMBERS)


@pytest.mark.parametrize("name", NUMBERS)
@pytest.mark.parametrize("text", ["a lot", "-5", "200", "0x10 mm", "1e3", "nan mm", "1/0 mm", "5 mm 3", "--"])
def test_a_number_that_is_no_measurement(place, name, text):
    found = refused(place, **{name: text})
    assert set(found) == {name}
    assert found[name].got == text


@pytest.mark.parametrize("name", NUMBERS)
def test_a_unit_of_another_dimension(place, name):
    other = "mm" if dimension_of(name) != "length" else "°C"
    found = refused(place, **{name: f"5 {other}"})
    assert found[name].got == f"5 {other}"
    assert any(unit in found[name].wanted for unit in UNITS[dimension_of(name)])


@pytest.mark.parametrize("name", NUMBERS)
def test_too_much_and_too_little(place, name):
    low, high, words = LIMITS[name]
    unit = {"temperature": "K", "angle": "rad", "fraction": "1", "flow": "m³/s", "speed": "m/s", "pressure": "Pa",
            "length": "m", "volume": "m³", "heat input": "J/m", "current": "A"}[dimension_of(name)]  # fmt: skip
    for value in [high * 1.01, *([low * 0.99] if low else [])]:
        found = refused(place, **{name: f"{value:.12f} {unit}"})
        assert found[name].wanted == words


@pytest.mark.parametrize("name", NUMBERS)
def test_a_negative_measurement(place, name):
    unit = next(iter(UNITS[dimension_of(name)]))
    if dimension_of(name) == "temperature":
        unit = "K"
    assert name in refused(place, **{name: f"-5 {unit}"})


@pytest.mark.parametrize("name", CHOICES)
def test_a_choice_that_is_none(place, name):
    assert refused(place, **{name: "sideways"})[name].got == "sideways"


@pytest.mark.parametrize("name", NAMED)
def test_a_name_that_nothing_has(place, name):
    assert refused(place, **{name: "unobtainium"})[name].got == "unobtainium"


@pytest.mark.parametrize("name", REQUIRED)
@pytest.mark.parametrize("text", ["", "   ", None])
def test_nothing_where_something_is_needed(place, name, text):
    assert refused(place, **{name: text})[name].got == "nothing"


SLIPS = [
    ("backing_flow_m3_s", {"backing_flow_m3_s": "200"}),
    ("pipe", {"pipe": "NPS 6 Sch 11S"}),
    ("pipe", {"pipe": "NPS 13 Sch 10S"}),
    ("pipe", {"pipe": "6 x 0.134 in"}),
    ("pipe", {"pipe": "20 x 11 mm"}),
    ("pipe", {"pipe": "88.9 mm"}),
    ("pipe", {"pipe": "88.9 x -3 mm"}),
    ("gap_m", {"gap_m": "3.3 mm"}),
    ("land_m", {"land_m": "3.1 mm"}),
    ("vent_diameter_m", {"vent_diameter_m": "0 mm"}),
    ("backing_flow_m3_s", {"backing_flow_m3_s": "0 L/min"}),
    ("dam_span_m", {"dam_span_m": "0 mm"}),
    ("metal", {"metal": "titanium"}),
    ("metal", {"metal": "Ti CP"}),
    ("metal_b", {"metal_b": "316L"}),
    ("pipe_b", {"pipe_b": "60.3 x 3.05 mm"}),
    ("filler", {"filler": "ER316L"}),
    ("filler", {"filler": "ERTi-99"}),
    ("supply_oxygen_frac", {"supply_oxygen_frac": "15 ppm"}),
    ("supply_oxygen_frac", {"supply_oxygen_frac": "20 ppm"}),
    ("interpass_max_K", {"interpass_max_K": "35 °C", "ambient_K": "40 °C"}),
    ("release_K", {"release_K": "90 °C"}),
    ("current_max_A", {"current_min_A": "90 A", "current_max_A": "60 A"}),
    ("travel_max_m_s", {"travel_min_m_s": "120 mm/min", "travel_max_m_s": "60 mm/min"}),
    ("heel_pressure_Pa", {"heel_pressure_Pa": "200 bar"}),
    ("bore_a_m", {"bore_a_m": "90 mm"}),
    ("bore_b_m", {"bore_b_m": "90 mm"}),
    ("reach_a_m", {"reach_a_m": "10 mm", "reach_b_m": "10 mm", "reading_distance_m": "25 mm"}),
    ("gap", {"gap": "2.4 mm"}),
    ("pipe", {"pipe": "21.3 x 10.6 mm"}),
    # against what the plan would assume
    ("supply_oxygen_frac", {"supply_oxygen_frac": "900 ppm", "start_oxygen_frac": ""}),
    ("start_oxygen_frac", {"supply_oxygen_frac": "", "start_oxygen_frac": "4 ppm"}),
    ("heel_pressure_Pa", {"heel_pressure_Pa": "200 bar", "cylinder_pressure_Pa": ""}),
    ("cylinder_pressure_Pa", {"heel_pressure_Pa": "", "cylinder_pressure_Pa": "3 bar"}),
]


@pytest.mark.parametrize("field, wrong", SLIPS, ids=[f"{field}-{n}" for n, (field, _) in enumerate(SLIPS)])
def test_a_slip_is_refused_under_its_own_field(place, field, wrong):
    assert set(refused(place, **wrong)) == {field}


@pytest.mark.parametrize("form", ["socket", "fillet", "branch", "lap", "seam", "plate"])
def test_other_forms_are_refused_as_such(place, form):
    found = refused(place, form=form)["form"]
    assert found.got == form and "girth butt" in found.wanted


def test_a_bare_flow_is_asked_back_with_both_readings(place):
    near = refused(place, backing_flow_m3_s="30")["backing_flow_m3_s"].near
    assert len(near) == 2 and "L/min" in near[0] and "cfh" in near[1]


def test_all_wrong_fields_are_named_at_once(place):
    wrong = dict.fromkeys((*NUMBERS, *CHOICES, *NAMED), "a lot") | {"id": "", "colour": "blue"}
    assert set(refused(place, **wrong)) == set(wrong)


def test_all_slips_between_fields_are_named_at_once(place):
    wrong = {"gap_m": "3.3 mm", "metal_b": "316L", "filler": "ER316L", "supply_oxygen_frac": "20 ppm", "form": "lap"}
    assert set(refused(place, **wrong)) == set(wrong)


def test_slips_of_one_kind_are_named_at_once(place):
    wrong = {"supply_oxygen_frac": "20 ppm", "heel_pressure_Pa": "200 bar", "release_K": "90 °C", "land_m": "3.1 mm",
             "gap_m": "3.3 mm"}  # fmt: skip
    assert set(refused(place, **wrong)) == set(wrong)


def test_the_envelope_carries_them_all(place):
    with pytest.raises(Refused) as caught:
        declare(place, GOOD | {"gap_m": "2.4", "land_m": "-1 mm"}, by="W-07")
    told = caught.value.envelope()
    assert told["ok"] is False
    assert {told["field"], *(other["field"] for other in told["also"])} == {"gap_m", "land_m"}


def test_a_taken_name_is_refused_and_nothing_is_added(gallery):
    before = gallery.store.stored("J-10")
    with pytest.raises(Refused) as caught:
        declare(gallery, GOOD, by="W-07")
    assert caught.value.field == "id"
    assert gallery.store.stored("J-10") == before


@pytest.mark.parametrize("names", [(), ("A", "A"), ("J-10",)])
def test_names_for_more_joints(gallery, names):
    before = gallery.store.joints()
    with pytest.raises(Refused):
        declare_like(gallery, "J-10", names, by="W-07")
    assert gallery.store.joints() == before


def test_the_good_facts_are_good(library):
    joint = declare_joint(GOOD, library=library)
    assert joint.groove.gap_m.as_entered == "2.4 mm"
    # a decimal comma, a fraction and American units say the same things
    other = GOOD | {"gap_m": "2,4 mm", "interpass_max_K": "212 °F", "pipe": "88,9 x 3,05 mm"}
    again = declare_joint(other, library=library)
    assert again.groove.gap_m.value == joint.groove.gap_m.value
    assert again.procedure.interpass_max_K.value == pytest.approx(joint.procedure.interpass_max_K.value)
