"""The same elements as a script would march them: matrices once, one linear solve a step, nothing compiled of our own."""

from __future__ import annotations

import itertools
import math
import time
from collections.abc import Callable, Mapping
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import diags
from scipy.sparse.linalg import cg, splu

from benchmarks.heat_reference.grids import grid_of
from benchmarks.heat_reference.metal import ZERO_C_K, Metal
from benchmarks.heat_reference.solid import hat_shares

Array = NDArray[np.float64]
Solver = Callable[[Any, Array], Array]
RADIATION = 5.670374419e-8


def direct(matrix: Any, right: Array) -> Array:
    """As `skfem.solve` does where nothing else is asked: a sparse factorisation."""
    return np.asarray(splu(matrix.tocsc()).solve(right))


def iterative(matrix: Any, right: Array) -> Array:
    """Conjugate gradients behind the diagonal."""
    found, failed = cg(matrix, right, rtol=1e-5, M=diags(1 / matrix.diagonal()))
    assert not failed
    return np.asarray(found)


def implicit(
    case: Mapping[str, Any], member: int, steps_a_second: int, solver: Solver, *, later_1: float = 0.5
) -> tuple[tuple[float, float], float]:  # fmt: skip
    """°C an inch away where the arc went off, at arc-off and at the end, and seconds of marching.

    `later_1` is the end's share in a step: 1 is backward Euler, a half Crank and Nicolson; one Newton step each.
    """
    body, metal = grid_of(case, member), Metal(case["material"])
    losses, sigma, outer = case["losses"], case["source"]["sigma_m"], case["geometry"]["OD_m"] / 2
    (run,) = case["schedule"]
    air, volume, counts = losses["T_inf_C"] + ZERO_C_K, body.volume_m3, body.shape
    held = np.full(volume.size, metal.enthalpy(case["T_initial_C"] + ZERO_C_K))
    along = hat_shares(body.places_m, 0.0, sigma)
    along *= run["Q_net_W"] / 2 / along.sum()
    slope = np.diff(metal.theta) / metal.step
    end_rad = math.radians(run["start_deg"] + run["sweep_deg"])
    seen: list[float] = []

    def probe() -> float:
        face = np.interp(held, np.arange(metal.kelvin.size) * metal.step, metal.kelvin).reshape(counts)
        line = face[:, -1, int(np.abs(body.places_m - 0.0254).argmin())]
        return float(np.interp(end_rad, np.append(body.angles_rad, 2 * np.pi), np.append(line, line[0]))) - ZERO_C_K

    began = time.process_time()
    marks = [0.0, run["t_end_s"], case["t_end_s"]]
    for start, stop in itertools.pairwise(marks):
        steps = max(1, round((stop - start) * steps_a_second))
        dt = (stop - start) / steps
        for n in range(steps):
            row = np.clip((held / metal.step).astype(int), 0, slope.size - 1)
            theta = metal.theta[row] + (held - row * metal.step) * slope[row]
            kelvin = metal.kelvin[row]
            gained = -(body.stiffness @ theta)
            for area, name in ((body.outer_m2, "outer"), (body.inner_m2, "inner")):
                radiant = losses[f"emissivity_{name}"] * RADIATION * (kelvin**4 - air**4)
                gained -= area * (losses[f"h_{name}"] * (kelvin - air) + radiant)
            if start == 0.0:
                share = (n + 0.5) / steps
                place = math.radians(run["start_deg"] + run["sweep_deg"] * share) * outer
                wide = hat_shares(body.angles_rad * outer, place % (2 * np.pi * outer), sigma, turn=2 * np.pi * outer)
                fed = np.zeros(counts)
                fed[:, -1] = (wide / wide.sum())[:, None] * along[None, :]
                gained += fed.ravel()
            matrix = (diags(volume / dt / slope[row]) + later_1 * body.stiffness).tocsr()
            held = held + dt / volume * (gained - later_1 * (body.stiffness @ solver(matrix, gained)))
        seen.append(probe())
    return (seen[0], seen[-1]), time.process_time() - began
