"""Films of many histories at once, each with its low and its high end: the forecast of a whole joint in milliseconds."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np

from brightroot.base.formula import FORMULAS, Band
from brightroot.base.spectrum import Floats
from brightroot.physics.demand import not_negative
from brightroot.physics.tint.dose import FACTOR
from brightroot.physics.tint.growth import FIRST_FILM_m

COLD_K = 550.0  # below it nothing grows that an eye could see in an hour
PIECES = 60
# low, value and high: supply good to a factor of three, activation energies as published
SUPPLY_1 = (1 / FACTOR, 1.0, FACTOR)
ACTIVATION_J_mol = (110e3, 150e3, 250e3)
History = Sequence[tuple[float, float]]


def films_after_m(
    *, histories_s_K: Sequence[History], oxygen_frac: float, moisture_frac: float = 0.0,
    first_m: Sequence[Band] | None = None,
) -> tuple[Band, ...]:  # fmt: skip
    """Film of each history as a band, in gas of constant purity; a history starts with `first_m`, else with 3 nm.

    The slower of kinetics and supply, as `film_after_m` solves it; within 1 % of it, far inside the band.

    >>> (film,) = films_after_m(histories_s_K=[[(0.0, 900.0), (10.0, 900.0)]], oxygen_frac=20e-6)
    >>> [round(end * 1e9, 1) for end in film]
    [3.4, 4.3, 6.6]
    """
    not_negative(oxygen_frac=oxygen_frac, moisture_frac=moisture_frac)
    if not histories_s_K:
        return ()
    times, metal_K = (np.array(rows) for rows in zip(*(_hot(history) for history in histories_s_K), strict=True))
    step_s = np.diff(times, axis=1)[:, :, None]
    middle_K = (metal_K[:, 1:] + metal_K[:, :-1])[:, :, None] / 2
    kinetic, supply = _paces(middle_K, oxygen_frac=oxygen_frac, moisture_frac=moisture_frac)
    begun = first_m or [Band(FIRST_FILM_m, FIRST_FILM_m, FIRST_FILM_m)] * len(histories_s_K)
    film = np.array([tuple(one) for one in begun])
    for piece in range(PIECES):
        k, r, dt = kinetic[:, piece], supply[:, piece], step_s[:, piece]
        ease = 2 * film / k + 1 / r
        film = film + 2 * dt / (ease + np.sqrt(ease * ease + 4 * dt / k))
    return tuple(Band(*(float(end) for end in row)) for row in film)


def _paces(middle_K: Floats, *, oxygen_frac: float, moisture_frac: float) -> tuple[Floats, Floats]:
    """kp in m²/s and supply in m/s for low, value and high."""
    kp600 = FORMULAS["tint.growth.kinetic_m2_s"].function
    supply_at: Callable[..., float] = FORMULAS["tint.growth.supply_m_s"].function
    at_600 = [kp600(metal_K=873.15, activation_J_mol=q) for q in ACTIVATION_J_mol]
    lean = np.array(ACTIVATION_J_mol) / 8.314462618
    kinetic = np.array(at_600) * np.exp(-lean * (1 / middle_K - 1 / 873.15))
    # the supply's card takes one temperature: its shape over temperature is (T + 300)^0.7, its size is asked once
    one = supply_at(metal_K=873.15, oxygen_frac=oxygen_frac, moisture_frac=moisture_frac)
    shape = ((middle_K + 300) / (873.15 + 300)) ** 0.7
    return kinetic, np.maximum(one * shape * np.array(SUPPLY_1), 1e-30)


def _hot(history: History) -> tuple[Floats, Floats]:
    """The stretch of a history from its first to its last hot moment, cut evenly; one with no hot moment stands still."""
    times, metal_K = (np.array(column, dtype=float) for column in zip(*history, strict=True))
    hot = np.flatnonzero(metal_K > COLD_K)
    if not len(hot):
        return np.linspace(0.0, 0.0, PIECES + 1), np.full(PIECES + 1, 300.0)
    first, last = max(0, hot[0] - 1), min(len(times) - 1, hot[-1] + 1)
    # cut by the square: more pieces where the metal is hottest: at first, right after the arc
    share = np.linspace(0.0, 1.0, PIECES + 1)
    peak_s = float(times[first : last + 1][int(np.argmax(metal_K[first : last + 1]))])
    rising = _towards(float(times[first]), peak_s, share[::2], bend=-1)
    falling = _towards(peak_s, float(times[last]), share[::2], bend=1)
    at = np.concatenate([rising, falling[1:]])
    return at, np.interp(at, times, metal_K)


def _towards(start_s: float, end_s: float, share: Floats, *, bend: int) -> Floats:
    bent = share**2 if bend > 0 else 1 - (1 - share) ** 2
    return start_s + (end_s - start_s) * bent
