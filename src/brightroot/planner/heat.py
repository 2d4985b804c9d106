"""Every run's heat in its place and time: temperature at the probe, hold, wait, and the length of hot metal.

The finite volumes march the joint once, run by run, on its own groove as it fills. Everything that is doubtful (net power,
travel, wall, properties, losses, the probe's place) is a factor on the rise, by the swings of the first run that Green's
function tells in no time.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from brightroot.base.formula import Assumed, Estimate, Input, Known, card_of, estimate
from brightroot.base.source import Datum, weakest
from brightroot.model.joint import Joint
from brightroot.model.library import Library
from brightroot.model.plan import PlannedPass, PlannedRun
from brightroot.physics.heat import run as heat_run
from brightroot.physics.heat.properties import loss_W_m2K, mean_over, net_power_W
from brightroot.physics.heat.questions import Band3, RunHeat
from brightroot.physics.heat.ring import ArcRun, Ring
from brightroot.physics.heat.volumes.after_run import AfterRun, after_run
from brightroot.physics.heat.volumes.body import Body, Heated, at_rest
from brightroot.physics.weld.heat_input import heat_input_J_m
from brightroot.physics.weld.travel import arc_time_s
from brightroot.planner.choose import chosen, family_cells, within
from brightroot.planner.passes import amps_row, thinner_wall
from brightroot.planner.shape import body_of, laid_by
from brightroot.planner.swings import Metal, Spread, shares, spread_of

Figures = dict[str, Estimate]
Progress = Callable[[int, int], None]
# properties are averaged from ambient to here: hot enough to conduct the heat away, cool enough to be what the probe feels
MEAN_TO_K = 1000.0
LOSS_AT_K = 500.0
AT_PROBE = ("reading_at_arc_off_K", "reading_peak_K", "peak_after_s", "wait_s")


@dataclass(frozen=True, slots=True)
class HeatPlan:
    """The figures, the runs as the engine saw them, and the temperature histories of each run's face and root."""

    figures: Figures
    ring: Ring
    arcs: tuple[ArcRun, ...]
    heats: tuple[RunHeat, ...]


def plan_heat(
    joint: Joint,
    *,
    library: Library,
    passes: tuple[PlannedPass, ...],
    runs: tuple[PlannedRun, ...],
    chosen_ways: Mapping[int, tuple[float, float]] | None = None,
    progress: Progress = lambda done, of: None,
) -> HeatPlan:
    """Heat of every run in order. Each starts when hold, wait and moving are over. `progress` hears (runs done, of all).

    `chosen_ways` has current and travel by pass, where a search chose them inside their windows.
    """
    cells = family_cells(joint, library)
    metal = metal_of_joint(joint, library, cells)
    figures: Figures = {metal.loss_outer.key: metal.loss_outer, metal.loss_inner.key: metal.loss_inner}
    figures |= {
        "heat.conductivity_W_mK": plain_figure("conductivity_W_mK", "heat.conductivity_W_mK", metal.conductivity),
        "heat.capacity_J_m3K": plain_figure("capacity_J_m3K", "heat.capacity_J_m3K", metal.capacity),
    }
    for layer in passes:
        figures |= _pass(joint, library, layer, cells, (chosen_ways or {}).get(layer.number))
    ring = ring_of_joint(joint, metal, cells)
    ambient = chosen(joint.ambient_K, cells["ambient_K"])
    figures["heat.ambient_K"] = plain_figure("ambient_K", "heat.ambient_K", ambient)
    figures["heat.half_length_m"] = Estimate(
        "half_length_m", ring.half_length_m, ring.half_length_m, ring.half_length_m, "", key="heat.half_length_m"
    )
    limits = {
        "ambient_K": ambient,
        "limit_K": chosen(joint.procedure.interpass_max_K, cells["interpass_max_K"]),
        "release_K": chosen(joint.procedure.release_K, cells["release_K"]),
        "reading_distance_m": chosen(joint.procedure.reading_distance_m, cells["reading_distance_m"]),
    }
    whole = body_of(joint, library=library)
    layers = {layer.number: layer for layer in passes}
    arcs: list[ArcRun] = []
    heats: list[RunHeat] = []
    latest: AfterRun | None = None
    spread: Spread | None = None
    for index, run in enumerate(runs):
        progress(index, len(runs))
        figures |= _arc(run, ring, figures)
        start = arcs[-1].stop_s + _pause(heats[-1], cells) if arcs else 0.0
        arcs.append(_arc_run(run, figures, start))
        spread = spread or spread_of(metal, ring, arcs[0], limits["reading_distance_m"].value, cells)
        latest = after_run(
            whole=whole, before=_joint_at(whole, latest, start), run=arcs[-1], laying=laid_by(layers[run.pass_number]),
            limit_K=limits["limit_K"].value, release_K=limits["release_K"].value,
            reading_z_m=limits["reading_distance_m"].value,
            next_run=_arc_run(runs[index + 1], figures, 0.0) if index + 1 < len(runs) else None,
            weld_1=(spread.weld.low_1, 1.0, spread.weld.high_1), probe_1=(spread.probe.low_1, 1.0, spread.probe.high_1),
        )  # fmt: skip
        heats.append(latest.heat)
        figures |= _answers(
            run,
            latest.heat,
            *(_inputs(run, figures, metal, joint, limits, shares(s)) for s in (spread.weld, spread.probe)),
        )
    return HeatPlan(figures, ring, tuple(arcs), tuple(heats))


