"""`calc purge`: the published shape in and out, and every wrong key, type and number refused by its name."""

import copy
import json
from pathlib import Path

import pytest

from brightroot.app.calc import answer
from brightroot.base.errors import Refused
from brightroot.physics.purge.case import read_purge

FOLDER = Path(__file__).parents[2] / "cases/purge"
NAMES = ("V01_clean_DN80", "V02_floor_above_target", "V03_stop_and_resume", "V04_over_range")
VERDICTS = {"wait", "at_target", "stalled", "leak", "check_instrument", "not_measured"}
SPREAD = {"p05", "p50", "p95"}


def case(name):
    return json.loads((FOLDER / f"{name}.json").read_text(encoding="utf-8"))


def check_spread(spread, *, null=False):
    if spread is None:
        assert null
        return
    assert set(spread) == SPREAD and spread["p05"] <= spread["p50"] <= spread["p95"]


def check_shape(found, targets):
    for key in ("vent_ppm", "root_ppm", "floor_ppm", "leak_air_mL_min"):
        check_spread(found[key])
    assert set(found["targets"]) == targets
    for target in found["targets"].values():
        assert set(target) == {"p_never", "gas_reaches_s", "monitor_shows_s", "reached"}
        assert 0 <= target["p_never"] <= 1 and isinstance(target["reached"], bool)
        check_spread(target["gas_reaches_s"], null=True)
        check_spread(target["monitor_shows_s"], null=True)
    assert found["verdict"] in VERDICTS and isinstance(found["seed"], int)
    json.dumps(found, allow_nan=False)


@pytest.mark.parametrize("name", NAMES)
def test_the_examples_are_read_and_answered_in_shape(name):
    one = answer("purge", case(name), at_s=300.0)
    check_shape(one, {"50", "20", "10"})
    assert one["at_s"] == 300.0 and one["seed"] == 0


def test_without_a_moment_the_last_reading_is_meant():
    assert answer("purge", case("V02_floor_above_target"))["at_s"] == 1500.0


def test_moments_in_the_case_give_a_list_and_its_seed_is_kept():
    given = {**case("V01_clean_DN80"), "at_s": [200.0, 120.0], "seed": 5}
    found = answer("purge", given)
    assert [one["at_s"] for one in found] == [200.0, 120.0] and {one["seed"] for one in found} == {5}
    alone = answer("purge", {**case("V01_clean_DN80"), "seed": 5}, at_s=120.0)
    assert alone == found[1]


def test_argon_used_is_flow_by_time():
    found = answer("purge", case("V03_stop_and_resume"), at_s=360.0)
    assert found["argon_used_L"] == pytest.approx(12 * (150 + 10) / 60)


def test_no_flow_gives_no_times():
    found = answer("purge", case("V03_stop_and_resume"), at_s=250.0)
    assert all(t["gas_reaches_s"] is None and t["monitor_shows_s"] is None for t in found["targets"].values())


def test_the_examples_after_five_readings_under_1000_ppm():
    for name in NAMES:
        given = case(name)
        began = given["inputs"]["flow_schedule_t_s_Lmin"][-1][0]
        low = [r["t_s"] for r in given["inputs"]["readings"] if r["t_s"] > began and r["ppm"] <= 1000]
        truth = given["truth"]["vent"]["20"]["final_below_s"]
        target = answer("purge", given, at_s=low[4])["targets"]["20"]
        if truth is None:
            continue
        assert target["gas_reaches_s"]["p05"] <= truth <= target["gas_reaches_s"]["p95"], name
        assert target["gas_reaches_s"]["p50"] == pytest.approx(truth, rel=0.2), name


def test_the_floor_above_its_target_is_called_within_five_volumes():
    given = case("V02_floor_above_target")
    volume_s = given["inputs"]["volume_L"] / 10 * 60
    found = answer("purge", given, at_s=420.0 + 5 * volume_s)
    assert found["targets"]["20"]["p_never"] >= 0.9 and found["verdict"] == "stalled"
    assert found["floor_ppm"]["p05"] < 28.5 and found["floor_ppm"]["p95"] > 26.5


