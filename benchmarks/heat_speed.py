"""How fast the heat engine is: whole joints, and as ratios in one run to a bare stencil and to finite-element models.

`python -m benchmarks.heat_speed` writes the results. Every time is processor time, the least of several, warm, one core; BLAS has
one thread.

The finite elements are scikit-fem's on the graded grid of `benchmarks.heat_reference` (fine at the arc, coarse away from it), with
the stiffness assembled once and masses lumped, and marched in three ways: as a script would, with a sparse factorisation a step;
tuned, with conjugate gradients and Crank–Nicolson steps; and with our own compiled Chebyshev steps, which is no longer a scikit-fem
model but tells how much of the ratio is interpretation. Each takes the cheapest of a few grids and steps whose error an inch
away, at arc-off and at the end, is no larger than the engine's with the pace of plans. Assembly is not counted, nor the
engine's set-up.
"""

from __future__ import annotations

import json
import math
import os
import subprocess
import sys
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Any

import numpy as np
from numba import njit

from benchmarks.heat_reference.cases import TITANIUM, case
from benchmarks.heat_reference.grids import grid_of
from benchmarks.heat_reference.implicit import direct, implicit, iterative
from benchmarks.heat_reference.solve import march, solve
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
    "short", outer_mm=60.3, wall_mm=5.5, half_mm=150, metal=TITANIUM, runs=[(0, 0, 45, 1.579, 560)], end_s=30,
)  # fmt: skip


def least_s(work: Callable[[], Any], times: int) -> float:
    """The least of several goes."""
    found = []
    for _ in range(times):
        began = time.process_time()
        work()
        found.append(time.process_time() - began)
    return min(found)


def asked() -> HeatCase:
    """The short case as the engine takes it."""
    return read_case({key: value for key, value in SHORT.items() if key != "reference"})


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


