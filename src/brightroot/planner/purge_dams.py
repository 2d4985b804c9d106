"""Dams side by side: what each makes of volume, minutes and argon, how warm it gets, and what must come out again."""

from __future__ import annotations

from collections.abc import Mapping

from brightroot.base.formula import Assumed, Estimate, Input, Known, estimate
from brightroot.base.source import Datum
from brightroot.base.units import Reading
from brightroot.model.joint import DAM_KINDS, Joint
from brightroot.model.library import Library
from brightroot.model.plan import Concern
from brightroot.physics.heat.dams import dam_K, dam_rise_dK
from brightroot.physics.purge.bore import purged_volume_m3
from brightroot.physics.purge.mixing import purge_time_s
from brightroot.physics.totals import flow_argon_m3
from brightroot.planner.choose import chosen, family_cells
from brightroot.planner.heat import HeatPlan, plain_figure

Figures = dict[str, Estimate]
# what must be fetched out of the pipe again, a piece at each end; film is flushed away instead, and that is to be done too
NEAREST_M, FARTHEST_M = 0.03, 2.0


def plan_dams(
    joint: Joint, *, library: Library, heat: HeatPlan, figures: Figures
) -> tuple[Figures, tuple[Concern, ...]]:
    """A row for every kind of dam at the span declared, and for none; the concern is about the kind declared.

    Where the joint has no dams its span is the whole run, and dams are laid beside it at one and a half diameters a side.
    """
    cells = family_cells(joint, library)
    half_m = _half_m(joint)
    rise = _rise(heat, figures, distance_m=half_m)
    peak = estimate(dam_K, key="dams.peak_K", ambient_K=chosen(joint.ambient_K, cells["ambient_K"]), rise_dK=rise)
    made: Figures = {
        peak.key: peak,
        "dams.half_span_m": _exact("half_span_m", "dams.half_span_m", half_m, from_=_span(joint)),
    }
    for kind in DAM_KINDS:
        made |= _row(joint, kind, half_m=half_m, cells=cells, figures=figures)
        if kind == "none":
            continue
        limit = cells[f"dam_{kind}_max_K"]
        made[f"dams.{kind}.limit_K"] = plain_figure("limit_K", f"dams.{kind}.limit_K", limit)
        room_dK = (limit.value - peak.inputs[0].high) / (rise.high / rise.value if rise.value else 1.0)
        made |= _nearest(heat, made[f"dams.{kind}.limit_K"], kind, room_dK=room_dK)
    made["purge.out_count"] = plain_figure(
        "out_count", "purge.out_count", cells[f"dam_{joint.purge.dam_kind}_out_count"]
    )
    return made, _concerns(joint, made)


def _half_m(joint: Joint) -> float:
    """From the root to each dam."""
    if joint.purge.dam_kind != "none":
        return joint.purge.dam_span_m.value / 2
    return max(0.15, 1.5 * joint.end_a.outer_diameter_m.value)


def _exact(name: str, key: str, value: float, *, from_: Input) -> Estimate:
    """A figure that is what its one input says, without a range of its own."""
    return Estimate(name, value, value, value, "", (from_,), from_.standing, (), key)


def _span(joint: Joint) -> Input:
    span = joint.purge.dam_span_m
    return Input("dam_span_m", span.value, span.low, span.high, "typed", span.as_entered, span.standing, 1.0)


def _rise(heat: HeatPlan, figures: Figures, *, distance_m: float) -> Assumed:
    """The engine's rise at that distance, with the spread of net power and heat capacity."""
    rise = dam_rise_dK(ring=heat.ring, runs=heat.arcs, distance_m=distance_m)
    power, capacity = figures["passes.1.net_power_W"], figures["heat.capacity_J_m3K"]
    low = rise * power.low / power.value * capacity.value / capacity.high
    high = rise * power.high / power.value * capacity.value / capacity.low
    return Assumed(rise, low, high, "derivation/heat-conduction", power.standing, "figure")


def _row(joint: Joint, kind: str, *, half_m: float, cells: Mapping[str, Datum], figures: Figures) -> Figures:
    """Litres and minutes with that kind of dam; without dams the run declared, or a length of pipe on either side."""
    length: Known | float = half_m
    if kind == "none":
        declared = joint.purge.dam_kind == "none"
        length = _halved(joint.purge.dam_span_m) if declared else Assumed(
            cells["dam_far_m"].value, cells["dam_far_m"].low, cells["dam_far_m"].high, cells["dam_far_m"].source
        )  # fmt: skip
    flow = chosen(joint.purge.backing_flow_m3_s, cells["backing_flow_m3_s"])
    key = f"dams.{kind}"
    volume = estimate(
        purged_volume_m3, key=f"{key}.volume_m3", first_bore_m=joint.end_a.bore, first_length_m=length,
        second_bore_m=joint.end_b.bore, second_length_m=length,
    )  # fmt: skip
    time = estimate(
        purge_time_s, key=f"{key}.time_s", volumes_1=figures["purge.volumes_1"], volume_m3=volume, flow_m3_s=flow
    )
    argon = estimate(flow_argon_m3, key=f"{key}.argon_m3", flow_m3_s=flow, elapsed_s=time)
    out = plain_figure("out_count", f"{key}.out_count", cells[f"dam_{kind}_out_count"])
    return {figure.key: figure for figure in (volume, time, argon, out)}


def _halved(span: Reading) -> Assumed:
    return Assumed(span.value / 2, span.low / 2, span.high / 2, span.as_entered, span.standing, "typed")


def _nearest(heat: HeatPlan, limit: Estimate, kind: str, *, room_dK: float) -> Figures:
    """The nearest that dam may stand with the warm end of the range still under its limit; no figure where none will do."""
    low, high = NEAREST_M, FARTHEST_M
    if dam_rise_dK(ring=heat.ring, runs=heat.arcs, distance_m=high) > room_dK:
        return {}
    while high - low > 0.01:
        middle = (low * high) ** 0.5
        warm = dam_rise_dK(ring=heat.ring, runs=heat.arcs, distance_m=middle) > room_dK
        low, high = (middle, high) if warm else (low, middle)
    bears = Input("limit_K", limit.value, limit.low, limit.high, "figure", limit.key, limit.standing, 1.0)
    return {f"dams.{kind}.nearest_m": _exact("nearest_m", f"dams.{kind}.nearest_m", high, from_=bears)}


def _concerns(joint: Joint, made: Figures) -> tuple[Concern, ...]:
    kind = joint.purge.dam_kind
    if kind == "none":
        return ()
    peak, limit = made["dams.peak_K"], made[f"dams.{kind}.limit_K"]
    if peak.high <= limit.value:
        return ()
    level = "block" if peak.value > limit.high else "warn"
    shown = tuple(key for key in ("dams.peak_K", limit.key, f"dams.{kind}.nearest_m") if key in made)
    return (Concern(level, "concern.dam_hot", shown, (("dam_kind", kind),)),)
