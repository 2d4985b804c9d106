"""Argon in a pit, a sump or a vessel: it is heavier than air and fills from the bottom. A forecast, never leave to enter."""

from __future__ import annotations

from brightroot.base.formula import formula
from brightroot.base.source import Standing
from brightroot.physics.demand import not_negative, positive

HOLDS = {"bottom_m2": (0.01, 1e5), "argon_flow_m3_s": (1e-7, 0.02)}


@formula(
    result="argon_depth_m",
    equation="h = V_argon/A",
    hand="{argon_m3:m³.2} m³ / {bottom_m2:m².1} m² = {argon_depth_m:m.2} m of argon over the floor",
    source="derivation/room-air",
    where="fills from the bottom unmixed",
    standing=Standing.DERIVED,
    holds={"bottom_m2": HOLDS["bottom_m2"]},
)
def argon_depth_m(*, argon_m3: float, bottom_m2: float) -> float:
    """Depth of argon over the floor if none of it mixes and none runs off: the worst that can lie there.

    >>> round(argon_depth_m(argon_m3=1.2, bottom_m2=4.0), 2)
    0.3
    """
    not_negative(argon_m3=argon_m3)
    positive(bottom_m2=bottom_m2)
    return argon_m3 / bottom_m2


@formula(
    result="lip_reached_s",
    equation="t = (A·h_lip − V_argon)/R",
    hand="({bottom_m2:m².1} m² × {lip_m:m.2} m − {argon_m3:m³.2} m³) / {argon_flow_m3_s:m³/h.2} m³/h"
    " = {lip_reached_s:min.0} min until it stands to the lip",
    source="derivation/room-air",
    where="fills from the bottom unmixed",
    standing=Standing.DERIVED,
    holds={**HOLDS, "lip_m": (0.0, 100.0)},
)
def lip_reached_s(*, argon_m3: float, bottom_m2: float, lip_m: float, argon_flow_m3_s: float) -> float:
    """Time until unmixed argon stands to the lip; none where it already does. Knees, and then a bent head, are under it first.

    >>> round(lip_reached_s(argon_m3=0.0, bottom_m2=4.0, lip_m=0.5, argon_flow_m3_s=20 / 6e4) / 60)
    100
    """
    not_negative(argon_m3=argon_m3, lip_m=lip_m)
    positive(bottom_m2=bottom_m2, argon_flow_m3_s=argon_flow_m3_s)
    return max(0.0, bottom_m2 * lip_m - argon_m3) / argon_flow_m3_s
