"""The chemistry engine: two certificates to weld metal, verdicts of all three, and relations that refuse."""

import math

import pytest

from brightroot.app.calc import answer
from brightroot.app.chemistry import answer_chemistry
from brightroot.base.errors import Refused

BASE = {"grade": "Gr 2", "certificate_pct": {"O": 0.16, "N": 0.010, "C": 0.020, "H": 0.0020, "Fe": 0.08}}
ROD = {
    "class": "ERTi-2",
    "edition": "2013",
    "certificate_pct": {"O": 0.12, "N": 0.008, "C": 0.010, "H": 0.003, "Fe": 0.05},
}
SHAPE = {
    "wall_m": 0.0034,
    "land_m": 0.0005,
    "included_angle_rad": math.radians(60),
    "gap_m": 0.0024,
    "melt_in_m": 0.001,
}


def asked(library, **more):
    case = {"base": BASE, "rod": ROD, "dilution": 0.3, **more}
    return answer_chemistry({k: v for k, v in case.items() if v is not None}, library=library)


def outcomes(found, what):
    return {row["clause"]: row["outcome"] for row in found["verdicts"][what]}


def test_the_weld_by_hand(library):
    """0.3 x 0.16 + 0.7 x 0.12 = 0.132 % oxygen; 0.3 x 0.08 + 0.7 x 0.05 = 0.059 % iron."""
    found = asked(library)
    assert found["weld_pct"]["oxygen"]["value"] == pytest.approx(0.132)
    assert found["weld_pct"]["iron"]["value"] == pytest.approx(0.059)
    assert found["weld_pct"]["oxygen"]["at_least"] and not found["weld_pct"]["iron"]["at_least"]


def test_dilution_from_the_groove(library):
    """37.16 % as worked by hand beside the formulas."""
    found = asked(library, dilution=None, shape=SHAPE)
    assert found["dilution"]["value"] == pytest.approx(0.3716, abs=1e-4)


def test_mixing_never_passes_a_gas_and_can_fail_it(library):
    found = outcomes(asked(library), "weld_against_base")
    assert {found[f"{g}-max"] for g in ("oxygen", "nitrogen", "hydrogen")} == {"unknown"}
    assert found["iron-max"] == "pass" and found["carbon-max"] == "pass"
    bad = {"grade": "Gr 2", "certificate_pct": {**BASE["certificate_pct"], "O": 0.6}}
    assert outcomes(asked(library, base=bad, dilution=0.9), "weld_against_base")["oxygen-max"] == "fail"


def test_a_sample_of_the_weld_decides(library):
    found = asked(library, weld_sample_pct={"O": 0.15, "N": 0.012, "H": 0.003})
    assert outcomes(found, "weld_against_base")["oxygen-max"] == "pass"
    assert not found["relations"]["oxygen_equivalent"]["at_least"]


def test_a_spread_of_dilution_straddles(library):
    spread = {"low": 0.1, "value": 0.3, "high": 0.9}
    heavy = {"grade": "Gr 2", "certificate_pct": {**BASE["certificate_pct"], "Fe": 0.45}}
    assert outcomes(asked(library, base=heavy, dilution=spread), "weld_against_base")["iron-max"] == "unknown"


def test_what_a_certificate_does_not_tell_is_unknown(library):
    short = {"grade": "Gr 2", "certificate_pct": {"O": 0.16}}
    found = asked(library, base=short)
    assert outcomes(found, "base")["iron-max"] == "unknown"
    assert set(found["weld_pct"]) == {"oxygen"}
    assert found["relations"]["oxygen_equivalent"]["ok"] is False


@pytest.mark.parametrize(
    ("edition", "wanted"), [("2013", "pass"), ("2007", "pass"), ("1990", "unknown"), ("", "unknown")]
)
def test_a_lot_is_held_against_its_own_edition(library, edition, wanted):
    found = asked(library, rod={**ROD, "edition": edition})
    assert set(outcomes(found, "rod").values()) == {wanted}


def test_a_remembered_class_decides_only_once_confirmed(library):
    rod = {"class": "ERTi-7", "edition": "2013", "certificate_pct": {**ROD["certificate_pct"], "Pd": 0.15}}
    assert outcomes(asked(library, rod=rod), "rod")["palladium"] == "unknown"
    yes = [["composition/ERTi-7", "palladium"]]
    assert outcomes(asked(library, rod=rod, confirmed=yes), "rod")["palladium"] == "pass"


@pytest.mark.parametrize("grade", ["Gr 5", "Gr 9", "Gr 12", "R60702", "316L"])
def test_the_relations_are_for_unalloyed_titanium(library, grade):
    rod = {"Gr 5": "ERTi-5", "Gr 9": "ERTi-9", "Gr 12": "ERTi-12", "R60702": "ERZr-2", "316L": "ER316L"}[grade]
    found = asked(library, base={**BASE, "grade": grade}, rod={**ROD, "class": rod})
    assert {r["error"] for r in found["relations"].values()} == {"refused.unalloyed"}


def test_a_relation_out_of_its_range_refuses(library):
    hot = {"O": 0.9, "N": 0.01, "C": 0.02, "Fe": 0.08}
    found = asked(library, base={"grade": "Gr 2", "certificate_pct": hot}, dilution=0.95)["relations"]
    assert all(r["ok"] is False for r in found.values())


def test_relations_say_their_standing(library):
    found = asked(library)["relations"]
    assert {r["standing"] for r in found.values()} == {"memory"}
    assert found["oxygen_equivalent"]["value"] == pytest.approx(0.132 + 2 * 0.0086 + 0.67 * 0.013, abs=1e-6)


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"dilution": 1.2}, "dilution"),
        ({"dilution": None}, "dilution"),
        ({"shape": SHAPE}, "dilution"),
        ({"base": {**BASE, "grade": "unobtainium"}}, "base.grade"),
        ({"rod": {**ROD, "class": "ERX"}}, "rod.class"),
        ({"rod": {**ROD, "certificate_pct": {"Xx": 1}}}, "rod.certificate_pct.Xx"),
        ({"base": {**BASE, "certificate_pct": {"O": -1}}}, "base.certificate_pct.O"),
        ({"dilution": {"low": 0.5, "value": 0.3, "high": 0.6}}, "dilution"),
        ({"layers": [{"dilution": 0.2}]}, "layers[0].remelted"),
        ({"oxygen": 3}, "oxygen"),
    ],
)
def test_a_wrong_case_is_refused_by_its_key(library, change, field):
    with pytest.raises(Refused) as refused:
        asked(library, **change)
    assert refused.value.field == field


def test_the_engine_by_its_name(library):
    case = {"base": BASE, "rod": ROD, "dilution": 0.3}
    assert answer("chemistry", case, library=lambda: library)["overall"]["base"] == "pass"
    with pytest.raises(Refused):
        answer("chemistry", case)
