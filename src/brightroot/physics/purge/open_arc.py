"""An open arc of the joint: how much gas must leave through it so that no air comes in.

Two things bring air in through the gap: diffusion against the outflow, and the weight of the argon inside, which sinks
out low and draws air in high. The flow must beat both. On large pipe and long arcs the weight asks for more; on a
short arc near twelve of small pipe, or over a thin land, diffusion does.
"""

from __future__ import annotations

import math

from brightroot.base.clock import TURN_RAD
from brightroot.base.errors import Refused
from brightroot.base.formula import formula
from brightroot.base.source import Standing
from brightroot.physics.demand import fraction, not_negative, positive, said
from brightroot.physics.purge.gas_properties import AIR_OXYGEN_FRAC
from brightroot.physics.purge.vent import GRAVITY_m_s2

SLICES = 720
OUTFLOW_MARGIN_1 = 2.0  # uneven outflow and hot gas
ARC = {"ring_diameter_m": (0.006, 2.0), "gap_m": (0.0002, 0.008)}


@formula(
    result="oxygen_frac",
    equation="c = c_air·exp(−v·l/D)",
    hand="209460 × exp(−{outflow_speed_m_s:mm/s.0} mm/s × {depth_m:mm.1} mm / ({diffusivity_m2_s} × 10⁶) mm²/s)"
    " = {oxygen_frac:ppm.0} ppm",
    source="derivation/diffusion",
    where="steady diffusion against plug flow",
    standing=Standing.DERIVED,
    holds={"outflow_speed_m_s": (0.0, 5.0), "depth_m": (0.0003, 0.02)},
)
def back_diffusion_frac(*, outflow_speed_m_s: float, depth_m: float, diffusivity_m2_s: float) -> float:
    """Oxygen that diffusion alone carries to the inner edge of the gap against the outflow; no outflow is air.

    Depth is the gap's along the flow: the land, or the whole wall while the groove is empty and narrow. It is what
    the outside adds: the supply's own oxygen comes on top.

    >>> round(back_diffusion_frac(outflow_speed_m_s=0.117, depth_m=0.0015, diffusivity_m2_s=1.9e-5) * 1e6)
    20
    """
    not_negative(outflow_speed_m_s=outflow_speed_m_s)
    positive(depth_m=depth_m, diffusivity_m2_s=diffusivity_m2_s)
    return AIR_OXYGEN_FRAC * math.exp(-outflow_speed_m_s * depth_m / diffusivity_m2_s)


@formula(
    result="outflow_speed_m_s",
    equation="v = (D/l)·ln(c_air/c)",
    hand="({diffusivity_m2_s} × 10⁶) mm²/s / {depth_m:mm.1} mm × ln(209460 / {added_frac:ppm.0})"
    " = {outflow_speed_m_s:mm/s.0} mm/s",
    source="derivation/diffusion",
    where="steady diffusion against plug flow",
    standing=Standing.DERIVED,
    holds={"added_frac": (1e-6, 0.01), "depth_m": (0.0003, 0.02)},
)
def outflow_speed_needed_m_s(*, added_frac: float, depth_m: float, diffusivity_m2_s: float) -> float:
    """Even outflow that holds back-diffusion to so much oxygen at the inner edge. Double it for real gaps.

    >>> round(outflow_speed_needed_m_s(added_frac=20e-6, depth_m=0.003, diffusivity_m2_s=1.9e-5), 3)
    0.059
    """
    fraction(added_frac=added_frac)
    positive(added_frac=added_frac, depth_m=depth_m, diffusivity_m2_s=diffusivity_m2_s)
    if added_frac >= AIR_OXYGEN_FRAC:
        got = said(added_frac, name="added_frac")
        raise Refused(field="added_frac", wanted="less oxygen than air has", got=got)
    return diffusivity_m2_s / depth_m * math.log(AIR_OXYGEN_FRAC / added_frac)


