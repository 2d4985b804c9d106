"""An instant look at a few runs before they are planned: Green's function on a full wall, in a few milliseconds."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from brightroot.base.errors import Refused
from brightroot.physics.heat.green import rise_dK
from brightroot.physics.heat.questions import HORIZON_S
from brightroot.physics.heat.ring import ArcRun, Ring
from brightroot.physics.heat.volumes.schedule import hot_length_m, last_below_s

Array = NDArray[np.float64]
LOOKS_S = np.concatenate([[0.0], np.geomspace(3.0, HORIZON_S, 32)])
FIRST_S = 300.0  # later looks only where something is still asked
EVEN_1 = 0.7  # wall squared over diffusivity: after so many the faces are alike
ALONG = 13  # places on the run that are asked for the hold
BEHIND = 120  # places round the pipe that are asked for the hot length
ROUND_1 = 0.98  # of the way round
BEGINS_M = 0.02  # the hot zone begins no farther behind the arc


@dataclass(frozen=True, slots=True)
class Preview:
    """After the last run, times from its arc-off. None: not within four hours, or hot all the way round."""

    reading_at_arc_off_K: float
    reading_peak_K: float
    peak_after_s: float
    hold_s: float | None
    wait_s: float | None
    hot_length_outer_m: float | None
    hot_length_inner_m: float | None


def preview(*, ring: Ring, runs: Sequence[ArcRun], limit_K: float, release_K: float, reading_z_m: float) -> Preview:
    """What the last of the runs leaves behind. Full wall, constant properties, read beside the crater: a plan knows better.

    Against the same function looked at every half second: 0.3 K at the probe, 0.5 % of hold and wait (over 5 s), 0.3 mm of
    hot length. Raises Refused without a run.

    >>> ring = Ring(0.0889, 0.00549, 0.15, 20.0, 2.7e6, 12.0, 8.0, 298.15)
    >>> seen = preview(ring=ring, runs=[ArcRun(0.0, 33.25, 0.0, 1.0472, 680.0)], limit_K=366.45, release_K=533.15,
    ...     reading_z_m=0.0254)
    >>> round(seen.reading_peak_K - 273.15, -1), round(seen.peak_after_s), round(seen.hold_s), round(seen.wait_s)
    (180.0, 19, 43, 133)
    """
    if not runs:
        raise Refused(field="runs", wanted="one run or more", got="none")
    limit, release = limit_K - ring.ambient_K, release_K - ring.ambient_K
    probe, weld = _looked(ring, runs, LOOKS_S[LOOKS_S <= FIRST_S], reading_z_m)
    if probe[-1] > limit or probe[-1] == probe.max() or weld[-1] > release:
        later = _looked(ring, runs, LOOKS_S[LOOKS_S > FIRST_S], reading_z_m)
        probe, weld = np.append(probe, later[0]), np.append(weld, later[1])
    peak_s, peak_dK = _peak(probe)
    outer, inner = (_hot_length(ring, runs, side, release) for side in ("outside", "inside"))
    return Preview(
        ring.ambient_K + float(probe[0]), ring.ambient_K + peak_dK, peak_s, _until_s(weld, release), _until_s(probe, limit),
        outer, inner,
    )  # fmt: skip


def _looked(ring: Ring, runs: Sequence[ArcRun], after_s: Array, z_m: float) -> tuple[Array, Array]:
    """Rise at the probe and of the hottest of both faces on the weld, at moments after the last arc-off. One sum serves both."""
    run = runs[-1]
    along = np.linspace(run.to_rad, run.from_rad, ALONG)
    off, places = run.stop_s + np.tile(after_s, 2), np.repeat([z_m, 0.0], after_s.size)
    found = rise_dK(ring=ring, runs=runs, theta_rad=along, z_m=places, side="outside", time_s=off)
    probe, weld = found[: after_s.size, 0], found[after_s.size :].max(axis=1)
    young = after_s < EVEN_1 * ring.wall_m**2 / ring.diffusivity_m2_s
    if young.any():
        soon = run.stop_s + after_s[young]
        root = rise_dK(ring=ring, runs=runs, theta_rad=along, z_m=0.0, side="inside", time_s=soon).max(axis=1)
        weld[young] = np.maximum(weld[young], root)
    return probe, weld


def _peak(rise: Array) -> tuple[float, float]:
    """Moment and height of the highest point: a parabola in the root of time through the looks about the highest."""
    top = int(rise.argmax())
    if top in (0, LOOKS_S.size - 1):
        return float(LOOKS_S[top]), float(rise[top])
    near = slice(top - 1, top + 2)
    root = np.sqrt(LOOKS_S[near])
    curve = np.polyfit(root - root[1], rise[near], 2)
    shift = -curve[1] / (2 * curve[0])
    return float((root[1] + shift) ** 2), float(rise[top] + curve[1] * shift / 2)


def _until_s(rise: Array, limit_dK: float) -> float | None:
    """The last moment over the limit; logs of rise and time lie on a smooth curve."""
    if limit_dK <= 0:
        return None
    logs = np.log(np.maximum(rise, 1e-9))
    found = last_below_s(np.log1p(LOOKS_S[: rise.size]), logs, math.log(limit_dK))
    return None if found is None else math.expm1(found)


def _hot_length(ring: Ring, runs: Sequence[ArcRun], side: str, release_dK: float) -> float | None:
    """Back from the arc at arc-off; looks lie closer together near the arc."""
    run = runs[-1]
    back = ROUND_1 * 2 * np.pi * np.linspace(0.0, 1.0, BEHIND) ** 2
    angles = run.to_rad - math.copysign(1.0, run.sweep_rad) * back
    rise = rise_dK(ring=ring, runs=runs, theta_rad=angles, z_m=0.0, side=side, time_s=[run.stop_s])[0]
    return hot_length_m(back * ring.outer_diameter_m / 2, rise, release_dK, begins_m=BEGINS_M)
