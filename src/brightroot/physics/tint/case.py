"""A tint-growth case in JSON: the film and the oxygen dose at the end of a temperature history."""

from __future__ import annotations

import itertools
import math
from collections.abc import Mapping
from typing import Any

from brightroot.base.errors import Refused
from brightroot.physics.fields import known, number, numbers, one_of
from brightroot.physics.tint.dose import hot_time_s
from brightroot.physics.tint.growth import film_after_m

ROOM_K = 298.0
PIECE_K = 2.0
GAS = {
    "ppm_O2": (0.0, 1e6),
    "ppm_H2O": (0.0, 1e6),
    "Sh": (0.0, 1e4),
    "L_m": (1e-4, 10.0),
    "Q_J_per_mol": (0.0, 1e6),
    "kp600_nm2_per_s": (1e-9, 1e9),
    "x0_nm": (0.0, 1e5),
}


def answer_growth_case(case: Mapping[str, Any]) -> dict[str, Any]:
    """`x_end_nm` and `dose_ppm_s` of one case: boundary-layer supply, dose above 873.15 K.

    >>> gas = {"ppm_O2": 20, "ppm_H2O": 0, "Sh": 5.2, "L_m": 0.02, "Q_J_per_mol": 150e3, "kp600_nm2_per_s": 11.7, "x0_nm": 3}
    >>> answer = answer_growth_case({"kind": "iso", "T_start_K": 1200, "t_end_s": 10, **gas})
    >>> round(answer["x_end_nm"], 3), answer["dose_ppm_s"]
    (4.564, 200.0)
    """
    history, gas = _history(case)
    film = film_after_m(
        history_s_K=history, oxygen_frac=gas["ppm_O2"] * 1e-6, moisture_frac=gas["ppm_H2O"] * 1e-6,
        first_film_m=gas["x0_nm"] * 1e-9, activation_J_mol=gas["Q_J_per_mol"], kp600_m2_s=gas["kp600_nm2_per_s"] * 1e-18,
        sherwood_1=gas["Sh"], surface_m=gas["L_m"],
    )  # fmt: skip
    hot_s = _cooling_hot_s(case) if case.get("kind") == "cool" else hot_time_s(history)
    return {"x_end_nm": film * 1e9, "dose_ppm_s": (gas["ppm_O2"] + gas["ppm_H2O"] / 2) * hot_s}


def _history(case: Mapping[str, Any]) -> tuple[list[tuple[float, float]], dict[str, float]]:
    if isinstance(case, Mapping) and "t_s" in case:
        table = known(case, field="", needed=("t_s", "T_K", *GAS), allowed=("t_end_s",))
        history = _given(table)
    else:
        table = known(case, field="", needed=("kind", "T_start_K", "t_end_s", *GAS), allowed=("tau_s",))
        start = number(table, "T_start_K", field="", low=200.0, high=3000.0)
        end = number(table, "t_end_s", field="", low=0.0, high=1e8)
        kind = one_of(table, "kind", field="", names=("iso", "cool"))
        history = [(0.0, start), (end, start)] if kind == "iso" else _cooling(start, _tau(table), end)
    return history, {name: number(table, name, field="", low=low, high=high) for name, (low, high) in GAS.items()}


def _tau(table: Mapping[str, Any]) -> float:
    if "tau_s" not in table:
        raise Refused(field="tau_s", wanted="this key", got="nothing", reason="refused.missing_key")
    return number(table, "tau_s", field="", low=1e-3, high=1e7)


def _cooling(start_K: float, tau_s: float, end_s: float) -> list[tuple[float, float]]:
    """Points on the cooling curve, a couple of kelvin apart, and more where it is nearly straight."""
    count = max(200, math.ceil(abs(start_K - ROOM_K) / PIECE_K))
    last = math.exp(-end_s / tau_s)
    points = []
    for n in range(count + 1):
        left = 1 - (1 - last) * n / count
        seconds = min(end_s, -tau_s * math.log(left)) if left > 0 else end_s
        points.append((seconds if n < count else end_s, ROOM_K + (start_K - ROOM_K) * left))
    return points


def _cooling_hot_s(case: Mapping[str, Any]) -> float:
    start, tau, end = float(case["T_start_K"]), float(case["tau_s"]), float(case["t_end_s"])
    if start <= 873.15:
        return 0.0
    return min(end, tau * math.log((start - ROOM_K) / (873.15 - ROOM_K)))


def _given(table: Mapping[str, Any]) -> list[tuple[float, float]]:
    times = numbers(table, "t_s", field="", low=-1e8, high=1e8, rising=True)
    metal = numbers(table, "T_K", field="", low=200.0, high=3000.0)
    if len(times) != len(metal):
        raise Refused(field="T_K", wanted=f"{len(times)} numbers", got=str(len(metal)), reason="refused.case")
    history = list(zip(times, metal, strict=True))
    if "t_end_s" not in table:
        return history
    end = number(table, "t_end_s", field="", low=times[0], high=times[-1])
    kept = [point for point in history if point[0] < end]
    for (t0, k0), (t1, k1) in itertools.pairwise(history):
        if t0 < end <= t1:
            kept.append((end, k0 + (k1 - k0) * (end - t0) / (t1 - t0)))
    return kept
