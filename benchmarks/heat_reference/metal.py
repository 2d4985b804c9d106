"""A metal's enthalpy, temperature and ∫k dT as tables, from the case's own table and latent heats."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

ZERO_C_K = 273.15


class Metal:
    """Enthalpy in J/m³ on an even grid, with temperature and ∫k dT."""

    def __init__(self, material: Mapping[str, Any]) -> None:
        kelvin = np.arange(150.0, 9000.0, 0.2)
        if "k_const" in material:
            conducts, warmth = np.full(kelvin.size, material["k_const"]), np.full(kelvin.size, material["cp_const"])
        else:
            conducts = np.interp(kelvin - ZERO_C_K, material["k_T_C"], material["k_W_mK"])
            warmth = np.interp(kelvin - ZERO_C_K, material["cp_T_C"], material["cp_J_kgK"])
        middle = (kelvin[1:] + kelvin[:-1]) / 2 - ZERO_C_K
        gained = np.diff(kelvin) * (warmth[1:] + warmth[:-1]) / 2
        for heat in material.get("latent", []):
            inside = (middle > heat["T1_C"]) & (middle < heat["T2_C"])
            gained[inside] += heat["J_per_kg"] / inside.sum()
        held = material["rho"] * np.concatenate([[0.0], np.cumsum(gained)])
        theta = np.concatenate([[0.0], np.cumsum((conducts[1:] + conducts[:-1]) / 2 * np.diff(kelvin))])
        even = np.linspace(0.0, held[-1], 100_001)
        self.step = float(even[1])
        self.kelvin, self.theta = np.interp(even, held, kelvin), np.interp(even, held, theta)
        self.steepest = float(np.diff(self.theta).max() / self.step)
        self._kelvin, self._held = kelvin, held

    def enthalpy(self, kelvin: float) -> float:
        """At a temperature."""
        return float(np.interp(kelvin, self._kelvin, self._held))
