"""Every fact of every kind of event, wrong: refused by name, and the log stays as it was."""

import pytest

from brightroot.app.work_live import record
from brightroot.base.errors import Refused
from brightroot.base.show import show
from brightroot.base.units import UNITS, dimension_of
from brightroot.model.entry import POSSIBLE, entered
from brightroot.model.event import KINDS

SAMPLE = {"clock": "4:30", "text": "words", "stamp": "W-07", "yes_no": "yes", "count": "1"}
UNIT = {"temperature": "°C", "length": "mm", "flow": "L/min", "fraction": "ppm", "pressure": "bar", "volume": "L",
        "current": "A", "voltage": "V", "speed": "m/s", "time": "s", "area": "m²"}  # fmt: skip
NUMBER = {"temperature": "88 °C", "length": "2.4 mm", "flow": "15 L/min", "fraction": "11 ppm", "pressure": "150 bar",
          "volume": "50 L", "current": "60 A", "voltage": "10 V", "speed": "1 m/s",
          "time": "20 s", "area": "2 m²", "": "0.95"}  # fmt: skip
BY_HAND = [k for k in KINDS.values() if k.by_hand]
FIELDS = [(k.name, f) for k in BY_HAND for f in k.fields]


def fields(*kinds):
    return [pytest.param(name, f, id=f"{name}-{f.name}") for name, f in FIELDS if f.kind in kinds]


def good(kind):
    """Facts that are accepted, every field filled."""
    facts = {}
    for f in KINDS[kind].fields:
        facts[f.name] = f.choices[0] if f.choices else SAMPLE.get(f.kind) or NUMBER[dimension_of(f.name)]
    if "arc" in facts:
        facts["arc"] = "A"
    if kind == "surface.prepared":
        facts["solvent"] = "acetone"
    if "dew_point_K" in facts:
        facts["dew_point_K"] = "-50 °C"
    facts |= {name: typed for name, typed in {"cylinder_K": "20 °C", "room_m3": "60 m³"}.items() if name in facts}
    return facts


@pytest.fixture
def refused(gallery):
    def ask(kind, **wrong):
        before = gallery.store.stored("J-10")
        with pytest.raises(Refused) as caught:
            record(gallery, "J-10", kind, good(kind) | wrong, by="W-07")
        assert gallery.store.stored("J-10") == before
        assert caught.value.wanted.strip() and caught.value.got.strip()
        return caught.value

    return ask


@pytest.mark.parametrize("kind", [k.name for k in BY_HAND])
def test_good_facts_are_accepted(kind):
    assert set(entered(kind, good(kind))) == set(good(kind))


@pytest.mark.parametrize("kind, f", fields("number"))
@pytest.mark.parametrize("text", ["warm", "-5", "88", "nan", "1/0", "5 mm 3"])
def test_a_number_that_is_no_measurement(refused, kind, f, text):
    assert (found := refused(kind, **{f.name: text})).field == f.name
    assert found.got == text


@pytest.mark.parametrize("kind, f", fields("number"))
def test_a_unit_of_another_dimension(refused, kind, f):
    other = "mm" if dimension_of(f.name) != "length" else "ppm"
    found = refused(kind, **{f.name: f"5 {other}"})
    assert found.field == f.name
    assert any(unit in found.wanted for unit in UNITS[dimension_of(f.name)])


@pytest.mark.parametrize("kind, f", fields("number"))
def test_impossible_numbers(refused, kind, f):
    dimension = dimension_of(f.name)
    texts = ["-1 K"] if dimension == "temperature" else [f"-1 {UNIT[dimension]}"]
    if f.name in POSSIBLE:
        texts.append(f"1000000000 {UNIT[dimension]}")
    for text in texts:
        assert refused(kind, **{f.name: text}).field == f.name


@pytest.mark.parametrize("kind, f", fields("choice", "yes_no", "count", "clock"))
@pytest.mark.parametrize("text", ["sideways", "-1", "25:00", "0.5"])
def test_no_such_choice_count_or_clock(refused, kind, f, text):
    assert refused(kind, **{f.name: text}).field == f.name


NEEDED = [pytest.param(name, f, id=f"{name}-{f.name}") for name, f in FIELDS if f.required]


@pytest.mark.parametrize("kind, f", NEEDED)
def test_nothing_where_something_is_needed(refused, kind, f):
    assert refused(kind, **{f.name: "  "}).field == f.name


@pytest.mark.parametrize("kind", [k.name for k in BY_HAND])
def test_a_fact_that_the_kind_has_not(refused, kind):
    assert refused(kind, wishes="many").field == "wishes"


@pytest.mark.parametrize("kind", [k.name for k in KINDS.values() if not k.by_hand])
def test_what_only_the_program_writes(gallery, kind):
    with pytest.raises(Refused) as caught:
        record(gallery, "J-10", kind, {}, by="W-07")
    assert caught.value.field == "kind"


WHOLE = [
    ("oxygen.read", {"state": "over range", "oxygen_frac": "5 ppm"}, "oxygen_frac"),
    ("oxygen.read", {"state": "reading", "oxygen_frac": ""}, "oxygen_frac"),
    ("surface.prepared", {"solvent": "methanol"}, "solvent"),
    ("surface.prepared", {"solvent": "trichloroethylene"}, "solvent"),
    ("arc.started", {"run_count": "999"}, "run_count"),
    ("tape.opened", {"arc": "Z"}, "arc"),
]


@pytest.mark.parametrize("kind, wrong, field", WHOLE)
def test_facts_that_do_not_fit_each_other_or_the_plan(refused, kind, wrong, field):
    assert refused(kind, **wrong).field == field


def test_who_when_what_and_which(gallery):
    def ask(joint="J-10", kind="purge.ended", by="W-07", **more):
        with pytest.raises(Refused) as caught:
            record(gallery, joint, kind, {}, by=by, **more)
        return caught.value.field

    before = gallery.store.stored("J-10")
    assert ask(by=" ") == "by"
    assert ask(kind="purge.endde") == "kind"
    assert ask(joint="J-99") == "joint"
    assert ask(at_utc="yesterday") == "at_utc"
    assert ask(at_utc="2026-03-02T10:42:00") == "at_utc"
    assert ask(corrects="bench.1.999") == "corrects"
    assert gallery.store.stored("J-10") == before


@pytest.mark.parametrize(
    ("typed", "state"), [("over", "over range"), ("OL", "over range"), ("---", "no digits"), ("lo", "under range")]
)
def test_what_a_display_shows_instead_of_a_number_is_asked_back(typed, state):
    with pytest.raises(Refused) as refused:
        entered("oxygen.read", {"state": "reading", "oxygen_frac": typed, "place": "vent"})
    assert refused.value.near == (f"state={state}",) and refused.value.reason == "refused.display"
    assert entered("oxygen.read", {"state": state, "place": "vent"})["state"] == state


def test_a_hundredth_of_a_percent_is_ppm_on_the_screen():
    data = entered("oxygen.read", {"state": "reading", "oxygen_frac": "0.002 %", "place": "vent"})
    assert data["oxygen_frac"]["as_entered"] == "0.002 %"
    assert show(data["oxygen_frac"]["value"], name="oxygen_frac") == "20 ppm"
