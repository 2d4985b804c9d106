"""How many volumes of argon it takes: the fully mixed law, its bounds, and the spread over real set-ups."""

from __future__ import annotations

import math

from brightroot.base.errors import Refused
from brightroot.base.formula import Band, formula
from brightroot.base.source import Standing
from brightroot.physics.demand import fraction, not_negative, positive, said
from brightroot.physics.purge.gas_properties import AIR_OXYGEN_FRAC

DISPLACEMENT_VOLUMES = 1.0  # piston flow: nothing purges a whole volume with less than itself
WIDENING = 1.25  # what the simulated spread leaves out: fittings, real vents, real people
STUDY_TARGET_FRAC = 20e-6
STUDY_VOLUMES = math.log(AIR_OXYGEN_FRAC / STUDY_TARGET_FRAC)  # 9.26, fully mixed with pure argon

# set-up -> volumes to 20 ppm that 5, 50 and 95 % of simulated purges had reached
SET_UPS: dict[str, Band] = {
    "feed_low_vent_high": Band(3.7, 5.8, 12.9),
    "feed_high_vent_low": Band(5.3, 9.8, 50.0),
}
FRACTIONS = {"start_frac": (1e-6, 0.21), "target_frac": (1e-6, 0.02), "supply_frac": (0.0, 1e-3)}


@formula(
    result="volumes_1",
    equation="n = ln((c₀ − c_in)/(c_t − c_in))",
    hand="ln(({start_frac:ppm.0} − {supply_frac:ppm.0}) / ({target_frac:ppm.0} − {supply_frac:ppm.0}))"
    " = {volumes_1:.2} volumes",
    source="derivation/mass-balance",
    where="stirred tank",
    standing=Standing.DERIVED,
    holds=FRACTIONS,
)
def mixed_volumes_1(*, start_frac: float, target_frac: float, supply_frac: float) -> float:
    """Volumes of gas to a target when all of the gas inside is mixed at every moment and nothing leaks in.

    Give the floor (supply plus in-leak) for the supply where a leak is known. A target at or under it is refused: it
    is never reached. A start at or under the target takes none.

    >>> round(mixed_volumes_1(start_frac=0.20946, target_frac=15e-6, supply_frac=3e-6), 1)
    9.8
    """
    return _mixed_volumes(start_frac=start_frac, target_frac=target_frac, supply_frac=supply_frac)


@formula(
    result="oxygen_frac",
    equation="c = c_in + (c₀ − c_in)·e^(−n)",
    hand="{supply_frac:ppm.0} + ({start_frac:ppm.0} − {supply_frac:ppm.0}) × e^(−{volumes_1:.2})"
    " = {oxygen_frac:ppm.0} ppm",
    source="derivation/mass-balance",
    where="stirred tank",
    standing=Standing.DERIVED,
    holds={"start_frac": FRACTIONS["start_frac"], "supply_frac": FRACTIONS["supply_frac"], "volumes_1": (0.0, 200.0)},
)
def left_after_frac(*, start_frac: float, supply_frac: float, volumes_1: float) -> float:
    """Oxygen left after so many fully mixed volumes: five leave 1,411 ppm of air, not a clean pipe.

    >>> round(left_after_frac(start_frac=0.20946, supply_frac=0, volumes_1=5) * 1e6)
    1411
    """
    fraction(start_frac=start_frac, supply_frac=supply_frac)
    not_negative(volumes_1=volumes_1)
    return supply_frac + (start_frac - supply_frac) * math.exp(-volumes_1)


@formula(
    result="volumes_1",
    equation="solve e^(−Nn)·Σ_{k<N} (Nn)^k/k! = (c_t − c_in)/(c₀ − c_in) for n",
    hand="{tanks_count} equal tanks in a row reach {target_frac:ppm.0} ppm after {volumes_1:.2} volumes",
    source="derivation/mass-balance",
    where="tanks in series",
    standing=Standing.DERIVED,
    holds={**FRACTIONS, "tanks_count": (1, 100)},
)
def tanks_volumes_1(*, tanks_count: int, start_frac: float, target_frac: float, supply_frac: float) -> float:
    """Volumes to a target when the pipe behaves like N mixed tanks in a row: one is fully mixed, many is displacement.

    Solved by halving to 1e-9 volumes.

    >>> round(tanks_volumes_1(tanks_count=5, start_frac=0.20946, target_frac=20e-6, supply_frac=0), 2)
    3.57
    """
    _reachable(start_frac=start_frac, target_frac=target_frac, supply_frac=supply_frac)
    positive(tanks_count=tanks_count)
    if start_frac <= target_frac:
        return 0.0
    goal = (target_frac - supply_frac) / (start_frac - supply_frac)
    low, high = 0.0, 50.0
    while high - low > 1e-9:
        middle = (low + high) / 2
        low, high = (middle, high) if _tanks_left(tanks=tanks_count, volumes=middle) > goal else (low, middle)
    return (low + high) / 2