def changed(path, value):
    given = copy.deepcopy(case("V01_clean_DN80"))
    place = given
    for key in path[:-1]:
        place = place[key]
    if value is KeyError:
        del place[path[-1]]
    else:
        place[path[-1]] = value
    return given


@pytest.mark.parametrize(
    ("path", "value", "field"),
    [
        (["inputs", "volume_L"], KeyError, "inputs.volume_L"),
        (["inputs", "volume_L"], "3.8", "inputs.volume_L"),
        (["inputs", "volume_L"], -1, "inputs.volume_L"),
        (["inputs", "volume_L"], True, "inputs.volume_L"),
        (["inputs", "volume_L"], float("nan"), "inputs.volume_L"),
        (["inputs", "colour"], "blue", "inputs.colour"),
        (["inputs", "initial_gas"], "helium", "inputs.initial_gas"),
        (["inputs", "pipe_axis"], 5, "inputs.pipe_axis"),
        (["inputs", "feed_position"], None, "inputs.feed_position"),
        (["inputs", "targets_ppm"], [], "inputs.targets_ppm"),
        (["inputs", "targets_ppm"], [20, -1], "inputs.targets_ppm.[1]"),
        (["inputs", "flow_schedule_t_s_Lmin"], [], "inputs.flow_schedule_t_s_Lmin"),
        (["inputs", "flow_schedule_t_s_Lmin"], [[0.0]], "inputs.flow_schedule_t_s_Lmin[0]"),
        (["inputs", "flow_schedule_t_s_Lmin"], [[9.0, 8], [0.0, 8]], "inputs.flow_schedule_t_s_Lmin[1].t_s"),
        (["inputs", "flow_schedule_t_s_Lmin"], [[0.0, -8]], "inputs.flow_schedule_t_s_Lmin[0].Lmin"),
        (["inputs", "monitor", "noise_rel_nominal"], KeyError, "inputs.monitor.noise_rel_nominal"),
        (["inputs", "monitor", "over_limit_ppm"], 0.5, "inputs.monitor.over_limit_ppm"),
        (["inputs", "readings", 3, "ppm"], -5, "inputs.readings[3].ppm"),
        (["inputs", "readings", 3, "ppm"], "---", "inputs.readings[3].ppm"),
        (["inputs", "readings", 3, "ppm"], None, "inputs.readings[3].ppm"),
        (["inputs", "readings", 3, "ppm"], 2e6, "inputs.readings[3].ppm"),
        (["inputs", "readings", 3, "flag"], "high", "inputs.readings[3].flag"),
        (["inputs", "readings", 3, "t_s"], 5.0, "inputs.readings[3].t_s"),
        (["inputs", "readings", 3], 7, "inputs.readings[3]"),
        (["inputs", "events"], [{"t_s": 5, "kind": "door_opened"}], "inputs.events[0].kind"),
        (["inputs", "events"], [{"t_s": 5}], "inputs.events[0].kind"),
        (["inputs"], [], "inputs"),
        (["seed"], 1.5, "seed"),
        (["at_s"], [], "at_s"),
        (["at_s"], 300, "at_s"),
        (["at_s"], ["soon"], "at_s[0]"),
        (["colour"], "blue", "colour"),
    ],
)
def test_what_is_wrong_is_refused_by_its_key(path, value, field):
    with pytest.raises(Refused) as refused:
        answer("purge", changed(path, value))
    assert refused.value.field == field


def test_a_moment_twice_or_for_another_engine_is_refused():
    with pytest.raises(Refused):
        answer("purge", {**case("V01_clean_DN80"), "at_s": [100.0]}, at_s=50.0)
    with pytest.raises(Refused):
        answer("heat", {}, at_s=50.0)


def test_of_a_list_a_refused_case_is_its_error_in_its_place():
    found = answer("purge", [changed(["inputs", "volume_L"], -1), case("V01_clean_DN80")], at_s=100.0)
    assert found[0]["ok"] is False and found[0]["field"] == "inputs.volume_L"
    check_shape(found[1], {"50", "20", "10"})


def test_an_over_range_reading_needs_no_number():
    given = changed(["inputs", "readings", 0], {"t_s": 10.0, "ppm": None, "flag": "over"})
    assert read_purge(given["inputs"]).looks[0].oxygen_frac is None
