"""How fast the heat engine is: whole joints, and as ratios in one run to a bare stencil and to a finite-element model.

Each time is the least of several, warm, on one core. The finite-element model is `benchmarks.heat_reference`: stiffness
assembled once, masses lumped, Chebyshev steps, its grid chosen as the coarsest whose error an inch away is no larger than
the engine's. A plain model (implicit steps, a direct solve a step, the same grid) is told beside it.
"""

from __future__ import annotations

import math
import time
from collections.abc import Callable
from functools import partial
from typing import Any

import numpy as np
from numba import njit

from benchmarks.heat_reference.cases import TITANIUM, case
from benchmarks.heat_reference.solve import Metal, grid_of, solve
from brightroot.physics.heat.case import HeatCase, read_case
from brightroot.physics.heat.preview import preview
from brightroot.physics.heat.ring import ArcRun, Ring
from brightroot.physics.heat.volumes.body import Body, Heated, Losses, Probe, advanced, at_rest, body
from brightroot.physics.heat.volumes.schedule import marched
from brightroot.physics.heat.volumes.wall import plain_section

LIMIT_K = 366.45
JOINTS = {  # pipe, wall, passes, half length
    "NPS 2, four passes": (0.0603, 0.0055, 4, 0.2),
    "NPS 4, four passes": (0.1143, 0.00602, 4, 0.2),
    "NPS 12, six passes": (0.3239, 0.00953, 6, 0.3),
    "NPS 24, six passes": (0.6096, 0.00953, 6, 0.3),
}
WANTED_S = {"NPS 2, four passes": 0.08, "NPS 4, four passes": 0.15, "NPS 12, six passes": 1.0}
SHORT = case(
    "short", outer_mm=60.3, wall_mm=5.5, half_mm=150, metal=TITANIUM, runs=[(0, 0, 45, 1.579, 560)], end_s=30, step_mm=0.6,
    layers=8,
)  # fmt: skip


def least_s(work: Callable[[], Any], times: int) -> float:
    """The least of several goes."""
    found = []
    for _ in range(times):
        began = time.perf_counter()
        work()
        found.append(time.perf_counter() - began)
    return min(found)


def asked() -> HeatCase:
    """The short case as the engine takes it."""
    return read_case({key: value for key, value in SHORT.items() if not key.startswith("reference_")})


