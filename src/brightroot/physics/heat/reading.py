"""One contact reading on the pipe: what the model says there and then, and whether it is still on its way up."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from brightroot.base.errors import OutOfRange
from brightroot.base.formula import formula
from brightroot.base.source import Standing
from brightroot.physics.demand import positive
from brightroot.physics.heat.green import temperature_K
from brightroot.physics.heat.ring import ArcRun, Ring

AHEAD_S = 900.0
RISING_dK = 0.5  # less than this still to come is not worth a second reading


@dataclass(frozen=True, slots=True)
class StillRising:
    """Whether a place is still getting hotter, for how many seconds more, and how hot it gets."""

    rising: bool
    peak_in_s: float  # 0 where it falls already
    peak_K: float


def reading_K(
    *, ring: Ring, runs: Sequence[ArcRun], theta_rad: float, z_m: float, time_s: float, side: str = "outside"
) -> float:
    """What a contact probe reads, by the model.

    >>> ring = Ring(0.0889, 0.00549, 0.15, 20.0, 2.7e6, 12.0, 8.0, 298.15)
    >>> run = ArcRun(0.0, 33.25, 0.0, 1.0472, 680.0)
    >>> round(reading_K(ring=ring, runs=[run], theta_rad=1.0472, z_m=0.0254, time_s=33.25) - 273.15)
    95
    """
    return float(temperature_K(ring=ring, runs=runs, theta_rad=theta_rad, z_m=z_m, side=side, time_s=time_s))


def still_rising(
    *, ring: Ring, runs: Sequence[ArcRun], theta_rad: float, z_m: float, time_s: float, side: str = "outside"
) -> StillRising:
    """Whether the place read at `time_s` gets hotter yet, if no arc is struck meanwhile.

    The peak's moment comes from a parabola through the looks around it; it depends on place and metal, not on power.

    >>> ring = Ring(0.0889, 0.00549, 0.15, 20.0, 2.7e6, 12.0, 8.0, 298.15)
    >>> run = ArcRun(0.0, 33.25, 0.0, 1.0472, 680.0)
    >>> after = still_rising(ring=ring, runs=[run], theta_rad=1.0472, z_m=0.0254, time_s=33.25 + 7)
    >>> after.rising, round(after.peak_in_s)
    (True, 12)
    """
    ahead = np.concatenate([np.arange(0.0, 30.0, 1.0), np.geomspace(30.0, AHEAD_S, 40)])
    seen = temperature_K(ring=ring, runs=runs, theta_rad=theta_rad, z_m=z_m, side=side, time_s=time_s + ahead)
    top = int(seen.argmax())
    if seen[top] - seen[0] < RISING_dK:
        return StillRising(rising=False, peak_in_s=0.0, peak_K=float(seen[0]))
    if top + 1 == seen.size:
        return StillRising(rising=True, peak_in_s=float(ahead[top]), peak_K=float(seen[top]))
    curve = np.polyfit(ahead[top - 1 : top + 2] - ahead[top], seen[top - 1 : top + 2], 2)
    shift = -curve[1] / (2 * curve[0])
    return StillRising(rising=True, peak_in_s=float(ahead[top] + shift), peak_K=float(seen[top] + curve[1] * shift / 2))


@formula(
    result="surface_K",
    equation="T = (T₀⁴ + ε_set/ε·(T_read⁴ − T₀⁴))^¼",
    hand="{emissivity_set_1:.2}/{emissivity_1:.2} × ({reading_K:K.0}⁴ − {ambient_K:K.0}⁴) + {ambient_K:K.0}⁴ = {surface_K:K.0}⁴",
    source="derivation/heat-loss",
    standing=Standing.DERIVED,
    holds={
        "reading_K": (260.0, 1100.0),
        "emissivity_set_1": (0.1, 1.0),
        "emissivity_1": (0.05, 1.0),
        "ambient_K": (230.0, 330.0),
    },
)
def infrared_true_K(*, reading_K: float, emissivity_set_1: float, emissivity_1: float, ambient_K: float) -> float:
    """Temperature of a grey face from what an infrared thermometer reads, over all wavelengths.

    Bright metal gives little of its own and mirrors the room. An instrument that sees one band only differs by some
    kelvin; the emissivity of bright metal, 0.25 to 0.5, by far more. Raises OutOfRange where the face would be colder
    than nothing.

    >>> round(infrared_true_K(reading_K=346.15, emissivity_set_1=0.95, emissivity_1=0.35, ambient_K=293.15) - 273.15)
    130
    """
    positive(reading_K=reading_K, emissivity_set_1=emissivity_set_1, emissivity_1=emissivity_1, ambient_K=ambient_K)
    fourth = ambient_K**4 + emissivity_set_1 / emissivity_1 * (reading_K**4 - ambient_K**4)
    if fourth <= 0:
        raise OutOfRange(field="reading_K", wanted=f"above {ambient_K * 0.9:.0f} K", got=f"{reading_K:.0f} K")
    return float(fourth**0.25)