@formula(
    result="open_area_m2",
    equation="A = gap·(D/2)·(to − from)",
    hand="{gap_m:mm.1} mm × {ring_diameter_m:mm.1} / 2 mm × the open angle, {from_rad} to {to_rad} rad"
    " = {open_area_m2:mm².1} mm²",
    source="derivation/geometry",
    standing=Standing.DERIVED,
    holds=ARC,
)
def open_area_m2(*, ring_diameter_m: float, gap_m: float, from_rad: float, to_rad: float) -> float:
    """Area of the gap that stands open between two clock positions, going clockwise; equal positions are none.

    An arc over twelve runs from a position before it to one after it, e.g. from 10:30 to 1:30; from 0 to a whole turn
    is the full ring.

    >>> round(open_area_m2(ring_diameter_m=0.1, gap_m=0.002, from_rad=0, to_rad=math.pi / 2) * 1e6, 1)
    157.1
    """
    positive(ring_diameter_m=ring_diameter_m, gap_m=gap_m)
    return gap_m * ring_diameter_m / 2 * _span_rad(from_rad=from_rad, to_rad=to_rad)


@formula(
    result="flow_m3_s",
    equation="Q = m·v·A",
    hand="{margin_1:.1} × {outflow_speed_m_s:mm/s.0} mm/s × {open_area_m2:mm².1} mm² = {flow_m3_s:L/min.2} L/min",
    source="derivation/diffusion",
    standing=Standing.DERIVED,
    holds={"margin_1": (1.0, 5.0)},
)
def back_diffusion_flow_m3_s(*, outflow_speed_m_s: float, open_area_m2: float, margin_1: float) -> float:
    """Flow through the open arc that keeps diffusion out, with a margin of two for uneven outflow and hot gas.

    >>> q = back_diffusion_flow_m3_s(outflow_speed_m_s=0.059, open_area_m2=157e-6, margin_1=2)
    >>> round(q * 6e4, 2)
    1.11
    """
    not_negative(outflow_speed_m_s=outflow_speed_m_s, open_area_m2=open_area_m2)
    positive(margin_1=margin_1)
    return margin_1 * outflow_speed_m_s * open_area_m2


@formula(
    result="flow_m3_s",
    equation="q_flood = C_d·w·∫√(2(Δp_top + Δρ·g·(z_top − z))/ρ) ds over the open arc",
    hand="outflow through a {gap_m:mm.1} mm gap of a {ring_diameter_m:mm.0} mm ring, open from {from_rad} to {to_rad}"
    " rad, summed over its height with {overpressure_top_Pa:Pa.1} Pa at its top = {flow_m3_s:L/min.2} L/min",
    source="derivation/buoyancy",
    standing=Standing.DERIVED,
    holds={**ARC, "overpressure_top_Pa": (0.0, 1000.0), "discharge_1": (0.4, 1.0)},
)
def flooding_flow_m3_s(
    *,
    ring_diameter_m: float,
    gap_m: float,
    from_rad: float,
    to_rad: float,
    overpressure_top_Pa: float,
    argon_density_kg_m3: float,
    air_density_kg_m3: float,
    discharge_1: float,
) -> float:
    """Flow through an open arc of fixed (horizontal) pipe at which no air enters its top any more.

    Argon inside is heavier than the air outside, so the pressure over the gap grows downward from the top of the
    open arc. With zero pressure at the top this is the least outflow; less, and air comes in there. A pipe that stands
    upright has its joint at one height: for it this gives the wrong answer and only diffusion counts. Summed over 720
    slices; within 0.1 %.

    >>> ring = dict(ring_diameter_m=0.1, gap_m=0.002, overpressure_top_Pa=0, argon_density_kg_m3=1.6618,
    ...             air_density_kg_m3=1.2046, discharge_1=0.61)
    >>> round(flooding_flow_m3_s(from_rad=0, to_rad=2 * math.pi, **ring) * 6e4, 1)
    10.8
    """
    positive(ring_diameter_m=ring_diameter_m, gap_m=gap_m, discharge_1=discharge_1)
    positive(argon_density_kg_m3=argon_density_kg_m3, air_density_kg_m3=air_density_kg_m3)
    not_negative(overpressure_top_Pa=overpressure_top_Pa)
    if argon_density_kg_m3 < air_density_kg_m3:
        got = f"{argon_density_kg_m3:.3f} kg/m³"
        raise Refused(field="argon_density_kg_m3", wanted="a gas heavier than the air outside", got=got)
    span_rad = _span_rad(from_rad=from_rad, to_rad=to_rad)
    step_rad = span_rad / SLICES
    heights = [math.cos(from_rad + (k + 0.5) * step_rad) for k in range(SLICES)]
    top = _top_cos(from_rad=from_rad, span_rad=span_rad)
    weight_Pa = (argon_density_kg_m3 - air_density_kg_m3) * GRAVITY_m_s2 * ring_diameter_m / 2
    speeds = sum(
        math.sqrt(2 * (overpressure_top_Pa + weight_Pa * max(0.0, top - z)) / argon_density_kg_m3) for z in heights
    )
    return discharge_1 * gap_m * speeds * step_rad * ring_diameter_m / 2


