"""Whose leak is it? The pipe's thins with the purge flow, the sample line's does not: two flows and a hose-end check tell."""

from __future__ import annotations

from brightroot.base.errors import Refused
from brightroot.base.formula import formula
from brightroot.base.source import Standing
from brightroot.physics.demand import fraction, not_negative, positive, said
from brightroot.physics.purge.gas_properties import AIR_OXYGEN_FRAC

FLOWS = {"flow_m3_s": (1e-6, 5e-3), "other_flow_m3_s": (1e-6, 5e-3)}


@formula(
    result="in_leak_m3_s",
    equation="q = (c₁ − c₂)/(c_air·(1/Q₁ − 1/Q₂))",
    hand="({plateau_frac:ppm.0} − {other_plateau_frac:ppm.0}) / 209460 / (1/{flow_m3_s:L/min.1} −"
    " 1/{other_flow_m3_s:L/min.1}) × 1000 = {in_leak_m3_s:mL/min.2} mL/min into the pipe",
    source="derivation/mass-balance",
    where="oxygen balance at rest, at two flows",
    standing=Standing.DERIVED,
    holds=FLOWS,
)
def pipe_leak_m3_s(
    *, plateau_frac: float, flow_m3_s: float, other_plateau_frac: float, other_flow_m3_s: float
) -> float:
    """Air leaking into the pipe itself, from two plateaus at two purge flows.

    Only what is thinned by the purge flow is counted, so supply and sample line drop out. Both plateaus must have come
    to rest. A plateau that rises with the flow is refused: that is not a leak, or it had not come to rest.

    >>> q = pipe_leak_m3_s(plateau_frac=62e-6, flow_m3_s=15 / 6e4, other_plateau_frac=44.4e-6, other_flow_m3_s=21.4 / 6e4)
    >>> round(q * 6e7, 1)
    4.2
    """
    return _leak(plateau_frac, flow_m3_s, other_plateau_frac, other_flow_m3_s)


@formula(
    result="oxygen_frac",
    equation="c_rest = c₁ − c_air·q/Q₁",
    hand="what no flow thins, by the two plateaus {plateau_frac:ppm.0} and {other_plateau_frac:ppm.0} ppm"
    " = {oxygen_frac:ppm.0} ppm: the supply and the sample line",
    source="derivation/mass-balance",
    where="oxygen balance at rest, at two flows",
    standing=Standing.DERIVED,
    holds=FLOWS,
)
def unthinned_frac(
    *, plateau_frac: float, flow_m3_s: float, other_plateau_frac: float, other_flow_m3_s: float
) -> float:
    """The part of a plateau that no purge flow thins: the gas itself, and whatever gets into the sample line.

    >>> rest = dict(plateau_frac=62e-6, flow_m3_s=15 / 6e4, other_plateau_frac=44.4e-6, other_flow_m3_s=21.4 / 6e4)
    >>> round(unthinned_frac(**rest) * 1e6)
    3
    """
    leak_m3_s = _leak(plateau_frac, flow_m3_s, other_plateau_frac, other_flow_m3_s)
    return max(0.0, plateau_frac - AIR_OXYGEN_FRAC * leak_m3_s / flow_m3_s)


@formula(
    result="oxygen_frac",
    equation="c_line = c_hose end − c_cylinder",
    hand="{hose_end_frac:ppm.0} − {cylinder_argon_frac:ppm.0} = {oxygen_frac:ppm.0} ppm got in through the sample line",
    source="derivation/mass-balance",
    where="the same gas through the sample line and without it",
    standing=Standing.DERIVED,
    holds={"hose_end_frac": (0.0, 0.21), "cylinder_argon_frac": (0.0, 0.21)},
)
def line_adds_frac(*, hose_end_frac: float, cylinder_argon_frac: float) -> float:
    """What the sample line adds: cylinder argon read through it, less the same gas put straight to the monitor.

    None where the hose reads lower: that is the monitor's scatter. What it adds goes as one over the sampling flow.

    >>> round(line_adds_frac(hose_end_frac=95e-6, cylinder_argon_frac=4e-6) * 1e6)
    91
    """
    fraction(hose_end_frac=hose_end_frac, cylinder_argon_frac=cylinder_argon_frac)
    return max(0.0, hose_end_frac - cylinder_argon_frac)


def _leak(plateau_frac: float, flow_m3_s: float, other_plateau_frac: float, other_flow_m3_s: float) -> float:
    fraction(plateau_frac=plateau_frac, other_plateau_frac=other_plateau_frac)
    positive(flow_m3_s=flow_m3_s, other_flow_m3_s=other_flow_m3_s)
    thinner = 1 / flow_m3_s - 1 / other_flow_m3_s
    if abs(thinner) * flow_m3_s < 0.05:
        got = said(other_flow_m3_s, name="flow_m3_s")
        raise Refused(field="other_flow_m3_s", wanted="a flow at least a twentieth apart from the first", got=got)
    leak_m3_s = (plateau_frac - other_plateau_frac) / (AIR_OXYGEN_FRAC * thinner)
    if leak_m3_s < 0:
        got = said(other_plateau_frac, name="other_plateau_frac")
        raise Refused(field="other_plateau_frac", wanted="the lower plateau at the larger flow", got=got)
    not_negative(in_leak_m3_s=leak_m3_s)
    return leak_m3_s
