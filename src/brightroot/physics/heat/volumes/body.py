"""What is heated, and its state: built once from metal and section, then marched from moment to moment.

Values only: marching gives a new `Heated`, so any moment can be kept, branched from, and asked.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from brightroot.base.errors import Refused
from brightroot.physics.heat.ring import ARC_SIGMA_M, ArcRun
from brightroot.physics.heat.volumes.compiled.packed import Air, Arc, Looks, Policy, Shape, Table
from brightroot.physics.heat.volumes.metal import Metal
from brightroot.physics.heat.volumes.section import Section

Array = NDArray[np.float64]
Whole = NDArray[np.int64]
HOTTEST_START_K = 900.0


@dataclass(frozen=True, slots=True)
class Losses:
    """What the faces give to the air about them: convection and emissivity outside and inside."""

    air_K: float
    outer_W_m2K: float
    outer_emissivity_1: float
    inner_W_m2K: float
    inner_emissivity_1: float


@dataclass(frozen=True, slots=True)
class Pace:
    """How fine to march. The defaults are what plans use; see the evidence page for what they cost in kelvin."""

    cell_m: float = 0.00175  # round the pipe, at the arc
    widest: int = 4  # cells widen up to 2**widest times
    arc_step_s: float = 0.75
    arc_step_m: float = 0.0012  # and no farther along the weld
    age_share_1: float = 0.3  # of the time since arc-off, a step of cooling
    longest_s: float = 30.0


PLANNING = Pace()
FINE = Pace(cell_m=0.0005, widest=2, arc_step_s=0.15, arc_step_m=0.0003, age_share_1=0.04, longest_s=0.5)


@dataclass(frozen=True, eq=False, slots=True)
class Body:
    """Metal in a shape, with what it loses. `around` base cells make the ring."""

    metal: Metal
    section: Section
    radius_m: float
    losses: Losses
    start_K: float
    pace: Pace
    sigma_m: float
    around: int
    blur_m2_s: float
    packed: tuple[Shape, Table, Air]  # as the compiled loop takes them

    @property
    def base_rad(self) -> float:
        """One base cell."""
        return 2 * math.pi / self.around


@dataclass(frozen=True, eq=False, slots=True)
class Heated:
    """A body at a moment: enthalpies (rings × cells with ghosts) on edges in base cells, what is laid, earlier arc-offs."""

    time_s: float
    enthalpy_J_m3: Array
    edges: Whole
    filled: NDArray[np.uint8]
    stop_rad: tuple[float, ...] = ()
    stop_s: tuple[float, ...] = ()
    fed_J: float = 0.0
    lost_J: float = 0.0
    cell_stages: int = 0  # how much was computed to come here


@dataclass(frozen=True, slots=True)
class Probe:
    """A place on a face: angle, distance from the weld plane, outside or inside."""

    theta_rad: float
    z_m: float
    side: str = "outside"


@dataclass(frozen=True, eq=False, slots=True)
class Seen:
    """What was seen at the end of every step: kelvin at each probe (steps × probes) and the hottest of each face."""

    time_s: Array
    probe_K: Array
    outer_max_K: Array
    inner_max_K: Array = field(repr=False)


def body(
    *, metal: Metal, section: Section, radius_m: float, losses: Losses, start_K: float, pace: Pace = PLANNING,
    sigma_m: float = ARC_SIGMA_M,
) -> Body:  # fmt: skip
    """A body at rest. `radius_m` is the outer radius along which the arc travels and arc widths are measured."""
    if not 200.0 < start_K < HOTTEST_START_K:
        raise Refused(field="start_K", wanted="from −73 to 627 °C", got=f"{start_K - 273.15:g} °C")
    block = 2**pace.widest
    around = max(2 * block, block * round(2 * math.pi * radius_m / pace.cell_m / block))
    slope = np.diff(metal.potential_W_m) / metal.step_J_m3
    packed = (_packed_section(section, radius_m, sigma_m), _packed_tables(metal), _packed_air(metal, losses, start_K))
    blur = float(np.median(slope[:2000]))
    return Body(metal, section, radius_m, losses, start_K, pace, sigma_m, around, blur, packed)


def at_rest(whole: Body, *, time_s: float = 0.0) -> Heated:
    """The body before any arc."""
    edges = np.arange(0, whole.around + 1, 2**whole.pace.widest, dtype=np.int64)
    state = np.full((whole.section.count, edges.size + 1), whole.metal.enthalpy_J_m3(whole.start_K))
    filled = np.zeros((whole.section.pass_share.shape[0], whole.around), dtype=np.uint8)
    return Heated(time_s, state, edges, filled)


def advanced(
    whole: Body, heated: Heated, *, until_s: float, arc: ArcRun | None = None, laying: int | None = None,
    probes: Sequence[Probe] = (),
) -> tuple[Heated, Seen]:  # fmt: skip
    """The body at a later moment, and what was seen on the way; with an arc, until that moment or its end.

    `arc` starts now, whatever its own start says. `laying` is the number of the pass (from 0) whose metal it leaves.
    Conserves heat to rounding. Raises Refused for a time that has passed and for a pass that the section does not know.
    """
    from brightroot.physics.heat.volumes.compiled.march import march

    if until_s < heated.time_s - 1e-9:
        raise Refused(field="until_s", wanted=f"no earlier than {heated.time_s:g} s", got=f"{until_s:g} s")
    passes = whole.section.pass_share.shape[0]
    if laying is not None and not 0 <= laying < passes:
        raise Refused(field="laying", wanted=f"a pass from 0 to {passes - 1}", got=str(laying))
    columns = [_weights(whole.section, probe.z_m) for probe in probes]
    half = 0.5 if whole.section.mirrored else 1.0
    going = Arc(False, 0.0, 0.0, 0.0, whole.sigma_m)
    if arc is not None:
        going = Arc(True, arc.from_rad, arc.sweep_rad / arc.duration_s, arc.net_power_W * half, whole.sigma_m)
    looks = Looks(
        np.array([p.theta_rad for p in probes], dtype=float),
        np.array([p.side == "outside" for p in probes], dtype=bool),
        np.array([places for places, _ in columns], dtype=np.int64).reshape(len(probes), 4),
        np.array([weights for _, weights in columns], dtype=float).reshape(len(probes), 4),
    )
    pace, step_s = whole.pace, whole.pace.arc_step_s
    if arc is not None and arc.sweep_rad:
        step_s = min(step_s, pace.arc_step_m / abs(arc.sweep_rad * whole.radius_m / arc.duration_s))
    policy = Policy(
        whole.radius_m * whole.base_rad, pace.widest, step_s, pace.age_share_1, pace.longest_s, whole.blur_m2_s
    )
    filled = heated.filled.copy()
    state, edges, fed, lost, swept, book, rows = march(
        heated.enthalpy_J_m3.copy(), heated.edges, filled, *whole.packed, going, *_sharp_stops(whole, heated), looks, policy,
        heated.time_s, float(until_s), -1 if laying is None else laying,
    )  # fmt: skip
    found = book[:rows]
    after = replace(
        heated, time_s=float(until_s), enthalpy_J_m3=state, edges=edges, filled=filled, fed_J=heated.fed_J + fed / half,
        lost_J=heated.lost_J + lost / half, cell_stages=heated.cell_stages + int(swept),
    )  # fmt: skip
    if arc is not None:
        reached = arc.from_rad + arc.sweep_rad * (until_s - heated.time_s) / arc.duration_s
        after = replace(after, stop_rad=(*heated.stop_rad, reached), stop_s=(*heated.stop_s, float(until_s)))
    return after, Seen(found[:, 0], found[:, 1:-2], found[:, -2], found[:, -1])


def warmed() -> Heated:
    """March a hand's breadth, so that what has to be compiled is: some seconds the first time, then a fifth of one."""
    from brightroot.physics.heat.volumes.metal import metal
    from brightroot.physics.heat.volumes.wall import plain_section

    even = metal(density_kg_m3=4510.0, conductivity=([300.0], [20.0]), specific_heat=([300.0], [600.0]))
    cut = plain_section(outer_diameter_m=0.03, wall_m=0.003, half_length_m=0.05)
    still = Losses(293.15, 10.0, 0.3, 5.0, 0.3)
    whole = body(metal=even, section=cut, radius_m=0.015, losses=still, start_K=293.15)
    run = ArcRun(0.0, 1.0, 0.0, 0.1, 300.0)
    heated = advanced(whole, at_rest(whole), until_s=1.0, arc=run, probes=[Probe(0.1, 0.0254)])[0]
    weld_K(whole, heated, side="outside")
    return heated


