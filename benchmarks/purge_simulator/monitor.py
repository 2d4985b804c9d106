"""The oxygen monitor and whoever types its numbers: late, noisy, limited in range, rounded, now and then stuck."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
AIR_PPM = 209_460.0


@dataclass(frozen=True)
class Monitor:
    """The monitor as it is. What the case tells of it is `nominal`, and that need not be so."""

    lag_s: float = 8.0
    second_lag_s: float = 2.0
    delay_s: float = 4.0
    noise_rel_1: float = 0.03
    noise_abs_ppm: float = 1.0
    gain_1: float = 1.0
    offset_ppm: float = 0.0
    drift_ppm_h: float = 0.0
    low_ppm: float = 1.0
    over_ppm: float = AIR_PPM
    line_air_ppm: float = 0.0  # what a leak of the sample line adds
    line_open_s: tuple[float, float] | None = None
    frozen_from_s: float | None = None


def indication(gas_ppm: Floats, monitor: Monitor) -> Floats:
    """What the monitor's cell sees, second by second, free of noise: two lags behind gas that is late by the delay."""
    seconds = np.arange(gas_ppm.size, dtype=float)
    come = np.interp(seconds - monitor.delay_s, seconds, gas_ppm) + monitor.line_air_ppm
    if monitor.line_open_s is not None:
        opened, closed = monitor.line_open_s
        come = np.where((seconds >= opened) & (seconds < closed), AIR_PPM, come)
    return _lagged(_lagged(come, monitor.second_lag_s), monitor.lag_s)


def _lagged(come: Floats, lag_s: float) -> Floats:
    """A first-order lag, exact for a straight line between whole seconds."""
    if lag_s <= 0:
        return come
    keep = math.exp(-1 / lag_s)
    early, late = lag_s * (1 - keep) - keep, 1 - lag_s * (1 - keep)
    seen = np.empty_like(come)
    seen[0] = come[0]
    for n in range(1, come.size):
        seen[n] = keep * seen[n - 1] + early * come[n - 1] + late * come[n]
    return seen


def readings(
    seen_ppm: Floats, monitor: Monitor, *, times_s: Floats, rng: np.random.Generator
) -> list[dict[str, object]]:
    """The typed readings at those times."""
    rows: list[dict[str, object]] = []
    stuck: dict[str, object] | None = None
    for at_s in times_s:
        ppm = float(np.interp(at_s, np.arange(seen_ppm.size), seen_ppm))
        ppm = ppm * monitor.gain_1 + monitor.offset_ppm + monitor.drift_ppm_h * at_s / 3600
        ppm += rng.normal() * monitor.noise_rel_1 * ppm + rng.normal() * monitor.noise_abs_ppm
        row = typed(ppm, monitor)
        if monitor.frozen_from_s is not None and at_s >= monitor.frozen_from_s:
            stuck = stuck or row
            row = stuck
        rows.append({"t_s": float(at_s), **row})
    return rows


def typed(ppm: float, monitor: Monitor) -> dict[str, object]:
    """Three figures, whole ppm; at a limit the limit, with its flag."""
    if ppm >= monitor.over_ppm:
        return {"ppm": monitor.over_ppm, "flag": "over"}
    if ppm <= monitor.low_ppm:
        return {"ppm": monitor.low_ppm, "flag": "under"}
    figures = float(f"{ppm:.3g}")
    shown = float(round(figures))
    return {"ppm": min(max(shown, monitor.low_ppm), monitor.over_ppm), "flag": "ok"}