def stencil_s(cell_stages: int, rings: int, around: int) -> float:
    """Time of a bare sweep over as many cell-stages, on a block as large as a joint's grid at its end."""
    block = np.ones((5, max(3, round(rings / 3)) + 2, around + 2))
    inside = 3 * (block.shape[1] - 2) * around
    swept(block, block.copy(), 2)
    count = max(20, 4_000_000 // inside)
    return least_s(lambda: swept(block, block.copy(), count), 9) / (count * inside) * cell_stages


Found = tuple[tuple[float, float], float]  # °C at arc-off and at the end, seconds


def _compiled(member: int) -> Found:
    mesh = grid_of(SHORT, member)
    began = time.process_time()
    run = march(SHORT, mesh, member, lambda t: None)
    taken = time.process_time() - began
    at_off = int(np.abs(run.time_s - SHORT["schedule"][0]["t_end_s"]).argmin())
    return (float(run.place_C[at_off, -1]), float(run.place_C[-1, -1])), taken


WAYS: dict[str, list[tuple[str, Callable[[], Found]]]] = {
    "scikit-fem, a factorisation a step": [
        (f"{m}/9 of the grid, {n} steps a second", partial(implicit, SHORT, m, n, direct)) for m, n in ((4, 2), (4, 4), (6, 4))
    ],
    "scikit-fem, conjugate gradients": [
        (f"{m}/9 of the grid, {n} steps a second", partial(implicit, SHORT, m, n, iterative))
        for m, n in ((2, 1), (3, 1), (3, 2), (4, 1), (4, 2), (4, 4), (6, 2), (6, 4))
    ],
    "scikit-fem's matrices, our compiled steps": [
        (f"{m}/9 of the grid, {m} steps a second", partial(_compiled, m)) for m in (2, 3, 4, 6)
    ],
}  # fmt: skip


def elements() -> dict[str, Any]:
    """A run of 15 s and 15 s after it by the engine and by finite elements, at equal error an inch away."""
    medium, fine = (_two(solve(SHORT, member)) for member in (6, 9))
    exact = [b + (b - a) / 1.25 for a, b in zip(medium, fine, strict=True)]
    asked = SHORT_ASKED
    whole = body(
        metal=asked.metal,
        section=plain_section(outer_diameter_m=asked.outer_diameter_m, wall_m=asked.wall_m, half_length_m=asked.half_length_m),
        radius_m=asked.outer_diameter_m / 2, losses=asked.losses, start_K=asked.start_K, sigma_m=asked.sigma_m,
    )  # fmt: skip
    probes = [Probe(asked.runs[0].to_rad, 0.0254)]

    def engine() -> tuple[float, float]:
        seen = marched(whole, runs=asked.runs, until_s=asked.end_s, probes=probes).seen
        at_off = float(np.interp(asked.runs[0].stop_s, seen.time_s, seen.probe_K[:, 0]))
        return at_off - 273.15, float(seen.probe_K[-1, 0]) - 273.15

    def error(found: tuple[float, float]) -> float:
        return max(abs(a - b) for a, b in zip(found, exact, strict=True))

    own_error, own_s = error(engine()), least_s(engine, 40)
    rows = [
        {**row, "way": way, "ratio": round(row["seconds"] / own_s)}
        for way, tried in WAYS.items() for row in [_tuned(tried, error, own_error)]
    ]  # fmt: skip
    return {"engine_s": round(own_s, 6), "engine_error_K": round(own_error, 3), "exact_C": exact, "models": rows}


def _tuned(
    tried: list[tuple[str, Callable[[], Found]]], error: Callable[[tuple[float, float]], float], allowed_K: float
) -> dict[str, Any]:  # fmt: skip
    """The first, and so the cheapest, that is good enough; the last if none is."""
    for told, work in tried:
        found, taken = work()
        if error(found) <= allowed_K or told == tried[-1][0]:
            break
    best = taken if taken > 10 else min(taken, work()[1], work()[1])
    return {"tuned_to": told, "seconds": round(best, 3), "error_K": round(error(found), 3)}


def _two(answer: dict[str, Any]) -> tuple[float, float]:
    return float(answer["per_run"][0]["T25_at_arc_off_C"]), float(answer["T_C"]["r1_end_z25o"][-1])


def preview_s() -> float:
    """An instant preview by Green's function."""
    ring = Ring(0.0603, 0.0055, 0.2, 19.6, 2.7e6, 25.0, 12.0, 293.15)
    run = ArcRun(0.0, 30.0, 0.0, 1.5, 560.0)
    return least_s(lambda: preview(ring=ring, runs=[run], limit_K=366.45, release_K=533.15, reading_z_m=0.0254), 20)


def memory_MB() -> float:
    """The most that a process held which marched NPS 24, with all that this file imports."""
    lines = (
        "import resource",
        "from benchmarks.heat_speed import JOINTS, joint",
        "joint(*JOINTS['NPS 24, six passes'])",
        "print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss)",
    )
    root = Path(__file__).parents[1]
    told = subprocess.run(
        [sys.executable, "-c", "\n".join(lines)], capture_output=True, text=True, check=True, cwd=root
    )
    return round(int(told.stdout) / 1024)


def measured() -> dict[str, Any]:
    """Everything in one run."""
    joint(*JOINTS["NPS 2, four passes"][:2], 1, 0.2)
    rows = []
    for name, pipe in JOINTS.items():
        state = joint(*pipe)[1]
        taken = least_s(partial(joint, *pipe), 5 if pipe[0] < 0.2 else 2)
        bare = stencil_s(state.cell_stages, *state.enthalpy_J_m3.shape)
        rows.append(
            {
                "joint": name, "seconds": round(taken, 4), "wanted_s": WANTED_S.get(name), "real_s": round(state.time_s),
                "cell_stages": state.cell_stages, "stencil_s": round(bare, 4), "over_stencil": round(taken / bare, 2),
            }
        )  # fmt: skip
    return {"memory_NPS_24_MB": memory_MB(), "joints": rows, "preview_s": round(preview_s(), 5), "elements": elements()}


def main() -> None:
    """Measure with one thread, and write."""
    if os.environ.get("OPENBLAS_NUM_THREADS") != "1":
        os.execve(
            sys.executable, [sys.executable, "-m", "benchmarks.heat_speed"], {**os.environ, "OPENBLAS_NUM_THREADS": "1"}
        )
    commit = subprocess.run(["git", "rev-parse", "--short", "HEAD"], capture_output=True, text=True, check=False).stdout
    told = {"commit": commit.strip() or "unknown", **measured()}
    path = Path(__file__).parent / "results/heat_speed.json"
    path.write_text(json.dumps(told, indent=1, ensure_ascii=False) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