def _joint_at(whole: Body, latest: AfterRun | None, time_s: float) -> Heated:
    return latest.at(whole, time_s) if latest else at_rest(whole, time_s=time_s)


def metal_of_joint(joint: Joint, library: Library, cells: Mapping[str, Datum]) -> Metal:
    alloy = library.alloys[joint.end_a.alloy]
    ambient = chosen(joint.ambient_K, cells["ambient_K"]).value
    conductivity = _averaged(alloy.curves["conductivity_W_mK"], ambient)
    heat = _averaged(alloy.curves["specific_heat_J_kgK"], ambient)
    density = alloy.cells["density_kg_m3"]
    product = heat.value * density.value
    wide = max((heat.high - heat.value) / heat.value, 0.05)
    capacity = Assumed(
        product, product * (1 - wide), product * (1 + wide), heat.ref, weakest([heat.standing, density.standing])
    )
    faces = {
        face: estimate(
            loss_W_m2K, key=f"heat.loss_{face}_W_m2K", convection_W_m2K=cells[f"convection_{face}_W_m2K"],
            emissivity_1=cells[f"emissivity_{face}_1"], surface_K=LOSS_AT_K,
        )
        for face in ("outer", "inner")
    }  # fmt: skip
    return Metal(conductivity, capacity, faces["outer"], faces["inner"])


def _averaged(curve: object, ambient: float) -> Assumed:
    least, mean, most = mean_over(
        temperature_K=curve.temperature_K, value=curve.value, from_K=ambient, to_K=MEAN_TO_K  # type: ignore[attr-defined]
    )  # fmt: skip
    table = curve.spread_frac  # type: ignore[attr-defined]
    # half of the property's own swing may be in the wrong place, and the table has its own doubt
    low, high = mean - (mean - least) / 2, mean + (most - mean) / 2
    return Assumed(
        mean, low * (1 - table), high * (1 + table), curve.source, curve.standing, "library"  # type: ignore[attr-defined]
    )  # fmt: skip


def ring_of_joint(joint: Joint, metal: Metal, cells: Mapping[str, Datum]) -> Ring:
    """The ends as one tube: the thinner wall, and the shorter straight length on either side."""
    reaches = [end.reach_m.value for end in (joint.end_a, joint.end_b) if end.reach_m and end.reach_m.value > 0]
    return Ring(
        outer_diameter_m=joint.end_a.outer_diameter_m.value,
        wall_m=thinner_wall(joint).value,
        half_length_m=max(min(reaches, default=cells["half_length_m"].value), 0.05),
        conductivity_W_mK=metal.conductivity.value,
        heat_capacity_J_m3K=metal.capacity.value,
        loss_outer_W_m2K=metal.loss_outer.value,
        loss_inner_W_m2K=metal.loss_inner.value,
        ambient_K=chosen(joint.ambient_K, cells["ambient_K"]).value,
    )


def _pass(
    joint: Joint,
    library: Library,
    layer: PlannedPass,
    cells: Mapping[str, Datum],
    chosen_way: tuple[float, float] | None,
) -> Figures:
    """Amps, travel, net power and heat input of one pass."""
    family = library.families[library.alloys[joint.end_a.alloy].family]
    row = amps_row(family, thinner_wall(joint).value)
    limits = joint.procedure
    amps = within(row.root if layer.name == "root" else row.fill, limits.current_min_A, limits.current_max_A)
    travel = within(cells["travel_m_s"], limits.travel_min_m_s, limits.travel_max_m_s)
    if chosen_way is not None:
        amps, travel = _placed(amps, chosen_way[0]), _placed(travel, chosen_way[1])
    volts = cells["arc_voltage_V"]
    key = f"passes.{layer.number}"
    power = estimate(
        net_power_W, key=f"{key}.net_power_W", efficiency_frac=cells["efficiency_frac"], voltage_V=volts.value,
        current_A=amps.value,
    )  # fmt: skip
    heat = estimate(
        heat_input_J_m, key=f"{key}.heat_input_J_m", efficiency_frac=cells["efficiency_frac"], voltage_V=volts,
        current_A=amps, travel_m_s=travel,
    )  # fmt: skip
    return {
        f"{key}.current_A": plain_figure("current_A", f"{key}.current_A", amps),
        f"{key}.travel_m_s": plain_figure("travel_m_s", f"{key}.travel_m_s", travel),
        f"{key}.voltage_V": plain_figure("voltage_V", f"{key}.voltage_V", volts),
        power.key: power,
        heat.key: heat,
    }