def face_K(whole: Body, heated: Heated, *, side: str) -> tuple[Array, Array]:
    """Edges round the pipe in radians, and temperatures of a face, columns × cells."""
    from brightroot.physics.heat.volumes.compiled.faces import face_of
    from brightroot.physics.heat.volumes.compiled.links import metal_share, top_and_bottom

    cut = whole.section
    metal = metal_share(cut.base_share, cut.pass_share, heated.filled, heated.edges)
    top, under, bottom, over = top_and_bottom(metal, cut.first, cut.last)
    edge, beyond = (top, under) if side == "outside" else (bottom, over)
    return np.asarray(heated.edges * whole.base_rad, dtype=np.float64), np.asarray(
        face_of(heated.enthalpy_J_m3, edge, beyond, whole.packed[1])
    )


def weld_K(whole: Body, heated: Heated, *, side: str) -> tuple[Array, Array]:
    """Edges round the pipe in radians, and temperatures of a face on the weld plane, cell by cell."""
    edges, face = face_K(whole, heated, side=side)
    places, weights = _weights(whole.section, 0.0)
    return edges, np.asarray(weights @ face[places])


def imbalance_1(whole: Body, heated: Heated) -> float:
    """|fed − stored − lost| over fed; 0 before any heat."""
    from brightroot.physics.heat.volumes.compiled.links import metal_share

    if heated.fed_J == 0.0:
        return 0.0
    cut = whole.section
    metal = metal_share(cut.base_share, cut.pass_share, heated.filled, heated.edges)
    rise = heated.enthalpy_J_m3[:, 1:-1] - whole.metal.enthalpy_J_m3(whole.start_K)
    width = np.diff(heated.edges) * whole.base_rad
    stored = float((rise * metal * cut.volume_m3[:, None] * width).sum()) * (2.0 if cut.mirrored else 1.0)
    return abs(heated.fed_J - stored - heated.lost_J) / heated.fed_J


