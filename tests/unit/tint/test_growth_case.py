import math

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from brightroot.base.errors import Refused
from brightroot.physics.tint.case import answer_growth_case

GAS = {
    "ppm_O2": 100.0,
    "ppm_H2O": 40.0,
    "Sh": 5.2,
    "L_m": 0.02,
    "Q_J_per_mol": 150e3,
    "kp600_nm2_per_s": 11.7,
    "x0_nm": 3.0,
}
COOL = {"kind": "cool", "T_start_K": 1500.0, "tau_s": 12.0, "t_end_s": 60.0, **GAS}


def by_solver(case, hot_at):
    def rate(t, x):
        hot = hot_at(t)
        mid = (hot + 300) / 2
        kp = case["kp600_nm2_per_s"] * math.exp(-case["Q_J_per_mol"] / 8.314462618 * (1 / hot - 1 / 873.15))
        supply = case["Sh"] * 0.20e-4 * (mid / 300) ** 1.7 / case["L_m"] * 101325 / (8.314462618 * mid)
        supply *= (case["ppm_O2"] + case["ppm_H2O"] / 2) * 1e-6 * 19.5e-6 * 1e9
        return 1 / (2 * x / kp + 1 / supply)

    return solve_ivp(
        rate, (0, case["t_end_s"]), [case["x0_nm"]], method="LSODA", rtol=1e-10, atol=1e-13
    ).y[0, -1]  # fmt: skip


@pytest.mark.parametrize("x0_nm", [0.0, 3.0])
@pytest.mark.parametrize("kind", ["iso", "cool"])
@pytest.mark.parametrize(("ppm", "start", "tau", "end"), [(5, 900, 5, 3), (100, 1500, 12, 60), (1e5, 1900, 200, 2000)])
def test_within_1e_4_of_a_solver(kind, ppm, start, tau, end, x0_nm):
    case = COOL | {
        "kind": kind, "ppm_O2": ppm, "T_start_K": start, "tau_s": tau, "t_end_s": end, "x0_nm": x0_nm
    }  # fmt: skip
    wanted = by_solver(case, lambda t: 298 + (start - 298) * math.exp(-t / tau) if kind == "cool" else start)
    assert answer_growth_case(case)["x_end_nm"] == pytest.approx(wanted, rel=1e-4)


def test_dose():
    assert answer_growth_case(COOL)["dose_ppm_s"] == pytest.approx(120 * 12 * math.log((1500 - 298) / (873.15 - 298)))
    assert answer_growth_case(COOL | {"T_start_K": 800.0})["dose_ppm_s"] == 0.0
    assert answer_growth_case(COOL | {"kind": "iso"})["dose_ppm_s"] == pytest.approx(120 * 60)


def test_a_history_says_the_same_as_its_curve():
    times = np.linspace(0, 60, 3001)
    given = {"t_s": times.tolist(), "T_K": (298 + 1202 * np.exp(-times / 12)).tolist(), **GAS}
    curve, history = answer_growth_case(COOL), answer_growth_case(given)
    assert history["x_end_nm"] == pytest.approx(curve["x_end_nm"], rel=1e-5)
    assert history["dose_ppm_s"] == pytest.approx(curve["dose_ppm_s"], rel=1e-5)
    cut = answer_growth_case(given | {"t_end_s": 5.005})
    assert cut["x_end_nm"] == pytest.approx(answer_growth_case(COOL | {"t_end_s": 5.005})["x_end_nm"], rel=1e-5)


def test_nothing_happens_in_no_time():
    answer = answer_growth_case(COOL | {"t_end_s": 0.0})
    assert answer["x_end_nm"] == pytest.approx(3.0) and answer["dose_ppm_s"] == 0.0


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"kind": "warm"}, "kind: wanted iso or cool"),
        ({"ppm_02": 3.0}, r"ppm_02: wanted no such key; got 'ppm_02' \(near: .*ppm_O2"),
        ({"x0_nm": -1}, "x0_nm: wanted a number from 0"),
        ({"tau_s": 0}, "tau_s: wanted a number"),
        ({"L_m": "20"}, "L_m: wanted a number"),
        ({"T_start_K": float("inf")}, "T_start_K: .*got 'inf'"),
        ({"t_s": [0, 1]}, "kind: wanted no such key"),
    ],
)
def test_refused(change, says):
    with pytest.raises(Refused, match=says):
        answer_growth_case(COOL | change)


def test_a_missing_time_constant_is_refused():
    with pytest.raises(Refused, match="tau_s: wanted this key"):
        answer_growth_case({key: value for key, value in COOL.items() if key != "tau_s"})


@pytest.mark.parametrize(
    ("t_s", "metal_K", "says"),
    [
        ([0, 1, 1], [900, 900, 900], "t_s: wanted rising"),
        ([0, 1], [900], "T_K: wanted two"),
        ([0, 1, 2], [900, 900], "T_K: wanted 3"),
    ],
)
def test_a_broken_history_is_refused(t_s, metal_K, says):
    with pytest.raises(Refused, match=says):
        answer_growth_case({"t_s": t_s, "T_K": metal_K, **GAS})


@pytest.mark.parametrize("given", [[], None, "x"])
def test_not_even_an_object(given):
    with pytest.raises(Refused, match="wanted an object"):
        answer_growth_case(given)


def drawn(chance):
    gas = {
        "ppm_O2": float(10 ** chance.uniform(0, 5.3)), "ppm_H2O": float(chance.choice([0, 10 ** chance.uniform(0, 4)])),
        "Sh": float(chance.uniform(1, 20)), "L_m": float(chance.uniform(0.003, 0.1)),
        "Q_J_per_mol": float(chance.choice([110e3, 150e3, 250e3])),
        "kp600_nm2_per_s": float(10 ** chance.uniform(0, 2.5)), "x0_nm": float(chance.choice([0, 3, 20])),
    }  # fmt: skip
    cool = {"kind": "cool", "T_start_K": float(chance.uniform(500, 1950)), "tau_s": float(10 ** chance.uniform(0, 2.5))}
    return {**cool, "t_end_s": float(10 ** chance.uniform(0, 3)), **gas}


@pytest.mark.parametrize("seed", range(12))
def test_random_cases_within_1e_4_of_a_solver(seed):
    case = drawn(np.random.default_rng(seed))
    start, tau = case["T_start_K"], case["tau_s"]
    wanted = by_solver(case, lambda t: 298 + (start - 298) * math.exp(-t / tau))
    assert answer_growth_case(case)["x_end_nm"] == pytest.approx(wanted, rel=1e-4)