def joint(outer_m: float, wall_m: float, passes: int, half_m: float) -> tuple[Body, Heated]:
    """A whole joint: runs of 47 mm opposite each other at 1.5 mm/s, each after the probe has come under 93 °C."""
    whole = body(
        metal=SHORT_ASKED.metal, section=plain_section(outer_diameter_m=outer_m, wall_m=wall_m, half_length_m=half_m),
        radius_m=outer_m / 2, losses=Losses(295.15, 10.0, 0.4, 5.0, 0.3), start_K=295.15,
    )  # fmt: skip
    count = max(4, 2 * round(math.pi * outer_m / 0.045 / 2))
    sweep = 2 * math.pi / count
    last = sweep * outer_m / 2 / 0.0015
    state = at_rest(whole)
    for layer in range(passes):
        for half in range(count // 2):
            for place in (half, half + count // 2):
                arc = ArcRun(0.0, last, place * sweep, sweep, 480.0 if layer == 0 else 650.0)
                probe = [Probe(arc.to_rad, 0.0254)]
                state, _ = advanced(whole, state, until_s=state.time_s + last, arc=arc, probes=probe)
                off, pause = state.time_s, 30.0
                while True:
                    state, seen = advanced(whole, state, until_s=state.time_s + pause, probes=probe)
                    if seen.probe_K[-1, 0] < LIMIT_K or state.time_s - off > 3600:
                        break
                    pause = min(pause * 1.5, 200.0)
    return whole, state


SHORT_ASKED = asked()


@njit(cache=True)
def swept(field: Any, new: Any, times: int) -> None:
    """A bare seven-point sweep with a weight for each way, there and back."""
    for _ in range(times):
        for i in range(1, field.shape[0] - 1):
            for j in range(1, field.shape[1] - 1):
                for k in range(1, field.shape[2] - 1):
                    own = field[i, j, k]
                    new[i, j, k] = (
                        own + 0.1 * (field[i - 1, j, k] - own) + 0.11 * (field[i + 1, j, k] - own)
                        + 0.12 * (field[i, j - 1, k] - own) + 0.13 * (field[i, j + 1, k] - own)
                        + 0.1 * (field[i, j, k - 1] - own) + 0.11 * (field[i, j, k + 1] - own)
                    )  # fmt: skip
        field, new = new, field


def stencil_s(cell_stages: int) -> float:
    """Time of a bare sweep over as many cell-stages, on a block the size of a joint's grid."""
    block = np.ones((5, 17, 50))
    inside = 3 * 15 * 48
    swept(block, block.copy(), 2)
    count = 4000
    return least_s(lambda: swept(block, block.copy(), count), 5) / (count * inside) * cell_stages


def elements() -> dict[str, Any]:
    """The same 15 s run and 15 s wait by the engine and by finite elements, at equal error an inch away."""
    exact = solve(SHORT, 0.7, dt_s=0.05)["per_run"][0]["T25_at_arc_off_C"]
    asked = SHORT_ASKED
    whole = body(
        metal=asked.metal,
        section=plain_section(outer_diameter_m=asked.outer_diameter_m, wall_m=asked.wall_m, half_length_m=asked.half_length_m),
        radius_m=asked.outer_diameter_m / 2, losses=asked.losses, start_K=asked.start_K, sigma_m=asked.sigma_m,
    )  # fmt: skip
    probes = [Probe(asked.runs[0].to_rad, 0.0254)]

    def engine() -> float:
        seen = marched(whole, runs=asked.runs, until_s=asked.end_s, probes=probes).seen
        return float(np.interp(asked.runs[0].stop_s, seen.time_s, seen.probe_K[:, 0])) - 273.15

    own_error = abs(engine() - exact)
    own_s = least_s(engine, 15)
    for grid in (3.0, 2.25, 1.5, 1.0):
        began = time.perf_counter()
        error = abs(solve(SHORT, grid, dt_s=0.25)["per_run"][0]["T25_at_arc_off_C"] - exact)
        taken = time.perf_counter() - began
        if error <= max(own_error, 0.25):
            break
    return {
        "engine_s": own_s, "engine_error_K": round(own_error, 3), "elements_s": taken, "elements_error_K": round(error, 3),
        "elements_grid": grid, "ratio": round(taken / own_s), "plain_ratio": round(plain_s(grid) / own_s),
    }  # fmt: skip


def plain_s(grid: float) -> float:
    """A plain implicit model on the same grid: steps of 0.25 s, the matrix made and solved anew each step."""
    from scipy.sparse import diags
    from scipy.sparse.linalg import spsolve

    mesh, metal = grid_of(SHORT, grid), Metal(SHORT["material"])
    warm = np.full(mesh.volume_m3.size, 293.15)
    began = time.perf_counter()
    steps = 3
    for _ in range(steps):
        conducts = np.interp(warm - 273.15, SHORT["material"]["k_T_C"], SHORT["material"]["k_W_mK"])
        heats = 4510.0 * np.interp(warm - 273.15, SHORT["material"]["cp_T_C"], SHORT["material"]["cp_J_kgK"])
        matrix = diags(heats * mesh.volume_m3 / 0.25) + diags(np.sqrt(conducts)) @ mesh.stiffness @ diags(
            np.sqrt(conducts)
        )
        warm = spsolve(matrix.tocsc(), heats * mesh.volume_m3 / 0.25 * warm)
    assert metal.steepest > 0
    return (time.perf_counter() - began) / steps * float(SHORT["t_end_s"]) / 0.25


def preview_s() -> float:
    """An instant preview by Green's function."""
    ring = Ring(0.0603, 0.0055, 0.2, 19.6, 2.7e6, 25.0, 12.0, 293.15)
    run = ArcRun(0.0, 30.0, 0.0, 1.5, 560.0)
    return least_s(lambda: preview(ring=ring, runs=[run], limit_K=366.45, release_K=533.15, reading_z_m=0.0254), 20)


def measured() -> dict[str, Any]:
    """Everything in one run."""
    joint(*JOINTS["NPS 2, four passes"][:2], 1, 0.2)
    rows = []
    for name, pipe in JOINTS.items():
        state = joint(*pipe)[1]
        taken = least_s(partial(joint, *pipe), 5 if pipe[0] < 0.2 else 2)
        rows.append(
            {
                "joint": name, "seconds": round(taken, 4), "wanted_s": WANTED_S.get(name), "real_s": round(state.time_s),
                "cell_stages": state.cell_stages, "over_stencil": round(taken / stencil_s(state.cell_stages), 2),
            }
        )  # fmt: skip
    return {"joints": rows, "preview_s": round(preview_s(), 5), "elements": elements()}
