"""Weld metal from certificates: rod and melted base mixed, held against the limits of both, and what hardens it."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace
from typing import Any

from brightroot.app.chemistry_case import Case, Part, read_case
from brightroot.base.errors import Refused
from brightroot.base.formula import Assumed, Estimate, Known, estimate
from brightroot.base.source import Standing
from brightroot.model.clause import Outcome, Verdict, overall
from brightroot.model.library import Alloy, Code, Filler, Library
from brightroot.physics.joint.groove import groove_area_m2
from brightroot.physics.metal.interstitials import (
    sponge_hardness_HB,
    strength_oxygen_equivalent_frac,
    weld_oxygen_equivalent_frac,
)
from brightroot.physics.metal.mixing import dilution_frac, layer_frac, melted_area_m2, mixed_frac
from brightroot.rules.chemistry.composition import (
    PICKED_UP,
    SAME_TABLE,
    certificate_facts,
    composition_code,
    weld_facts,
)
from brightroot.rules.confirm import Row, only_confirmed
from brightroot.rules.judge import judge

ALLOYING = ("aluminium", "vanadium", "molybdenum", "niobium", "tin")


@dataclass(frozen=True, slots=True)
class Chemistry:
    """What came out: the dilution, the weld metal by element, every verdict, and the relations or why there is none."""

    dilution: Known
    weld: Mapping[str, Estimate]
    verdicts: Mapping[str, tuple[Verdict, ...]]  # base, rod, weld against base, weld against rod
    relations: Mapping[str, Estimate | Refused]


def weld_chemistry(case: Case, *, library: Library, confirmed: Collection[Row] = ()) -> Chemistry:
    """The composition of weld metal from two certificates, and what the limits say of base, rod and weld."""
    alloy, filler = library.alloys[case.base.name], library.fillers[case.rod.name]
    dilution = _dilution(case, alloy, filler)
    mixed = _mixed(case, dilution)
    facts = weld_facts({e: (m.low, m.value, m.high) for e, m in mixed.items()}, sample_frac=case.sample_frac)
    base, rod = _code_of_alloy(alloy), _code_of_filler(filler)
    laid = {
        "base": judge(code=base, facts=certificate_facts(case.base.content_frac)),
        "rod": _of_edition(judge(code=rod, facts=certificate_facts(case.rod.content_frac)), case.rod, filler),
        "weld_against_base": judge(code=base, facts=facts),
        "weld_against_rod": judge(code=rod, facts=facts),
    }
    verdicts = {name: only_confirmed(rows, confirmed) for name, rows in laid.items()}
    return Chemistry(dilution, mixed, verdicts, _relations(case, mixed, alloy))


def _dilution(case: Case, alloy: Alloy, filler: Filler) -> Known:
    if case.dilution is not None:
        return case.dilution
    shape: Mapping[str, Any] = case.shape or {}
    face = {name: shape[name] for name in ("wall_m", "land_m", "included_angle_rad")}
    melted = estimate(melted_area_m2, melt_in_m=shape["melt_in_m"], **face)
    added = shape.get("added_area_m2") or estimate(groove_area_m2, gap_m=shape["gap_m"], **face)
    return estimate(
        dilution_frac,
        melted_area_m2=melted,
        added_area_m2=added,
        base_density_kg_m3=alloy.cells["density_kg_m3"],
        rod_density_kg_m3=filler.cells["density_kg_m3"],
    )


def _mixed(case: Case, dilution: Known) -> dict[str, Estimate]:
    """Every element that both certificates tell of; one that is told only once cannot be mixed."""
    both = [e for e in case.base.content_frac if e in case.rod.content_frac]
    mixed = {}
    for element in both:
        base, rod = case.base.content_frac[element], case.rod.content_frac[element]
        found = estimate(mixed_frac, key=f"weld.{element}_frac", base_frac=base, rod_frac=rod, dilution_frac=dilution)
        for layer in case.layers:
            found = estimate(
                layer_frac, key=f"weld.{element}_frac", base_frac=base, below_frac=found, rod_frac=rod,
                dilution_frac=layer.dilution, remelted_frac=layer.remelted,
            )  # fmt: skip
        mixed[element] = found
    return mixed


def _code_of_alloy(alloy: Alloy) -> Code:
    return composition_code(id=f"composition/{alloy.id}", title=alloy.name, edition="", cells=alloy.cells)


def _code_of_filler(filler: Filler) -> Code:
    edition = f"{filler.specification}:{filler.edition}"
    return composition_code(id=f"composition/{filler.id}", title=filler.id, edition=edition, cells=filler.cells)


def _of_edition(verdicts: tuple[Verdict, ...], rod: Part, filler: Filler) -> tuple[Verdict, ...]:
    """A lot is held against the table of the edition on its certificate, and against no other."""
    if rod.edition in SAME_TABLE.get(filler.specification, (filler.edition,)):
        return verdicts
    because = "verdict.unknown.edition" if rod.edition else "verdict.unknown.no_edition"
    got = rod.edition or "no edition"
    return tuple(replace(v, outcome=Outcome.UNKNOWN, because=because, asks="ask.edition", got=got) for v in verdicts)


def _relations(case: Case, mixed: Mapping[str, Estimate], alloy: Alloy) -> dict[str, Estimate | Refused]:
    """Oxygen equivalents and hardness of the weld metal, or the refusal that says why not."""
    content: dict[str, Known | float] = {**mixed, **case.sample_frac}
    wants = ("oxygen", "nitrogen", "carbon")
    return {
        "oxygen_equivalent": _asked(weld_oxygen_equivalent_frac, content, wants, alloy),
        "oxygen_equivalent_of_strength": _asked(strength_oxygen_equivalent_frac, content, wants, alloy),
        "sponge_hardness": _asked(sponge_hardness_HB, content, (*wants, "iron"), alloy),
    }


def _asked(function: Any, content: Mapping[str, Any], wants: tuple[str, ...], alloy: Alloy) -> Estimate | Refused:
    if alloy.family != "titanium" or any(f"{e}_frac" in alloy.cells for e in ALLOYING):
        return Refused(field="base", wanted="unalloyed titanium", got=alloy.name, reason="refused.unalloyed")
    missing = [e for e in wants if e not in content]
    if missing:
        got = ", ".join(missing)
        return Refused(field=missing[0], wanted="its content on both certificates", got=f"no {got}")
    given: dict[str, Any] = {f"{e}_frac": _taken(content[e]) for e in wants}
    try:  # strict first: a relation is not stretched past its range
        function(**{name: thing.value for name, thing in given.items()})
    except Refused as refused:
        return refused
    return estimate(function, **given)


def _taken(content: Known | float) -> Known:
    if isinstance(content, float):
        return Assumed(content, content, content, "sample", Standing.MEASURED, "typed")
    return content


def answer_chemistry(case: Mapping[str, Any], *, library: Library) -> dict[str, Any]:
    """The engine: a case in, percentages and verdicts out. See docs/howto/materials.md for the shape of a case."""
    read = read_case(case, library)
    found = weld_chemistry(read, library=library, confirmed=read.confirmed)
    return {
        "dilution": _span(found.dilution, 1.0),
        "weld_pct": {e: {**_span(m, 100.0), "at_least": e in PICKED_UP} for e, m in found.weld.items()},
        "verdicts": {name: [_row(v) for v in rows] for name, rows in found.verdicts.items()},
        "overall": {name: overall(rows).value for name, rows in found.verdicts.items()},
        "relations": {
            name: _relation(made, least=not set(PICKED_UP[:2]) <= set(read.sample_frac))
            for name, made in found.relations.items()
        },
    }


def _span(known: Known, times: float) -> dict[str, float]:
    return {end: round(times * getattr(known, end), 9) for end in ("low", "value", "high")}


def _relation(made: Estimate | Refused, *, least: bool) -> dict[str, Any]:
    """`at_least`: what the weld took from the gas is in no certificate, so without a sample the figure is the least."""
    if isinstance(made, Refused):
        return made.envelope()
    unit = {"oxygen_equivalent_frac": ("pct", 100.0), "sponge_hardness_HB": ("HB", 1.0)}[made.name]
    return {
        "unit": unit[0],
        **_span(made, unit[1]),
        "at_least": least,
        "standing": made.standing.value,
        "caveats": list(made.caveats),
    }


def _row(v: Verdict) -> dict[str, str]:
    return {
        "clause": v.clause, "subject": v.subject, "outcome": v.outcome.value, "wanted": v.wanted, "got": v.got,
        "because": v.because, "source": v.source, "standing": v.standing.value, "asks": v.asks,
    }  # fmt: skip
