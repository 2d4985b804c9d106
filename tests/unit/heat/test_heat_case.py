import copy
import json
from pathlib import Path

import pytest

from brightroot.base.errors import Refused
from brightroot.physics.heat.case import answer_case

CASE = json.loads(
    (Path(__file__).parents[2] / "cases/heat/V1_const_nps3_one_run.json").read_text(encoding="utf-8")
)  # fmt: skip


def changed(path, value):
    case = copy.deepcopy(CASE)
    *outer, last = path
    place = case
    for key in outer:
        place = place[key]
    if value is KeyError:
        del place[last]
    else:
        place[last] = value
    return case


@pytest.mark.parametrize(
    ("path", "value", "says"),
    [
        (["geometry", "wall_m"], KeyError, "geometry.wall_m: wanted this key; got 'nothing'"),
        (["geometry", "wall"], 1, r"geometry.wall: wanted no such key; got 'wall' \(near: wall_m\)"),
        (["geometry", "wall_m"], "5.49", "geometry.wall_m: wanted a number from 0.0002 to 0.040005; got '5.49'"),
        (["geometry", "wall_m"], -1.0, "geometry.wall_m: wanted a number from .*; got '-1'"),
        (["geometry", "OD_m"], float("nan"), "geometry.OD_m: .*got 'nan'"),
        (["geometry", "OD_m"], True, "geometry.OD_m: .*got 'True'"),
        (["geometry"], [], "geometry: wanted an object; got 'a list'"),
        (["material", "k_const"], None, "material.k_const: .*got 'null'"),
        (["material", "k_T_C"], [1], "material.k_T_C: wanted no such key"),
        (["losses", "T_inf_C"], "warm", "losses.T_inf_C: wanted a number from -60 to 600; got 'warm'"),
        (["schedule"], [], "schedule: wanted one run or more; got 'an empty list'"),
        (["schedule", 0, "Q_net_W"], 5001, "schedule.0..Q_net_W: wanted a number from 0 to 5000; got '5001'"),
        (["points", "r1_mid_z0o", "z_m"], 0.2, "points.r1_mid_z0o.z_m: wanted a number from -0.15 to 0.15; got '0.2'"),
        (["geometry", "wall_m"], 0, "geometry.wall_m: wanted a number from .*; got '0'"),
        (["source", "type"], "line", "source.type: wanted surface Gaussian on outer surface; got 'line'"),
        (["schedule", 0, "speed_mm_s"], 2.8, "schedule.0..speed_mm_s: wanted 1.400, as sweep and times say"),
        (["schedule"], {}, "schedule: wanted a list; got 'an object'"),
        (["points", "r1_mid_z0o", "side"], "x", "points.r1_mid_z0o.side: wanted o or i; got 'x'"),
        (["t_end_s"], 10.0, "t_end_s: wanted no earlier than the last arc-off"),
        (["colour"], "blue", "colour: wanted no such key"),
    ],
)
def test_refused(path, value, says):
    with pytest.raises(Refused, match=says):
        answer_case(changed(path, value))


@pytest.mark.parametrize("given", [[], "case", None, 3])
def test_not_even_an_object(given):
    with pytest.raises(Refused, match="wanted an object"):
        answer_case(given)


def test_texts_and_answers_are_ignored():
    case = changed(["truth"], {"anything": [1]})
    case["losses"]["note"] = "x"
    case["points"] = {}
    assert answer_case(case)["T_C"] == {}


def test_runs_in_order():
    case = changed(["schedule"], CASE["schedule"] * 2)
    with pytest.raises(Refused, match=r"schedule\[1\].t_start_s"):
        answer_case(case)


def test_no_power_no_heat():
    answer = answer_case(changed(["schedule", 0, "Q_net_W"], 0.0))
    assert max(answer["outer_max_C"]) == pytest.approx(25.0, abs=1e-6)
    assert answer["per_run"][0]["outer_max_below_260C_time_after_arc_off_s"] == 0.0
    assert answer["energy_balance_rel"] == 0.0


def test_a_hot_start_cools_towards_the_air():
    answer = answer_case(changed(["T_initial_C"], 80.0) | {"t_end_s": 600.0})
    far = answer_case(changed(["T_initial_C"], 25.0) | {"t_end_s": 600.0})
    assert answer["outer_max_C"][0] == pytest.approx(80.0)
    assert 1.0 < answer["outer_max_C"][-1] - far["outer_max_C"][-1] < 55.0


def test_says_what_error_it_met():
    answer = answer_case(CASE | {"error_K": 0.001})
    assert "was asked for" in answer["caveats"][0] and 0.001 < answer["error_met"]["T25_K"] < 2.0
    assert answer_case(CASE | {"error_K": 5.0})["caveats"] == []


def test_a_time_too_short_for_the_finer_grid():
    answer = answer_case(CASE | {"within_s": 0.001})
    assert "the coarser answers" in answer["caveats"][0]
    assert answer["per_run"][0]["T25_at_arc_off_C"] == pytest.approx(94.7, abs=2.0)
    assert 0 < answer["error_met"]["T25_K"] < 3


def test_progress_is_heard_and_stops():
    heard = []
    answer_case(CASE, progress=lambda done_s, of_s: heard.append(done_s / of_s))
    assert heard == sorted(heard) and heard[-1] == 1.0

    def stop(done_s, of_s):
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        answer_case(CASE, progress=stop)


def test_answers_are_plain_json():
    answer = answer_case(changed(["points"], {"a": {"side": "o", "theta_deg": 0, "z_m": 0}}))
    assert json.loads(json.dumps(answer, allow_nan=False)) == answer


def test_a_warm_pipe_never_under_the_limit():
    case = changed(["T_initial_C"], 200.0)
    case["losses"]["T_inf_C"] = 200.0
    run = answer_case(case)["per_run"][0]
    assert run["T25_below_93.3C_time_after_arc_off_s"] is None
    assert run["hot_len_mm"]["outer_427"] > 39


def test_a_feeble_arc_is_never_over():
    case = changed(["schedule", 0, "Q_net_W"], 1.0)
    run = answer_case(case)["per_run"][0]
    assert run["outer_max_below_260C_time_after_arc_off_s"] == 0.0
    assert run["hot_len_mm"]["inner_260"] == 0.0
