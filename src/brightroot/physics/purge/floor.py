"""The floor: what oxygen settles at while gas comes in and a little air leaks in, however well it mixes."""

from __future__ import annotations

from brightroot.base.errors import Refused
from brightroot.base.formula import formula
from brightroot.base.source import Standing
from brightroot.physics.demand import fraction, not_negative, positive, said
from brightroot.physics.purge.gas_properties import AIR_OXYGEN_FRAC

HOLDS = {"supply_frac": (0.0, 1e-3), "flow_m3_s": (1e-6, 5e-3)}


@formula(
    result="floor_frac",
    equation="c_floor = c_in + c_air·q_air/Q",
    hand="{supply_frac:ppm.0} + 209460 × {in_leak_m3_s:mL/min.2} mL/min / ({flow_m3_s:L/min.1} × 1000) mL/min"
    " = {floor_frac:ppm.0} ppm",
    source="derivation/mass-balance",
    where="oxygen balance at rest",
    standing=Standing.DERIVED,
    holds={**HOLDS, "in_leak_m3_s": (0.0, 1e-5)},
)
def floor_frac(*, supply_frac: float, in_leak_m3_s: float, flow_m3_s: float) -> float:
    """Oxygen at which a purge stalls: the supply's own and the air that leaks in, thinned by the flow.

    Over by the ratio of leak to flow (under 0.1 % for any purge worth waiting for). Zero flow is refused: without
    flow there is no floor, only a rise.

    >>> round(floor_frac(supply_frac=0, in_leak_m3_s=1 / 6e7, flow_m3_s=10 / 6e4) * 1e6, 1)
    20.9
    """
    fraction(supply_frac=supply_frac)
    not_negative(in_leak_m3_s=in_leak_m3_s)
    positive(flow_m3_s=flow_m3_s)
    return supply_frac + AIR_OXYGEN_FRAC * in_leak_m3_s / flow_m3_s


@formula(
    result="in_leak_m3_s",
    equation="q_air = (c_t − c_in)·Q/c_air",
    hand="({target_frac:ppm.0} − {supply_frac:ppm.0}) / 209460 × {flow_m3_s:L/min.1} × 1000"
    " = {in_leak_m3_s:mL/min.2} mL/min of air",
    source="derivation/mass-balance",
    where="oxygen balance at rest",
    standing=Standing.DERIVED,
    holds=HOLDS,
)
def in_leak_budget_m3_s(*, target_frac: float, supply_frac: float, flow_m3_s: float) -> float:
    """Largest in-leak of air with which the target is still (just) reached.

    >>> round(in_leak_budget_m3_s(target_frac=20e-6, supply_frac=5e-6, flow_m3_s=10 / 6e4) * 6e7, 2)
    0.72
    """
    positive(flow_m3_s=flow_m3_s)
    return _above_supply(supply_frac=supply_frac, target_frac=target_frac) * flow_m3_s / AIR_OXYGEN_FRAC


@formula(
    result="in_leak_m3_s",
    equation="q_air = (c_plateau − c_in)·Q/c_air",
    hand="({plateau_frac:ppm.0} − {supply_frac:ppm.0}) / 209460 × {flow_m3_s:L/min.1} × 1000"
    " = {in_leak_m3_s:mL/min.2} mL/min of air",
    source="derivation/mass-balance",
    where="oxygen balance at rest",
    standing=Standing.DERIVED,
    holds=HOLDS,
)
def in_leak_from_plateau_m3_s(*, plateau_frac: float, supply_frac: float, flow_m3_s: float) -> float:
    """In-leak that explains a plateau, if all of it is a leak into the pipe.

    A leak in the sample hose shows the same plateau over a clean pipe, and so does a worse supply: only a change of
    flow tells them apart (a pipe leak's floor goes as 1/Q). A plateau under the supply is refused: one is misread.

    >>> q = in_leak_from_plateau_m3_s(plateau_frac=62e-6, supply_frac=3e-6, flow_m3_s=15 / 6e4)
    >>> round(q * 6e7, 1)
    4.2
    """
    fraction(plateau_frac=plateau_frac, supply_frac=supply_frac)
    positive(flow_m3_s=flow_m3_s)
    if plateau_frac < supply_frac:
        raise Refused(
            field="plateau_frac",
            wanted=f"no less than the supply, {said(supply_frac, name='supply_frac')}",
            got=said(plateau_frac, name="plateau_frac"),
        )
    return (plateau_frac - supply_frac) * flow_m3_s / AIR_OXYGEN_FRAC


@formula(
    result="flow_m3_s",
    equation="Q = c_air·q_air/(c_t − c_in)",
    hand="209460 × {in_leak_m3_s:mL/min.2} mL/min / ({target_frac:ppm.0} − {supply_frac:ppm.0}) / 1000"
    " = {flow_m3_s:L/min.0} L/min",
    source="derivation/mass-balance",
    where="oxygen balance at rest",
    standing=Standing.DERIVED,
    holds={"supply_frac": HOLDS["supply_frac"], "in_leak_m3_s": (0.0, 1e-5)},
)
def flow_for_target_m3_s(*, target_frac: float, supply_frac: float, in_leak_m3_s: float) -> float:
    """Flow at which a known leak would just reach the target: mostly a reason to seal instead.

    >>> round(flow_for_target_m3_s(target_frac=15e-6, supply_frac=3e-6, in_leak_m3_s=4.2 / 6e7) * 6e4)
    73
    """
    not_negative(in_leak_m3_s=in_leak_m3_s)
    return AIR_OXYGEN_FRAC * in_leak_m3_s / _above_supply(supply_frac=supply_frac, target_frac=target_frac)


def _above_supply(*, supply_frac: float, target_frac: float) -> float:
    fraction(supply_frac=supply_frac, target_frac=target_frac)
    if target_frac <= supply_frac:
        raise Refused(
            field="target_frac",
            wanted=f"more than the gas itself brings, {said(supply_frac, name='supply_frac')}",
            got=said(target_frac, name="target_frac"),
            reason="refused.target_under_floor",
        )
    return target_frac - supply_frac
