"""An instant look at a run before it is planned: Green's function on a full wall, in a few milliseconds."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from brightroot.physics.heat.green import rise_dK
from brightroot.physics.heat.questions import hold_and_wait
from brightroot.physics.heat.ring import ArcRun, Ring

LOOKS_S = np.concatenate([[0.0], np.geomspace(4.0, 60.0, 9)])


@dataclass(frozen=True, slots=True)
class Preview:
    """After the last run: the probe's place at arc-off and at its peak, hold and wait (None: not within four hours)."""

    reading_at_arc_off_K: float
    reading_peak_K: float
    hold_s: float | None
    wait_s: float | None


def preview(*, ring: Ring, runs: Sequence[ArcRun], limit_K: float, release_K: float, reading_z_m: float) -> Preview:
    """What the last of the runs leaves behind. Full wall and constant properties: a plan knows better.

    >>> ring = Ring(0.0889, 0.00549, 0.15, 20.0, 2.7e6, 12.0, 8.0, 298.15)
    >>> seen = preview(ring=ring, runs=[ArcRun(0.0, 33.25, 0.0, 1.0472, 680.0)], limit_K=366.45, release_K=533.15,
    ...     reading_z_m=0.0254)
    >>> round(seen.reading_peak_K - 273.15, -1), round(seen.hold_s)
    (180.0, 43)
    """
    run = runs[-1]
    rise = rise_dK(
        ring=ring, runs=runs, theta_rad=[run.to_rad], z_m=reading_z_m, side="outside", time_s=run.stop_s + LOOKS_S
    )[:, 0]
    ((hold, wait),) = hold_and_wait(
        ring=ring,
        runs=runs,
        limit_K=limit_K,
        release_K=release_K,
        reading_z_m=reading_z_m,
        next_run=None,
        scales_1=(1.0,),
    )
    return Preview(ring.ambient_K + float(rise[0]), ring.ambient_K + float(rise.max()), hold, wait)
