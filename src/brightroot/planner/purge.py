"""The purge: volume, time and argon with honest bounds, the leak it can bear, vent, open arc, and the closing flow."""

from __future__ import annotations

from collections.abc import Mapping

from brightroot.base.formula import Estimate, Known, estimate
from brightroot.base.source import Datum
from brightroot.model.joint import POSITIONS, Joint
from brightroot.model.library import Library
from brightroot.model.plan import Arc, Concern
from brightroot.physics.purge.bore import purged_volume_m3, run_volume_m3
from brightroot.physics.purge.floor import in_leak_budget_m3_s
from brightroot.physics.purge.gas_properties import air_density_kg_m3, argon_density_kg_m3, oxygen_diffusivity_m2_s
from brightroot.physics.purge.mixing import mixed_volumes_1, purge_time_s, set_up_volumes_1
from brightroot.physics.purge.open_arc import (
    arc_backing_m3_s,
    back_diffusion_flow_m3_s,
    flooding_flow_m3_s,
    least_arc_flow_m3_s,
    open_area_m2,
    outflow_speed_needed_m_s,
)
from brightroot.physics.purge.root_gas import vent_target_frac
from brightroot.physics.purge.vent import (
    flow_for_pressure_m3_s,
    gap_share_frac,
    opening_area_m2,
    overpressure_Pa,
    vent_area_needed_m2,
    vent_diameter_m,
    wind_Pa,
    wind_withstood_m_s,
)
from brightroot.physics.totals import flow_argon_m3
from brightroot.planner.choose import chosen, family_cells

Figures = dict[str, Estimate]
AIR_OXYGEN_FRAC = 0.20946
ATMOSPHERE_PA = 101325.0
SET_UPS = {"low": "feed_low_vent_high", "high": "feed_high_vent_low", "unknown": "unknown"}


def plan_purge(joint: Joint, *, library: Library, arcs: tuple[Arc, ...]) -> tuple[Figures, tuple[Concern, ...]]:
    """Every figure of the purge, and what the person should know before starting it."""
    cells = family_cells(joint, library)
    arrangement = joint.purge
    flow = chosen(arrangement.backing_flow_m3_s, cells["backing_flow_m3_s"])
    supply = chosen(arrangement.supply_oxygen_frac, cells["supply_oxygen_frac"])
    target = chosen(joint.procedure.start_oxygen_frac, cells["start_oxygen_frac"])
    ambient = chosen(joint.ambient_K, cells["ambient_K"])
    volume = _volume(joint)
    figures: Figures = {"purge.volume_m3": volume}
    gas: dict[str, Known | float | str] = {
        "start_frac": AIR_OXYGEN_FRAC, "target_frac": target, "supply_frac": supply
    }  # fmt: skip
    for way, volumes in (
        ("mixed", estimate(mixed_volumes_1, key="purge.mixed_volumes_1", **gas)),
        ("", estimate(set_up_volumes_1, key="purge.volumes_1", set_up=SET_UPS[arrangement.feed], **gas)),
    ):
        key = "_".join(filter(None, (way, "time_s")))
        time = estimate(purge_time_s, key=f"purge.{key}", volumes_1=volumes, volume_m3=volume, flow_m3_s=flow)
        argon = estimate(flow_argon_m3, key=f"purge.{way + '_' if way else ''}argon_m3", flow_m3_s=flow, elapsed_s=time)
        figures |= {volumes.key: volumes, time.key: time, argon.key: argon}
    figures["purge.in_leak_budget_m3_s"] = estimate(
        in_leak_budget_m3_s, key="purge.in_leak_budget_m3_s", target_frac=target, supply_frac=supply, flow_m3_s=flow
    )
    figures["purge.vent_target_frac"] = estimate(vent_target_frac, key="purge.vent_target_frac", target_frac=target)
    figures |= _vent(joint, flow=flow, ambient=ambient, cells=cells)
    figures |= _open_arcs(joint, arcs=arcs, target=target, ambient=ambient, cells=cells)
    figures |= _split(arcs, figures, flow=flow, cells=cells)
    return figures, _concerns(joint, figures, flow=flow, cells=cells)


