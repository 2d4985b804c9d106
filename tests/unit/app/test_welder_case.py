"""The JSON of welders' ranges and continuity, key by key, and what is refused."""

import copy

import pytest

from brightroot.app.calc import answer
from brightroot.base.errors import Refused
from brightroot.library.load import load_library

CASE = {
    "code": "asme-ix", "nps": "1-1/2", "od_in": 1.9, "deposit_mm": 5.08, "layers": 3, "test_position": "6G", "P": "51",
    "F": "51", "backing": False,
}  # fmt: skip
USE = {"date": "2026-05-25", "process": "GTAW", "metal": "51"}


def range_of(**changed):
    case = {k: v for k, v in {**CASE, **changed}.items() if v is not None}
    return answer("welder-range", case, library=load_library)


def lasting(on, *dates, rule="asme-ix", process="GTAW"):
    case = {"last_use": [{**USE, "date": d, "process": process} for d in dates], "on": on, "rule": rule}
    return answer("welder-continuity", case, library=load_library)


def test_the_published_case():
    assert range_of() == {
        "min_od": {"in": 1.0, "mm": 25.0},
        "max_od": None,
        "max_deposit_mm": 10.16,
        "positions": {"groove_plate_and_pipe_over_24in": ["All"], "groove_pipe_up_to_24in": ["All"], "fillet": ["All"]},
        "P_qualified": ["51", "52", "53", "61", "62"],
        "F_qualified": ["51", "52", "53", "54", "55", "56"],
        "bends": {"face": 2, "root": 2, "side": 0},
        "volumetric_alternative": True,
        "standing": {
            "min_od": "seen", "max_od": "seen", "max_deposit_mm": "seen", "positions": "memory", "P_qualified": "seen",
            "F_qualified": "memory", "bends": "seen", "volumetric_alternative": "memory",
        },
    }  # fmt: skip


@pytest.mark.parametrize(
    ("changed", "least"),
    [
        ({"nps": None, "od_in": 2.875}, {"in": 1.0, "mm": 25.0}),
        ({"nps": None, "od_in": 2.876}, {"in": 2.875, "mm": 73.0}),
        ({"nps": "2-1/2", "od_in": None}, {"in": 1.0, "mm": 25.0}),
        ({"nps": "2 1/2", "od_in": 2.88}, {"in": 1.0, "mm": 25.0}),  # the nominal size is the inch figure
        ({"nps": None, "od_in": None, "od_mm": 73}, {"in": 1.0, "mm": 25.0}),
        ({"nps": None, "od_in": None, "od_mm": 73.025}, {"in": 2.875, "mm": 73.0}),
        ({"nps": "2-1/2", "od_in": None, "od_mm": 73.0}, {"in": 1.0, "mm": 25.0}),
        ({"nps": "1/2", "od_in": None}, {"in": 0.84, "mm": 21.336}),
        ({"nps": None, "od_in": None, "od_mm": 21.3}, {"in": 0.838583, "mm": 21.3}),
        ({"nps": "6", "od_in": 6.625}, {"in": 2.875, "mm": 73.0}),
    ],
)
def test_diameters_in_the_record_s_own_system(changed, least):
    found = range_of(**changed)
    assert (found["min_od"], found["max_od"]) == (least, None)


@pytest.mark.parametrize(
    ("changed", "most"),
    [
        ({"deposit_mm": 12.7}, 25.4),
        ({"deposit_mm": 13}, None),
        ({"deposit_mm": 13, "layers": 2}, 26.0),
        ({"deposit_mm": None, "deposit_in": 0.5}, None),
        ({"deposit_mm": None, "deposit_in": 0.5, "layers": 2}, 25.4),
        ({"deposit_mm": None, "deposit_in": 0.2}, 10.16),
    ],
)
def test_deposits_in_the_record_s_own_system(changed, most):
    assert range_of(**changed)["max_deposit_mm"] == most


def test_positions_seen_and_a_plate():
    five = range_of(test_position="5G")
    assert five["positions"] == {
        "groove_plate_and_pipe_over_24in": ["F", "V", "O"], "groove_pipe_up_to_24in": ["F", "V", "O"], "fillet": ["All"],
    }  # fmt: skip
    assert five["standing"]["positions"] == "seen"
    plate = range_of(test_position="3G", nps=None, od_in=None, P="8", F="6")
    assert plate["positions"]["groove_pipe_up_to_24in"] == ["F"]
    assert plate["min_od"] == {"in": 2.875, "mm": 73.0}


def test_zirconium_and_the_iso_code():
    zirconium = range_of(P="61", F="61")
    assert (zirconium["volumetric_alternative"], zirconium["F_qualified"]) == (False, ["61"])
    iso = range_of(code="iso-9606-5", nps=None, od_in=None, od_mm=48.3, deposit_mm=5)
    assert (iso["min_od"]["mm"], iso["max_od"]["mm"], iso["max_deposit_mm"]) == (25.0, 96.6, 10.0)
    assert (iso["bends"]["side"], iso["volumetric_alternative"]) == ("unknown", "unknown")
    assert set(iso["standing"].values()) == {"memory"} and set(iso["standing"]) == set(range_of()["standing"])


