"""Oxygen while nobody measures: what a known leak bound would make of the last reading as time goes by."""

from __future__ import annotations

import math

from brightroot.base.formula import formula
from brightroot.base.source import Standing
from brightroot.physics.demand import fraction, not_negative, positive
from brightroot.physics.purge.gas_properties import AIR_OXYGEN_FRAC

HOLDS = {
    "last_frac": (0.0, 0.21),
    "supply_frac": (0.0, 1e-3),
    "in_leak_m3_s": (0.0, 1e-3),
    "flow_m3_s": (0.0, 5e-3),
    "volume_m3": (1e-5, 20.0),
    "silent_s": (0.0, 86400.0),
}


@formula(
    result="oxygen_frac",
    equation="c = c_floor + (c₀ − c_floor)·e^(−Q·t/V), c_floor = c_in + c_air·q/Q; without flow c₀ + c_air·q·t/V",
    hand="from {last_frac:ppm.0} ppm toward {supply_frac:ppm.0} + 209460 × {in_leak_m3_s:mL/min.2} mL/min /"
    " {flow_m3_s:mL/min.0} mL/min in {silent_s:s.0} s of {volume_m3:L.1} L = {oxygen_frac:ppm.0} ppm",
    source="derivation/mass-balance",
    where="stirred tank",
    standing=Standing.DERIVED,
    holds=HOLDS,
)
def mixed_oxygen_frac(
    *,
    last_frac: float,
    supply_frac: float,
    in_leak_m3_s: float,
    flow_m3_s: float,
    volume_m3: float,
    silent_s: float,
) -> float:
    """Oxygen a while after the last reading, if all mixes: on its way to the floor, or rising evenly without flow.

    Never more than air: the leak is air. Without flow the even rise is a bound, as it forgets that gas is pushed out.

    >>> c = mixed_oxygen_frac(last_frac=11e-6, supply_frac=3e-6, in_leak_m3_s=4 / 6e7, flow_m3_s=15 / 6e4,
    ...                       volume_m3=0.01229, silent_s=540)
    >>> round(c * 1e6)
    59
    """
    return _mixed_frac(
        last_frac=last_frac,
        supply_frac=supply_frac,
        in_leak_m3_s=in_leak_m3_s,
        flow_m3_s=flow_m3_s,
        volume_m3=volume_m3,
        silent_s=silent_s,
    )


@formula(
    result="oxygen_upper_frac",
    equation="c_upper = max(c_last, c_mixed with the largest leak thought possible)",
    hand="the larger of the last reading, {last_frac:ppm.0} ppm, and what {in_leak_m3_s:mL/min.2} mL/min of air makes"
    " in {silent_s:min.1} min at {flow_m3_s:L/min.1} L/min = {oxygen_upper_frac:ppm.0} ppm",
    source="derivation/mass-balance",
    where="stirred tank",
    standing=Standing.DERIVED,
    holds=HOLDS,
)
def oxygen_upper_frac(
    *,
    last_frac: float,
    supply_frac: float,
    in_leak_m3_s: float,
    flow_m3_s: float,
    volume_m3: float,
    silent_s: float,
) -> float:
    """Upper bound of oxygen while nothing is measured: it grows with silence and never falls below the last reading.

    Better gas can have come since the last reading, but nobody saw it. It is as good as its leak bound: an open arc
    that floods, or a dam that lifts, brings more. Past some minutes say "not measured" beside it.

    >>> c = oxygen_upper_frac(last_frac=11e-6, supply_frac=3e-6, in_leak_m3_s=0, flow_m3_s=15 / 6e4,
    ...                       volume_m3=0.01229, silent_s=540)
    >>> round(c * 1e6)
    11
    """
    mixed_frac = _mixed_frac(
        last_frac=last_frac,
        supply_frac=supply_frac,
        in_leak_m3_s=in_leak_m3_s,
        flow_m3_s=flow_m3_s,
        volume_m3=volume_m3,
        silent_s=silent_s,
    )
    return max(last_frac, mixed_frac)


@formula(
    result="oxygen_frac",
    equation="c = c_air − (c_air − c₀)·e^(−q·t/V)",
    hand="209460 − (209460 − {last_frac:ppm.0}) × e^(−{exchange_m3_s:L/min.2} L/min × {silent_s:min.1} min /"
    " {volume_m3:L.1} L) = {oxygen_frac:ppm.0} ppm",
    source="derivation/buoyancy",
    where="stirred tank, air in for argon out",
    standing=Standing.DERIVED,
    holds={**{k: HOLDS[k] for k in ("last_frac", "volume_m3", "silent_s")}, "exchange_m3_s": (0.0, 0.01)},
)
def open_stop_frac(*, last_frac: float, exchange_m3_s: float, volume_m3: float, silent_s: float) -> float:
    """Oxygen after a stop without flow and with an arc open: argon runs out low, air comes in high.

    Give half the flooding flow for the exchange: the arc is then half inlet and half outlet. Rough, on the high side
    once the argon lies below the open arc and nothing drives it any more.

    >>> c = open_stop_frac(last_frac=20e-6, exchange_m3_s=1.2 / 6e4, volume_m3=0.01229, silent_s=300)
    >>> round(c, 3)
    0.081
    """
    fraction(last_frac=last_frac)
    not_negative(exchange_m3_s=exchange_m3_s, silent_s=silent_s)
    positive(volume_m3=volume_m3)
    return AIR_OXYGEN_FRAC - (AIR_OXYGEN_FRAC - last_frac) * math.exp(-exchange_m3_s * silent_s / volume_m3)


def _mixed_frac(
    *,
    last_frac: float,
    supply_frac: float,
    in_leak_m3_s: float,
    flow_m3_s: float,
    volume_m3: float,
    silent_s: float,
) -> float:
    fraction(last_frac=last_frac, supply_frac=supply_frac)
    not_negative(in_leak_m3_s=in_leak_m3_s, flow_m3_s=flow_m3_s, silent_s=silent_s)
    positive(volume_m3=volume_m3)
    volumes = flow_m3_s * silent_s / volume_m3
    # air leaked in per volume, thinned by the flow: (1 − e^−n)/n goes to one as the flow stops
    thinning = -math.expm1(-volumes) / volumes if volumes > 0 else 1.0
    leaked_frac = AIR_OXYGEN_FRAC * in_leak_m3_s * silent_s / volume_m3 * thinning
    mixed_frac = supply_frac - (supply_frac - last_frac) * math.exp(-volumes) + leaked_frac
    return min(mixed_frac, max(AIR_OXYGEN_FRAC, last_frac))