def _volume(joint: Joint) -> Estimate:
    """Between the dams, half on each side of the root; without dams the whole run in the bore of the first end."""
    span = joint.purge.dam_span_m
    if joint.purge.dam_kind == "none":
        return estimate(run_volume_m3, key="purge.volume_m3", bore_m=joint.end_a.bore, length_m=span)
    half = span.value / 2
    return estimate(
        purged_volume_m3, key="purge.volume_m3", first_bore_m=joint.end_a.bore, first_length_m=half,
        second_bore_m=joint.end_b.bore, second_length_m=half,
    )  # fmt: skip


def _vent(joint: Joint, *, flow: Known, ambient: Known, cells: Mapping[str, Datum]) -> Figures:
    area = estimate(opening_area_m2, key="purge.vent_area_m2", opening_diameter_m=joint.purge.vent_diameter_m)
    density = estimate(
        argon_density_kg_m3, key="purge.argon_density_kg_m3", gas_K=ambient, gas_pressure_Pa=ATMOSPHERE_PA
    )
    shared: dict[str, Known | float] = {
        "vent_area_m2": area, "gap_area_m2": 0.0, "density_kg_m3": density, "discharge_1": cells["discharge_1"]
    }  # fmt: skip
    needed = estimate(
        vent_area_needed_m2,
        key="purge.vent_needed_m2",
        flow_m3_s=flow,
        overpressure_Pa=cells["closing_pressure_Pa"],
        gap_area_m2=0.0,
        density_kg_m3=density,
        discharge_1=cells["discharge_1"],
    )
    return {
        area.key: area,
        density.key: density,
        needed.key: needed,
        "purge.vent_needed_m": estimate(vent_diameter_m, key="purge.vent_needed_m", vent_area_m2=needed),
        "purge.pressure_Pa": estimate(overpressure_Pa, key="purge.pressure_Pa", flow_m3_s=flow, **shared),
        "purge.closing_flow_m3_s": estimate(
            flow_for_pressure_m3_s,
            key="purge.closing_flow_m3_s",
            overpressure_Pa=cells["closing_pressure_Pa"],
            **shared,
        ),
    }


def _open_arcs(
    joint: Joint, *, arcs: tuple[Arc, ...], target: Known, ambient: Known, cells: Mapping[str, Datum]
) -> Figures:
    """Least flow through each arc while it stands open: no air by diffusion, and none by weight at its top."""
    ring = joint.end_a.outer_diameter_m
    gap = joint.groove.gap_m
    figures: Figures = {}
    diffusivity = estimate(
        oxygen_diffusivity_m2_s, key="purge.diffusivity_m2_s", gas_K=ambient, gas_pressure_Pa=ATMOSPHERE_PA
    )
    air = estimate(air_density_kg_m3, key="purge.air_density_kg_m3", gas_K=ambient, gas_pressure_Pa=ATMOSPHERE_PA)
    argon = estimate(argon_density_kg_m3, key="purge.argon_density_kg_m3", gas_K=ambient, gas_pressure_Pa=ATMOSPHERE_PA)
    speed = estimate(
        outflow_speed_needed_m_s, key="purge.outflow_speed_m_s", added_frac=target, depth_m=joint.end_a.wall_m,
        diffusivity_m2_s=diffusivity,
    )  # fmt: skip
    figures |= {f.key: f for f in (diffusivity, air, speed)}
    if gap.value <= 0:
        return figures
    flat = POSITIONS[joint.position].axis == "vertical"
    for arc in arcs:
        key = f"arcs.{arc.name}"
        place = {"from_rad": arc.from_rad, "to_rad": arc.from_rad + arc.sweep_rad}
        area = estimate(open_area_m2, key=f"{key}.open_area_m2", ring_diameter_m=ring, gap_m=gap, **place)
        diffusion = estimate(
            back_diffusion_flow_m3_s, key=f"{key}.diffusion_flow_m3_s", outflow_speed_m_s=speed, open_area_m2=area,
            margin_1=cells["diffusion_margin_1"],
        )  # fmt: skip
        figures |= {area.key: area, diffusion.key: diffusion}
        if flat:
            # one height all round: nothing in the arc lies over anything else, so diffusion alone decides
            figures[f"{key}.least_flow_m3_s"] = estimate(
                least_arc_flow_m3_s,
                key=f"{key}.least_flow_m3_s",
                flooding_flow_m3_s=0.0,
                back_diffusion_flow_m3_s=diffusion,
            )
            continue
        flooding = estimate(
            flooding_flow_m3_s, key=f"{key}.flooding_flow_m3_s", ring_diameter_m=ring, gap_m=gap, **place,
            overpressure_top_Pa=0.0, argon_density_kg_m3=argon, air_density_kg_m3=air, discharge_1=cells["discharge_1"],
        )  # fmt: skip
        least = estimate(
            least_arc_flow_m3_s,
            key=f"{key}.least_flow_m3_s",
            flooding_flow_m3_s=flooding,
            back_diffusion_flow_m3_s=diffusion,
        )
        figures |= {flooding.key: flooding, least.key: least}
    return figures