@pytest.mark.parametrize("key", ["code", "deposit_mm", "layers", "test_position", "P", "F", "backing"])
def test_a_missing_key_is_refused_by_name(key):
    with pytest.raises(Refused) as refused:
        range_of(**{key: None})
    assert refused.value.field == key and refused.value.reason == "refused.missing_key"


@pytest.mark.parametrize(
    ("changed", "field"),
    [
        ({"code": "aws-d1.6"}, "code"),
        ({"nps": "7"}, "nps"),
        ({"nps": 2}, "nps"),
        ({"od_in": 2.375}, "od_in"),  # another pipe than the nominal size named
        ({"od_in": None, "od_mm": 60.3}, "od_mm"),
        ({"nps": None, "od_in": "1.9"}, "od_in"),
        ({"nps": None, "od_in": 1.9, "od_mm": 48.26}, "od_mm"),
        ({"nps": None, "od_in": float("nan")}, "od_in"),
        ({"nps": None, "od_in": -1}, "od_in"),
        ({"nps": None, "od_in": None}, "od_in"),
        ({"deposit_mm": 0}, "deposit_mm"),
        ({"deposit_in": 0.2}, "deposit_mm"),
        ({"deposit_mm": True}, "deposit_mm"),
        ({"layers": 2.5}, "layers"),
        ({"layers": 0}, "layers"),
        ({"test_position": "7G"}, "test_position"),
        ({"test_position": "3G"}, "test_position"),  # a plate's position for a pipe
        ({"test_position": 6}, "test_position"),
        ({"P": "99"}, "P"),
        ({"P": 51}, "P"),
        ({"F": "50"}, "F"),
        ({"backing": "no"}, "backing"),
        ({"wall_mm": 5}, "wall_mm"),
    ],
    ids=str,
)
def test_a_wrong_value_is_refused_by_its_key(changed, field):
    with pytest.raises(Refused) as refused:
        range_of(**changed)
    assert refused.value.field == field


@pytest.mark.parametrize(
    ("on", "last", "valid", "until"),
    [
        ("2026-11-24", "2026-05-25", True, "2026-11-25"),
        ("2026-11-25", "2026-05-25", True, "2026-11-25"),
        ("2026-11-26", "2026-05-25", False, "2026-11-25"),
        ("2027-02-28", "2026-08-31", True, "2027-02-28"),
        ("2027-03-01", "2026-08-31", False, "2027-02-28"),
        ("2028-02-29", "2027-08-31", True, "2028-02-29"),
        ("2028-08-29", "2028-02-29", True, "2028-08-29"),
    ],
)
def test_six_months(on, last, valid, until):
    found = lasting(on, last)
    assert (found["valid"], found["until"]) == (valid, until)
    assert last in found["why"] and until in found["why"]


def test_unknown_is_never_yes():
    assert lasting("2026-11-24")["valid"] == "unknown"
    assert lasting("2026-11-24", "2026-11-20", process="SMAW")["valid"] == "unknown"
    assert lasting("2026-11-24", "2026-12-20")["valid"] == "unknown"
    assert lasting("2026-11-24", "2026-05-25", rule="iso-9606-5")["valid"] == "unknown"
    assert lasting("2026-12-24", "2026-05-25", rule="iso-9606-5")["valid"] == "unknown"


def test_the_latest_use_counts_whatever_the_metal_and_the_order():
    found = lasting("2026-11-24", "2025-01-10", "2026-09-01", "2026-03-01")
    assert (found["valid"], found["until"]) == (True, "2027-03-01")


@pytest.mark.parametrize(
    ("spoil", "field"),
    [
        (lambda c: c.pop("on"), "on"),
        (lambda c: c.pop("rule"), "rule"),
        (lambda c: c.update(rule="api-1104"), "rule"),
        (lambda c: c.update(last_use="yesterday"), "last_use"),
        (lambda c: c.update(today="2026-11-24"), "today"),
        (lambda c: c["last_use"].append("2026-05-25"), "last_use[1]"),
        (lambda c: c["last_use"][0].update(place="here"), "last_use[0].place"),
        (lambda c: c["last_use"][0].pop("date"), "last_use[0].date"),
        (lambda c: c["last_use"][0].update(date="2026-02-30"), "last_use[0].date"),
        (lambda c: c["last_use"][0].update(date="2026-05-25T22:00:00-08:00"), "last_use[0].date"),
        (lambda c: c["last_use"][0].update(date=20260525), "last_use[0].date"),
        (lambda c: c.update(on="24.11.2026"), "on"),
    ],
    ids=range(12),
)
def test_continuity_refuses_by_key(spoil, field):
    case = copy.deepcopy({"last_use": [USE], "on": "2026-11-24", "rule": "asme-ix"})
    spoil(case)
    with pytest.raises(Refused) as refused:
        answer("welder-continuity", case, library=load_library)
    assert refused.value.field == field


def test_a_list_answers_in_order():
    found = answer("welder-range", [CASE, {**CASE, "P": "99"}, {**CASE, "note": "ignored"}], library=load_library)
    assert [one.get("ok") for one in found] == [None, False, None]
    assert found[1]["field"] == "P" and found[0] == found[2]