@formula(
    result="volumes_1",
    equation="n = n_set-up(20 ppm) · ln((c₀ − c_in)/(c_t − c_in)) / 9.26; band widened by 1.25",
    hand="the study's volumes to 20 ppm for this set-up, times ln(({start_frac:ppm.0} − {supply_frac:ppm.0}) /"
    " ({target_frac:ppm.0} − {supply_frac:ppm.0})) / 9.26 = {volumes_1:.1} volumes",
    source="paper/purge-study",
    where="simulated purges, 5/50/95 % to 20 ppm",
    standing=Standing.DERIVED,
    holds={**FRACTIONS, "target_frac": (2e-6, 0.01)},
)
def set_up_volumes_1(*, set_up: str, start_frac: float, target_frac: float, supply_frac: float) -> Band:
    """Volumes to a target for a way of feeding and venting, from a simulated spread of set-ups (not measured).

    The study ran to 20 ppm. Other targets and supplies are scaled by the fully mixed count, as the late decay is
    exponential in volumes; the first volume, which is displacement, makes that a little short above 1,000 ppm. The
    95 % end is carried at 12.9 and about 50 volumes and then all ends are widened by 1.25. Where the set-up is
    `unknown` the promise is never better than fully mixed: that is the low end, unwidened, and the rest is the worse
    set-up's.

    >>> band = set_up_volumes_1(set_up="feed_low_vent_high", start_frac=0.20946, target_frac=20e-6, supply_frac=0)
    >>> [round(end, 1) for end in band]
    [3.0, 5.8, 16.1]
    """
    if set_up not in (*SET_UPS, "unknown"):
        raise Refused(field="set_up", wanted="one of the set-ups", got=set_up, near=(*SET_UPS, "unknown"))
    mixed = _mixed_volumes(start_frac=start_frac, target_frac=target_frac, supply_frac=supply_frac)
    scale = mixed / STUDY_VOLUMES
    if set_up == "unknown":
        worse = SET_UPS["feed_high_vent_low"]
        return Band(mixed, worse.value * scale, worse.high * scale * WIDENING)
    band = SET_UPS[set_up]
    return Band(band.low * scale / WIDENING, band.value * scale, band.high * scale * WIDENING)


@formula(
    result="purge_time_s",
    equation="t = n·V/Q",
    hand="{volumes_1:.1} × {volume_m3:L.2} L / {flow_m3_s:L/min.1} L/min = {purge_time_s:min.1} min",
    source="derivation/mass-balance",
    standing=Standing.DERIVED,
    holds={"flow_m3_s": (1e-6, 5e-3), "volume_m3": (1e-5, 20.0)},
)
def purge_time_s(*, volumes_1: float, volume_m3: float, flow_m3_s: float) -> float:
    """Time for a number of volumes at a flow. More flow shortens it in proportion; pressure and cost are the limits.

    >>> round(purge_time_s(volumes_1=9.77, volume_m3=0.01229, flow_m3_s=15 / 60000) / 60, 1)
    8.0
    """
    not_negative(volumes_1=volumes_1)
    positive(volume_m3=volume_m3, flow_m3_s=flow_m3_s)
    return volumes_1 * volume_m3 / flow_m3_s


def _mixed_volumes(*, start_frac: float, target_frac: float, supply_frac: float) -> float:
    _reachable(start_frac=start_frac, target_frac=target_frac, supply_frac=supply_frac)
    if start_frac <= target_frac:
        return 0.0
    return math.log((start_frac - supply_frac) / (target_frac - supply_frac))


def _tanks_left(*, tanks: int, volumes: float) -> float:
    x = tanks * volumes
    term = total = 1.0
    for k in range(1, tanks):
        term *= x / k
        total += term
    return total * math.exp(-x)


def _reachable(*, start_frac: float, target_frac: float, supply_frac: float) -> None:
    fraction(start_frac=start_frac, target_frac=target_frac, supply_frac=supply_frac)
    if target_frac <= supply_frac:
        raise Refused(
            field="target_frac",
            wanted=f"more than the gas itself brings, {said(supply_frac, name='supply_frac')}",
            got=said(target_frac, name="target_frac"),
            reason="refused.target_under_floor",
        )
