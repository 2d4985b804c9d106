"""Does the library hang together? Every problem as one sentence that names the thing and the cell."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping
from itertools import pairwise

from brightroot.base.source import Datum, Source, Standing
from brightroot.base.units import PLAIN_SUFFIXES, dimension_of
from brightroot.model.event import KINDS
from brightroot.model.find import folded, names_of
from brightroot.model.library import Alloy, Code, Curve, Family, Library, PipeSize

ALLOY_CELLS = ("density_kg_m3", "melting_K", "latent_heat_J_kg", "emissivity_1")
ALLOY_CURVES = ("conductivity_W_mK", "specific_heat_J_kgK")
FAMILY_CELLS = (
    "interpass_max_K", "release_K", "start_oxygen_frac", "stop_oxygen_times_1", "torch_flow_m3_s", "trail_flow_m3_s",
    "backing_flow_m3_s", "closing_flow_m3_s", "pre_flow_s", "post_flow_s", "slope_up_s", "slope_down_s", "cup_bore_m",
    "stick_out_m", "tip_angle_rad", "tungsten_diameter_m", "arc_voltage_V", "travel_m_s", "heat_input_J_m",
    "prepared_valid_s", "clean_band_m", "tack_length_m", "tack_spacing_m", "cap_overlap_m", "cap_height_m",
    "root_protrusion_m", "root_melt_in_m", "root_layer_m", "fill_layer_m", "one_pass_wall_m", "widest_bead_m",
    "longest_run_m", "longest_arc_m", "stagger_m", "stub_m", "rod_length_m", "shield_allowance_m", "trail_oxygen_frac",
    "emissivity_outer_1", "emissivity_inner_1", "convection_outer_W_m2K", "convection_inner_W_m2K",
)  # fmt: skip
WHO_OWES = ("welder", "helper", "foreman", "inspector", "examiner", "engineer", "owner")
FAMILY_WORDS = ("tungsten", "polarity", "lens", "start", "solvent", "tools", "tint")
PRACTICE_CELLS = (
    "efficiency_frac", "travel_spread_1", "supply_oxygen_frac", "cylinder_volume_m3", "cylinder_pressure_Pa",
    "heel_pressure_Pa", "hi_lo_max_m", "draught_max_m_s",
    "gas_reference_K", "oxygen_good_for_s", "in_leak_m3_s", "monitor_lag_s", "closing_pressure_Pa",
    "discharge_1", "diffusion_margin_1", "ambient_K", "reading_distance_m", "probe_spread_m", "thermometer_spread_dK",
    "infrared_set_1",
    "infrared_metal_1",
    "move_s", "tape_s", "half_length_m", "fitting_long_1", "flange_reach_m", "flange_wide_1", "flange_long_1",
    "valve_reach_m", "valve_wide_1", "valve_long_1",
    "stream_frozen_s", "stream_coarse_s", "stream_silent_s", "stream_settle_s", "stream_lag_least_s", "stream_swing_1",
    "stream_metal_dK",
    "dam_foam_out_count", "dam_film_out_count", "dam_plug_out_count", "dam_inflatable_out_count", "dam_none_out_count",
    "dam_foam_max_K", "dam_film_max_K", "dam_plug_max_K", "dam_inflatable_max_K", "dam_far_m", "stop_s",
    "gas_reserve_1", "titanium_heel_Pa", "air_good_for_s", "air_low_frac", "air_high_frac", "head_bore_m",
    "dew_point_max_K", "supply_oxygen_max_frac", "flowmeter_spread_1", "monitor_air_off_frac", "monitor_argon_frac",
    "melting_frac", "dilution_frac",
)  # fmt: skip
# wide enough for any metal, narrow enough to catch g/cm³ for kg/m³, °C for K and L/min for m³/s
PLAUSIBLE = {
    "density_kg_m3": (1.0, 23000.0),
    "conductivity_W_mK": (0.01, 500.0),
    "specific_heat_J_kgK": (100.0, 5200.0),
    "latent_heat_J_kg": (1e4, 1e6),
    "melting_K": (500.0, 4000.0),
    "beta_transus_K": (500.0, 2500.0),
    "interpass_max_K": (280.0, 700.0),
    "release_K": (320.0, 1000.0),
    "ambient_K": (230.0, 330.0),
    "tensile_min_Pa": (1e7, 3e9),
    "yield_min_Pa": (1e7, 3e9),
}
BY_SUFFIX = {
    "_frac": (0.0, 1.0),
    "_m3_s": (0.0, 0.01),
    "_rad": (0.0, math.pi),
    "_m_s": (0.0, 20.0),
    "_K": (70.0, 4000.0),
}
_ORDER = list(Standing)


def check_library(library: Library) -> tuple[str, ...]:
    """Every problem found, in a fixed order; none where the library can be planned with."""
    return (
        *_every_cell(library),
        *(problem for alloy in library.alloys.values() for problem in _alloy(alloy, library)),
        *_names(library.alloys.values()),
        *_fillers(library),
        *(problem for family in library.families.values() for problem in _family(family)),
        *_needed("practice", PRACTICE_CELLS, library.practice),
        *_needed("gases/argon", ("density_kg_m3", "purity_min_frac"), library.gases.get("argon", {})),
        *_pipes(library.pipes, library.sources),
        *(problem for code in library.codes.values() for problem in _code(code, library.sources)),
        *_owing(library),
    )


def every_cell(library: Library) -> Iterator[tuple[str, Datum]]:
    """Each cell of the library with the thing and the name under which a person finds it."""
    groups = {
        **{f"alloys/{a.id}": a.cells for a in library.alloys.values()},
        **{f"fillers/{f.id}": f.cells for f in library.fillers.values()},
        **{f"families/{f.id}": f.cells for f in library.families.values()},
        **{f"gases/{name}": cells for name, cells in library.gases.items()},
        "practice": library.practice,
    }
    yield from ((f"{thing}, {name}", cell) for thing, cells in groups.items() for name, cell in cells.items())
    for family in library.families.values():
        for row in family.amps:
            yield from (
                (f"families/{family.id}, {n}", cell) for n, cell in (("root_A", row.root), ("fill_A", row.fill))
            )
        yield from ((f"families/{family.id}, rod_diameter_m", cell) for cell in family.rods_m)


def _every_cell(library: Library) -> Iterator[str]:
    for where, cell in every_cell(library):
        name = where.rsplit(", ", 1)[1]
        if not cell.low <= cell.value <= cell.high:
            yield f"{where}: low ≤ value ≤ high does not hold: {cell.low:g}, {cell.value:g}, {cell.high:g}"
        if not dimension_of(name) and not name.endswith(PLAIN_SUFFIXES):
            yield f"{where}: the name does not end in a unit"
        yield from _range(where, name, (cell.low, cell.high))
        yield from _sourced(where, cell.source, cell.standing, library.sources)


def _range(where: str, name: str, values: Iterable[float]) -> Iterator[str]:
    suffix = next((s for s in BY_SUFFIX if name.endswith(s)), "")
    low, high = PLAUSIBLE.get(name) or BY_SUFFIX.get(suffix, (-math.inf, math.inf))
    odd = next((value for value in values if not low <= value <= high), None)
    if odd is not None:
        yield f"{where}: {odd:g} is not between {low:g} and {high:g}; is the unit right?"


def _sourced(where: str, source: str, standing: Standing, sources: Mapping[str, Source]) -> Iterator[str]:
    """The source exists, and nothing is better known than the place it was taken from."""
    if source not in sources:
        yield f"{where}: no source {source!r} in sources.toml"
    elif _ORDER.index(standing) < _ORDER.index(sources[source].standing):
        yield f"{where}: {standing}, but its source {source} is {sources[source].standing}"


def _needed(thing: str, names: Iterable[str], there: Mapping[str, object]) -> Iterator[str]:
    yield from (f"{thing}, {name}: missing" for name in names if name not in there)


def _alloy(alloy: Alloy, library: Library) -> Iterator[str]:
    thing = f"alloys/{alloy.id}"
    yield from _needed(thing, ALLOY_CELLS, alloy.cells)
    yield from _needed(thing, ALLOY_CURVES, alloy.curves)
    if alloy.family not in library.families:
        yield f"{thing}, family: no family {alloy.family!r}"
    if not alloy.fillers:
        yield f"{thing}, fillers: none"
    for filler in alloy.fillers:
        if filler not in library.fillers:
            yield f"{thing}, fillers: no filler {filler!r}"
        elif library.fillers[filler].family != alloy.family:
            yield f"{thing}, fillers: {filler} is of the {library.fillers[filler].family} family"
    for name, curve in alloy.curves.items():
        yield from _curve(f"{thing}, {name}", name, curve, library.sources)


def _curve(where: str, name: str, curve: Curve, sources: Mapping[str, Source]) -> Iterator[str]:
    if any(later <= sooner for sooner, later in pairwise(curve.temperature_K)):
        yield f"{where}: temperatures do not rise"
    if len(curve.temperature_K) != len(curve.value) or not curve.value:
        yield f"{where}: as many values as temperatures are wanted"
    if not 0 <= curve.spread_frac < 1:
        yield f"{where}: spread_frac is not between 0 and 1"
    yield from _range(where, name, curve.value)
    yield from _range(where, "temperature_K", curve.temperature_K)
    yield from _sourced(where, curve.source, curve.standing, sources)


def _owing(library: Library) -> Iterator[str]:
    """Somebody owes whatever a clause of a joint may ask for, from some kind of entry on."""
    for name, row in library.owing.items():
        if row.by not in WHO_OWES:
            yield f"owed, {name}: {row.by!r} is none of {', '.join(WHO_OWES)}"
        if row.due and row.due not in KINDS:
            yield f"owed, {name}: no kind of entry {row.due!r}"
    asked = {c.asks for code in library.codes.values() if code.judges == "joint" for c in code.clauses if c.asks}
    yield from (f"owed, {ask}: missing" for ask in sorted({a.rpartition(".")[2] for a in asked} - set(library.owing)))


def _names(alloys: Iterable[Alloy]) -> Iterator[str]:
    """Two grades under one name would make the lookup a guess; it is refused there and told here."""
    owners: dict[str, str] = {}
    for alloy in alloys:
        for name in names_of(alloy):
            other = owners.setdefault(folded(name), alloy.id)
            if other != alloy.id:
                yield f"alloys/{alloy.id}, aliases: {name!r} is a name of {other} too"


def _fillers(library: Library) -> Iterator[str]:
    for filler in library.fillers.values():
        yield from _needed(f"fillers/{filler.id}", ("density_kg_m3",), filler.cells)
        yield from _sourced(f"fillers/{filler.id}", filler.source, filler.standing, library.sources)
        if filler.family not in library.families:
            yield f"fillers/{filler.id}, family: no family {filler.family!r}"


def _family(family: Family) -> Iterator[str]:
    thing = f"families/{family.id}"
    yield from _needed(thing, FAMILY_CELLS, family.cells)
    yield from _needed(f"{thing}, words", FAMILY_WORDS, family.words)
    if not family.rods_m:
        yield f"{thing}, rods: none"
    walls = [(row.wall_min_m, row.wall_max_m) for row in family.amps]
    if not walls or any(low >= high for low, high in walls):
        yield f"{thing}, amps: rows from a thinner to a thicker wall are wanted"
    if any(high != low for (_, high), (low, _) in pairwise(walls)):
        yield f"{thing}, amps: each row begins where the last one ends"


def _pipes(pipes: Iterable[PipeSize], sources: Mapping[str, Source]) -> Iterator[str]:
    outside: dict[str, float] = {}
    for pipe in pipes:
        where = f"pipe, NPS {pipe.nps} Sch {pipe.schedule}"
        yield from _sourced(where, pipe.source, pipe.standing, sources)
        if not 0 < pipe.wall_m < pipe.outer_diameter_m / 2 < 1:
            yield f"{where}: a wall under half the diameter is wanted"
        if abs(outside.setdefault(pipe.nps, pipe.outer_diameter_m) - pipe.outer_diameter_m) > 1e-9:
            yield f"{where}: NPS {pipe.nps} has two outside diameters"


def _code(code: Code, sources: Mapping[str, Source]) -> Iterator[str]:
    seen: set[str] = set()
    for clause in code.clauses:
        where = f"codes/{code.id}, {clause.id}"
        yield from _sourced(where, clause.source, clause.standing, sources)
        if clause.id in seen:
            yield f"{where}: the id is used twice"
        if clause.table and clause.table not in code.tables:
            yield f"{where}: no table {clause.table!r}"
        seen.add(clause.id)
    for row in code.rows:
        where = f"codes/{code.id}/rows/{row.table}, {row.id}"
        yield from _sourced(where, row.source, row.standing, sources)
        if row.id in seen:  # clauses too: a row and a clause are confirmed by their name alone
            yield f"{where}: the id is used twice"
        seen.add(row.id)