@formula(
    result="flow_m3_s",
    equation="Q = max(q_flood, q_diffusion)",
    hand="the larger of {flooding_flow_m3_s:L/min.2} and {back_diffusion_flow_m3_s:L/min.2} L/min"
    " = {flow_m3_s:L/min.2} L/min",
    source="derivation/buoyancy",
    standing=Standing.DERIVED,
)
def least_arc_flow_m3_s(*, flooding_flow_m3_s: float, back_diffusion_flow_m3_s: float) -> float:
    """Least flow that must leave through the open arc: the larger of the two guards. What the vent takes is on top.

    >>> round(least_arc_flow_m3_s(flooding_flow_m3_s=3.9e-5, back_diffusion_flow_m3_s=1.8e-5) * 6e4, 2)
    2.34
    """
    not_negative(flooding_flow_m3_s=flooding_flow_m3_s, back_diffusion_flow_m3_s=back_diffusion_flow_m3_s)
    return max(flooding_flow_m3_s, back_diffusion_flow_m3_s)


@formula(
    result="flow_m3_s",
    equation="Q = q_least·(A_vent + A_gap)/A_gap",
    hand="{least_flow_m3_s:L/min.2} L/min out of the arc, which takes {share_frac:%.0} % of the flow"
    " = {flow_m3_s:L/min.1} L/min of backing",
    source="derivation/orifice",
    standing=Standing.DERIVED,
    holds={"share_frac": (0.01, 1.0)},
)
def arc_backing_m3_s(*, least_flow_m3_s: float, share_frac: float) -> float:
    """Backing flow at which the open arc gets its least share: vent and gap share one pressure, so flow goes as area.

    >>> round(arc_backing_m3_s(least_flow_m3_s=2.35 / 6e4, share_frac=0.8) * 6e4, 2)
    2.94
    """
    not_negative(least_flow_m3_s=least_flow_m3_s)
    fraction(share_frac=share_frac)
    positive(share_frac=share_frac)
    return least_flow_m3_s / share_frac


def _span_rad(*, from_rad: float, to_rad: float) -> float:
    """Clockwise from one position to the other; a whole turn stays a whole turn."""
    if not (math.isfinite(from_rad) and math.isfinite(to_rad)):
        raise Refused(field="to_rad", wanted="two clock positions", got=f"{from_rad} to {to_rad}")
    span = to_rad - from_rad
    return TURN_RAD if math.isclose(abs(span), TURN_RAD) else span % TURN_RAD


def _top_cos(*, from_rad: float, span_rad: float) -> float:
    """Cosine of the highest point of the arc: twelve if the arc passes it, else the higher end."""
    to_twelve = -from_rad % TURN_RAD
    return 1.0 if to_twelve <= span_rad else max(math.cos(from_rad), math.cos(from_rad + span_rad))
