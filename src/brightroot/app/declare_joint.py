"""Typed facts to a Joint. Every field that cannot be understood is refused, all of them at once, by name."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Any

from brightroot.app.typed import READERS, Reader, number_within, typed_facts
from brightroot.base.errors import Refused, gathered
from brightroot.base.show import show
from brightroot.base.units import Reading
from brightroot.model.facts import FACTS
from brightroot.model.joint import ISO_POSITIONS, Groove, Joint, PipeEnd, Procedure, PurgeArrangement
from brightroot.model.library import Family, Library

# closed ranges of what can be welded by hand with this tool; outside is refused, never clipped
LIMITS: dict[str, tuple[float, float, str]] = {
    "included_angle_rad": (0.0, 2.0944, "0 to 120°"),
    "land_m": (0.0, 0.005, "0 to 5 mm"),
    "gap_m": (0.0, 0.005, "0 to 5 mm"),
    "dam_span_m": (0.02, 200.0, "20 mm to 200 m"),
    "vent_diameter_m": (0.001, 0.1, "1 to 100 mm: argon needs a way out"),
    "backing_flow_m3_s": (1e-6, 1.7e-3, "0.06 to 100 L/min"),
    "supply_oxygen_frac": (0.0, 1e-3, "0 to 1000 ppm"),
    "cylinder_volume_m3": (1e-3, 1.0, "1 to 1000 L"),
    "cylinder_pressure_Pa": (1e5, 4e7, "1 to 400 bar"),
    "heel_pressure_Pa": (0.0, 2e7, "0 to 200 bar"),
    "interpass_max_K": (283.15, 523.15, "10 to 250 °C"),
    "start_oxygen_frac": (1e-7, 5e-3, "0.1 to 5000 ppm"),
    "release_K": (323.15, 773.15, "50 to 500 °C"),
    "current_min_A": (5.0, 400.0, "5 to 400 A"),
    "current_max_A": (5.0, 400.0, "5 to 400 A"),
    "travel_min_m_s": (1e-4, 1e-2, "6 to 600 mm/min"),
    "travel_max_m_s": (1e-4, 1e-2, "6 to 600 mm/min"),
    "heat_input_max_J_m": (5e4, 5e6, "0.05 to 5 kJ/mm"),
    "reading_distance_m": (0.003, 0.2, "3 to 200 mm"),
    "shield_length_m": (0.01, 1.0, "10 mm to 1 m"),
    "longest_run_m": (0.01, 0.5, "10 to 500 mm"),
    "ambient_K": (243.15, 323.15, "-30 to 50 °C"),
    "reach_a_m": (0.0, 20.0, "0 to 20 m"),
    "reach_b_m": (0.0, 20.0, "0 to 20 m"),
    "bore_a_m": (0.003, 2.0, "3 mm to 2 m"),
    "bore_b_m": (0.003, 2.0, "3 mm to 2 m"),
}


def declare_joint(facts: Mapping[str, Any], *, library: Library) -> Joint:
    """The joint that the typed facts describe. Raises Refused with every field that needs mending in `also`."""
    read_facts, refusals = typed_facts(facts, FACTS, _READ, library=library, of="joint")
    if refusals:
        raise gathered(refusals)
    for check in (_form, _families, _walls, _groove, _pairs, _reach, _filler):
        refusals += check(read_facts, library)
    if refusals:
        raise gathered(refusals)
    return _joint(read_facts)


_READ: dict[str, Reader] = {
    **READERS,
    "number": number_within(LIMITS),
    "hold points": lambda fact, text, library: _hold_points(text),
}


def _form(facts: Mapping[str, Any], library: Library) -> Iterator[Refused]:
    if facts["form"] != "girth butt":
        yield Refused(field="form", wanted="girth butt", got=facts["form"], reason="refused.form")


def _families(facts: Mapping[str, Any], library: Library) -> Iterator[Refused]:
    one, other = facts["metal"], facts["metal_b"]
    if other and other.family != one.family:
        yield Refused(
            field="metal_b",
            wanted=f"another {one.family}",
            got=f"{other.name} ({other.family})",
            reason="refused.unlike",
        )


def _walls(facts: Mapping[str, Any], library: Library) -> Iterator[Refused]:
    for name in ("pipe", "pipe_b"):
        pipe = facts[name]
        if pipe and not 0 < 2 * pipe.wall_m.value < pipe.outer_diameter_m.value:
            got = f"{pipe.wall_m.as_entered} in {pipe.outer_diameter_m.as_entered}"
            yield Refused(field=name, wanted="a wall under half the diameter", got=got, reason="refused.range")
        elif pipe and pipe.outer_diameter_m.value - 2 * pipe.wall_m.value < LIMITS["bore_a_m"][0]:
            got = f"{pipe.wall_m.as_entered} in {pipe.outer_diameter_m.as_entered}"
            yield Refused(field=name, wanted="a wall that leaves a bore of 3 mm", got=got, reason="refused.range")
    if facts["pipe_b"]:
        one, other = facts["pipe"].outer_diameter_m.value, facts["pipe_b"].outer_diameter_m.value
        if abs(one - other) > 0.02 * one:
            yield Refused(
                field="pipe_b",
                wanted=f"an outside diameter within 2 % of {one * 1000:.1f} mm, since the ends meet",
                got=f"{other * 1000:.1f} mm",
                reason="refused.range",
            )
    for side in "ab":
        bore, pipe = facts[f"bore_{side}_m"], facts["pipe_b"] or facts["pipe"] if side == "b" else facts["pipe"]
        if bore and bore.value >= pipe.outer_diameter_m.value:
            yield Refused(
                field=f"bore_{side}_m",
                wanted=f"less than the outside diameter, {pipe.outer_diameter_m.value * 1000:.1f} mm",
                got=bore.as_entered,
                reason="refused.range",
            )


def _groove(facts: Mapping[str, Any], library: Library) -> Iterator[Refused]:
    wall = min(p.wall_m.value for p in (facts["pipe"], facts["pipe_b"]) if p)
    if facts["land_m"].value > wall:
        wanted = f"a land no thicker than the wall, {wall * 1000:.2f} mm"
        yield Refused(field="land_m", wanted=wanted, got=facts["land_m"].as_entered, reason="refused.range")
    rod = max(cell.value for cell in _family(facts, library).rods_m)
    if facts["gap_m"].value > rod * (1 + 1e-9):
        wanted = f"a gap no wider than the largest rod, {rod * 1000:.1f} mm"
        yield Refused(field="gap_m", wanted=wanted, got=facts["gap_m"].as_entered, reason="refused.gap")


def _pairs(facts: Mapping[str, Any], library: Library) -> Iterator[Refused]:
    for low, high in (("current_min_A", "current_max_A"), ("travel_min_m_s", "travel_max_m_s")):
        if facts[low] and facts[high] and facts[low].value > facts[high].value:
            yield Refused(
                field=high,
                wanted=f"at least {facts[low].as_entered}",
                got=facts[high].as_entered,
                reason="refused.range",
            )
    interpass, release = facts["interpass_max_K"], facts["release_K"]
    if interpass and facts["ambient_K"] and interpass.value <= facts["ambient_K"].value:
        wanted = f"more than the ambient temperature, {facts['ambient_K'].as_entered}"
        yield Refused(field="interpass_max_K", wanted=wanted, got=interpass.as_entered, reason="refused.range")
    if interpass and release and release.value < interpass.value:
        wanted = f"at least the interpass limit, {interpass.as_entered}"
        yield Refused(field="release_K", wanted=wanted, got=release.as_entered, reason="refused.range")
    yield from _apart(facts, library, "supply_oxygen_frac", "start_oxygen_frac", "the oxygen wanted at the start")
    yield from _apart(facts, library, "heel_pressure_Pa", "cylinder_pressure_Pa", "the full cylinder")


def _apart(facts: Mapping[str, Any], library: Library, less: str, more: str, words: str) -> Iterator[Refused]:
    """One stays under the other; where only one was typed it is held against what the plan would assume."""
    cells = {**library.practice, **_family(facts, library).cells}
    low, high = (facts[name] or cells[name] for name in (less, more))
    if low.value < high.value or not (facts[less] or facts[more]):
        return
    reason = "refused.supply" if less == "supply_oxygen_frac" else "refused.range"
    if facts[less]:
        wanted = f"less than {words}, {_told(high, more)}"
        yield Refused(field=less, wanted=wanted, got=facts[less].as_entered, reason=reason)
    else:
        wanted = f"more than the {_told(low, less)} assumed where nothing else is typed"
        yield Refused(field=more, wanted=wanted, got=facts[more].as_entered, reason=reason)


def _told(known: Any, name: str) -> str:
    return known.as_entered if isinstance(known, Reading) else show(known.value, name=name, both=False)


def _reach(facts: Mapping[str, Any], library: Library) -> Iterator[Refused]:
    """A probe cannot be read where there is no straight metal to read on."""
    distance = facts["reading_distance_m"]
    reaches = [facts[f"reach_{side}_m"] for side in "ab"]
    if distance and all(reaches) and all(r.value < distance.value for r in reaches):
        got = " and ".join(r.as_entered for r in reaches)
        wanted = f"at least {distance.as_entered} of straight metal on one side, where the temperature is read"
        yield Refused(field="reach_a_m", wanted=wanted, got=got, reason="refused.range")


def _filler(facts: Mapping[str, Any], library: Library) -> Iterator[Refused]:
    filler, alloy = facts["filler"], facts["metal"]
    if filler and filler.family != alloy.family:
        wanted = f"a {alloy.family} rod, for instance {alloy.fillers[0]}"
        yield Refused(
            field="filler",
            wanted=wanted,
            got=f"{filler.id} ({filler.family})",
            near=alloy.fillers,
            reason="refused.rod",
        )


def _family(facts: Mapping[str, Any], library: Library) -> Family:
    return library.families[facts["metal"].family]


def _end(facts: Mapping[str, Any], side: str) -> PipeEnd:
    alloy, pipe = facts["metal"], facts["pipe"]
    if side == "b":
        alloy, pipe = facts["metal_b"] or alloy, facts["pipe_b"] or pipe
    return PipeEnd(
        alloy=alloy.id,
        outer_diameter_m=pipe.outer_diameter_m,
        wall_m=pipe.wall_m,
        size=pipe.size,
        fitting=facts[f"fitting_{side}"],
        bore_m=facts[f"bore_{side}_m"],
        reach_m=facts[f"reach_{side}_m"],
    )


# a hold point that no step waits at would be a hold point that nobody keeps
HOLD_POINTS = {"fit-up": "fit-up", "ajuste": "fit-up", "root": "root", "raíz": "root", "raiz": "root"}


def _hold_points(text: str) -> tuple[str, ...]:
    """The named hold points, however they are listed; a name that the work would not stop at is refused."""
    names = [name.strip().lower() for name in re.split(r"[;,\n]", text) if name.strip()]
    unknown = [name for name in names if name not in HOLD_POINTS]
    if unknown:
        raise Refused(field="hold_points", wanted="fit-up, root or both", got=unknown[0], reason="refused.choice")
    return tuple(dict.fromkeys(HOLD_POINTS[name] for name in names))


def _joint(facts: Mapping[str, Any]) -> Joint:
    def some(names: str) -> dict[str, Any]:
        return {name: facts[name] for name in names.split()}

    return Joint(
        id=facts["id"],
        end_a=_end(facts, "a"),
        end_b=_end(facts, "b"),
        groove=Groove(**some("included_angle_rad land_m gap_m")),
        position=ISO_POSITIONS.get(facts["position"], facts["position"]),
        purge=PurgeArrangement(
            **some(
                "dam_kind dam_span_m feed vent_diameter_m backing_flow_m3_s supply_oxygen_frac"
                " cylinder_volume_m3 cylinder_pressure_Pa heel_pressure_Pa"
            )
        ),
        procedure=Procedure(
            name=facts["procedure"],
            hold_points=facts["hold_points"] or (),
            **some(
                "interpass_max_K start_oxygen_frac release_K current_min_A current_max_A travel_min_m_s travel_max_m_s"
                " heat_input_max_J_m reading_distance_m backing_until tint_criterion"
            ),
        ),
        filler=facts["filler"].id if facts["filler"] else "",
        **some("shield_length_m longest_run_m ambient_K drawing closing"),
    )
