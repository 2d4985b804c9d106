"""A metal as the finite volumes see it: temperature and conduction potential against enthalpy, latent heats included."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from brightroot.base.errors import Refused

Array = NDArray[np.float64]
COLDEST_K = 200.0
HOTTEST_K = 6000.0  # beyond, the last slope holds; a pool is never reported
ROWS = 8192
FINE_dK = 0.25
CLEAR_dK = 120.0


@dataclass(frozen=True, slots=True)
class Latent:
    """Heat taken up between two temperatures in addition to the specific heat."""

    from_K: float
    to_K: float
    heat_J_kg: float


@dataclass(frozen=True, eq=False, slots=True)
class Metal:
    """Tables on an even grid of enthalpy in J/m³ (zero at `COLDEST_K`): temperature in K, potential ∫k dT in W/m."""

    step_J_m3: float
    temperature_K: Array
    potential_W_m: Array
    even_J_m3: float  # below this nothing melts or transforms

    def enthalpy_J_m3(self, temperature_K: float) -> float:
        """Enthalpy at a temperature; in the middle of a melting range, of what is half melted."""
        rows = np.arange(self.temperature_K.size)
        return float(np.interp(temperature_K, self.temperature_K, rows) * self.step_J_m3)


def metal(
    *, density_kg_m3: float, conductivity: tuple[Sequence[float], Sequence[float]],
    specific_heat: tuple[Sequence[float], Sequence[float]], latent: Sequence[Latent] = (),
) -> Metal:  # fmt: skip
    """Tables from k (K, W/mK) and c (K, J/kgK), straight between their points and constant outside.

    Exact at the rows (0.9 K apart for titanium), straight between. Raises Refused for a latent heat over no range.

    >>> ti = metal(density_kg_m3=4510.0, conductivity=([300.0], [20.0]), specific_heat=([300.0], [600.0]))
    >>> round(ti.enthalpy_J_m3(400.0) - ti.enthalpy_J_m3(300.0))
    270600000
    """
    for heat in latent:
        if heat.to_K <= heat.from_K:
            raise Refused(
                field="latent", wanted=f"an end above {heat.from_K - 273.15:g} °C", got=f"{heat.to_K - 273.15:g} °C"
            )
    own = [x for heat in latent for x in (heat.from_K, heat.to_K)]
    at = np.unique([*np.arange(COLDEST_K, HOTTEST_K, FINE_dK), *conductivity[0], *specific_heat[0], *own, HOTTEST_K])
    at = at[(at >= COLDEST_K) & (at <= HOTTEST_K)]
    warmth = density_kg_m3 * np.interp(at, *specific_heat)
    conducts = np.interp(at, *conductivity)
    middle = (at[1:] + at[:-1]) / 2
    gained = np.diff(at) * (warmth[1:] + warmth[:-1]) / 2
    for heat in latent:
        inside = (middle > heat.from_K) & (middle < heat.to_K)
        gained[inside] += np.diff(at)[inside] * density_kg_m3 * heat.heat_J_kg / (heat.to_K - heat.from_K)
    enthalpy = np.concatenate([[0.0], np.cumsum(gained)])
    potential = np.concatenate([[0.0], np.cumsum(np.diff(at) * (conducts[1:] + conducts[:-1]) / 2)])
    grid = np.linspace(0.0, enthalpy[-1], ROWS)
    found = np.interp(grid, enthalpy, potential)
    step = float(grid[1])
    even_K = min((heat.from_K for heat in latent), default=HOTTEST_K) - CLEAR_dK
    return Metal(step, np.interp(grid, enthalpy, at), found, float(np.interp(even_K, at, enthalpy)))