def _sharp_stops(whole: Body, heated: Heated) -> tuple[Array, Array]:
    """Angles and moments of the arc-offs whose craters the widest cells could still blur, and of the last one."""
    from brightroot.physics.heat.volumes.compiled.march import SHARP_1

    sharp_m = SHARP_1 * np.sqrt(
        2 * whole.blur_m2_s * np.maximum(heated.time_s - np.array(heated.stop_s, dtype=float), 0.0)
    )
    keep = sharp_m < whole.radius_m * whole.base_rad * 2**whole.pace.widest
    keep[-1:] = True
    return np.array(heated.stop_rad, dtype=float)[keep], np.array(heated.stop_s, dtype=float)[keep]


def _packed_section(cut: Section, radius_m: float, sigma_m: float) -> Shape:
    columns, weights = _weights(cut, 0.0)
    return Shape(
        radius_m, cut.volume_m3, cut.around_1_m / cut.volume_m3, cut.beside, cut.ways, cut.conducts_m / cut.volume_m3[:, None],
        cut.base_conducts_m, cut.pass_conducts_m, cut.base_share, cut.pass_share, cut.first, cut.last,
        cut.outer_radius_m * cut.width_m, cut.inner_radius_m * cut.width_m, cut.sloped_m2, cut.outer_radius_m - cut.inner_radius_m,
        np.abs(cut.z_m[cut.column]), _share_along(cut, sigma_m), columns, weights,
    )  # fmt: skip


def _share_along(cut: Section, sigma_m: float) -> Array:
    """Share of the arc's power that each column gets."""
    edges = cut.edges_m / sigma_m / math.sqrt(2)
    below = np.array([math.erf(x) for x in edges])
    share = np.diff(below)
    return np.asarray(share / share.sum())


def _packed_tables(metal: Metal) -> Table:
    step = metal.step_J_m3
    potential, kelvin = _lines(metal.potential_W_m), _lines(metal.temperature_K)
    rows = np.ascontiguousarray(np.concatenate([potential, kelvin], axis=1))
    return Table(rows, np.maximum.accumulate(potential[:, 1] / step), 1 / step, metal.even_J_m3)


def _lines(values: Array) -> Array:
    """Each row of a table as the line to the next; past the last the same slope goes on."""
    slope = np.append(np.diff(values), values[-1] - values[-2])
    return np.stack([values - np.arange(values.size) * slope, slope], axis=1)


def _packed_air(metal: Metal, own: Losses, start_K: float) -> Air:
    cold = metal.enthalpy_J_m3(min(own.air_K, start_K))
    return Air(own.air_K, own.outer_W_m2K, own.outer_emissivity_1, own.inner_W_m2K, own.inner_emissivity_1, cold)


def _weights(cut: Section, z_m: float) -> tuple[Whole, Array]:
    """Four columns and their weights for the value at a place; the section goes on as its own mirror image at its ends."""
    from brightroot.physics.heat.volumes.compiled.round_pipe import average_weights

    edges, count = cut.edges_m, cut.edges_m.size - 1
    place = abs(z_m) if cut.mirrored else z_m
    if not edges[0] <= place <= edges[-1]:
        raise Refused(
            field="z_m", wanted=f"on the pipe, up to {edges[-1] * 1000:g} mm from the weld", got=f"{z_m * 1000:g} mm"
        )
    wide = np.concatenate([2 * edges[0] - edges[:0:-1], edges, 2 * edges[-1] - edges[-2::-1]])
    whose = np.concatenate([np.arange(count)[::-1], np.arange(count), np.arange(count)[::-1]])
    cell = min(int(np.searchsorted(wide, place, side="right")) - 1, 2 * count - 1)
    first = cell - 1 - (1 if place < (wide[cell] + wide[cell + 1]) / 2 else 0)
    return whose[first : first + 4].astype(np.int64), average_weights(wide[first : first + 5], place)