def _placed(window: Known, value: float) -> Assumed:
    """A window with another value in it."""
    low, high = min(window.low, value), max(window.high, value)
    return Assumed(value, low, high, window.ref, window.standing, window.origin)


def plain_figure(name: str, key: str, known: Known) -> Estimate:
    """A chosen value as a figure of its own: it opens to where it was chosen from."""
    row = Input(name, known.value, known.low, known.high, known.origin, known.ref, known.standing, 0.0)
    return Estimate(name, known.value, known.low, known.high, "", (row,), known.standing, (), key)


def _arc(run: PlannedRun, ring: Ring, figures: Figures) -> Figures:
    key = f"runs.{run.number}"
    length = abs(run.sweep_rad) * ring.outer_diameter_m / 2
    along = Estimate("length_m", length, length, length, "", (), key=f"{key}.length_m")
    time = estimate(
        arc_time_s,
        key=f"{key}.arc_time_s",
        run_length_m=length,
        travel_m_s=figures[f"passes.{run.pass_number}.travel_m_s"],
    )
    return {along.key: along, time.key: time}


def _arc_run(run: PlannedRun, figures: Figures, start_s: float) -> ArcRun:
    """The run as the engine takes it; a run not reached yet only lends its place."""
    time = figures.get(f"runs.{run.number}.arc_time_s")
    power = figures[f"passes.{run.pass_number}.net_power_W"].value
    return ArcRun(start_s, time.value if time else 1.0, run.from_rad, run.sweep_rad, power)


def _pause(heat: RunHeat, cells: Mapping[str, Datum]) -> float:
    """From arc-off to the next arc-on: whichever lasts longest of hold and moving on, and the wait."""
    holds = [h.value or 0.0 for h in (heat.hold_outer_s, heat.hold_inner_s)]
    return max(max(holds) + cells["move_s"].value, heat.wait_s.value or 0.0)


def _inputs(
    run: PlannedRun,
    figures: Figures,
    metal: Metal,
    joint: Joint,
    limits: Mapping[str, Known],
    share: Mapping[str, float],
) -> tuple[Input, ...]:
    layer = f"passes.{run.pass_number}"
    known: dict[str, Known] = {
        "net_power_W": figures[f"{layer}.net_power_W"],
        "arc_time_s": figures[f"runs.{run.number}.arc_time_s"],
        "run_length_m": figures[f"runs.{run.number}.length_m"],
        "outer_diameter_m": joint.end_a.outer_diameter_m,
        "wall_m": thinner_wall(joint),
        "conductivity_W_mK": metal.conductivity,
        "heat_capacity_J_m3K": metal.capacity,
        **limits,
    }
    return tuple(
        Input(name, k.value, k.low, k.high, k.origin, k.ref, k.standing, share.get(name, 0.0))
        for name, k in known.items()
    )


def _answers(
    run: PlannedRun, heat: RunHeat, weld_inputs: tuple[Input, ...], probe_inputs: tuple[Input, ...]
) -> Figures:
    """The run's figures. What does not come about within four hours has no figure: the page says so."""
    hold = _later(heat.hold_outer_s, heat.hold_inner_s)
    asked: tuple[tuple[str, str, Band3], ...] = (  # figure, formula, answer
        ("reading_at_arc_off_K", card_of(heat_run.reading_at_arc_off_K).id, heat.reading_at_arc_off_K),
        ("reading_peak_K", card_of(heat_run.reading_peak_K).id, heat.reading_peak_K),
        ("peak_after_s", card_of(heat_run.peak_after_s).id, heat.peak_after_s),
        ("wait_s", card_of(heat_run.wait_s).id, heat.wait_s),
        ("hold_s", card_of(heat_run.hold_s).id, hold),
        ("hot_length_outer_m", card_of(heat_run.hot_length_m).id, heat.hot_length_outer_m),
        ("hot_length_inner_m", card_of(heat_run.hot_length_m).id, heat.hot_length_inner_m),
    )
    standing = weakest([i.standing for i in weld_inputs])
    made: Figures = {}
    for name, formula, band in asked:
        if band.low is None or band.value is None or band.high is None:
            continue
        key = f"runs.{run.number}.{name}"
        inputs = probe_inputs if name in AT_PROBE else weld_inputs
        made[key] = Estimate(
            name, band.value, min(band.low, band.value), max(band.high, band.value), formula, inputs, standing,
            ("caveat.whole_layer",), key,
        )  # fmt: skip
    return made


def _later(one: Band3, other: Band3) -> Band3:
    """The later of two, end by end; None where either is not known."""

    def end(a: float | None, b: float | None) -> float | None:
        return None if a is None or b is None else max(a, b)

    return Band3(end(one.low, other.low), end(one.value, other.value), end(one.high, other.high))