def _split(arcs: tuple[Arc, ...], figures: Figures, *, flow: Known, cells: Mapping[str, Datum]) -> Figures:
    """What of the flow leaves by the open arc and what by the vent, the pressure left, and the wind that would turn it."""
    air = figures["purge.air_density_kg_m3"]
    gust = estimate(wind_Pa, key="purge.wind_Pa", wind_m_s=cells["draught_max_m_s"], air_density_kg_m3=air)
    made: Figures = {gust.key: gust}
    for arc in arcs:
        key = f"arcs.{arc.name}"
        if f"{key}.least_flow_m3_s" not in figures:
            continue
        areas = {"vent_area_m2": figures["purge.vent_area_m2"], "gap_area_m2": figures[f"{key}.open_area_m2"]}
        share = estimate(gap_share_frac, key=f"{key}.gap_share_frac", **areas)
        pressure = estimate(
            overpressure_Pa, key=f"{key}.open_pressure_Pa", flow_m3_s=flow, **areas,
            density_kg_m3=figures["purge.argon_density_kg_m3"], discharge_1=cells["discharge_1"],
        )  # fmt: skip
        backing = estimate(
            arc_backing_m3_s, key=f"{key}.backing_flow_m3_s", least_flow_m3_s=figures[f"{key}.least_flow_m3_s"],
            share_frac=share,
        )  # fmt: skip
        wind = estimate(
            wind_withstood_m_s, key=f"{key}.wind_m_s", overpressure_Pa=pressure, air_density_kg_m3=air
        )  # fmt: skip
        made |= {figure.key: figure for figure in (share, pressure, backing, wind)}
    return made


def _concerns(joint: Joint, figures: Figures, *, flow: Known, cells: Mapping[str, Datum]) -> tuple[Concern, ...]:
    found = []
    needed = {key: f for key, f in figures.items() if key.startswith("arcs.") and key.endswith(".backing_flow_m3_s")}
    starved = tuple(key for key, figure in needed.items() if figure.value > flow.value)
    if starved:
        found.append(Concern("warn", "concern.open_arc_flow", starved))
    draught = cells["draught_max_m_s"].value
    blown = tuple(key for key, f in figures.items() if key.endswith(".wind_m_s") and f.value < draught)
    if blown:
        found.append(Concern("note", "concern.open_arc_wind", blown))
    if figures["purge.pressure_Pa"].value > cells["closing_pressure_Pa"].value:
        found.append(Concern("warn", "concern.step_down", ("purge.pressure_Pa", "purge.closing_flow_m3_s")))
    if joint.purge.feed == "unknown":
        found.append(Concern("note", "concern.feed_unknown", ("purge.time_s",)))
    if joint.purge.dam_kind == "none":
        found.append(Concern("note", "concern.no_dams", ("purge.volume_m3", "purge.time_s")))
    elif joint.closing and joint.purge.dam_kind in ("foam", "plug", "inflatable"):
        found.append(Concern("block", "concern.dam_lost", (), (("dam_kind", joint.purge.dam_kind),)))
    return tuple(found)
