"""A typed procedure as facts that clauses can name: `written.…`, `tested.…`, and what a test piece qualifies."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from brightroot.base.show import stem_of
from brightroot.base.units import Reading, dimension_of
from brightroot.model.codec import from_data
from brightroot.model.library import Code
from brightroot.model.procedure import Tested, TypedProcedure
from brightroot.rules.fact import Fact
from brightroot.rules.procedure.thickness import qualified_thickness

REACTIVE = ("51", "52", "53", "61", "62", "10I")
BACKED = (*(str(n) for n in range(41, 50)), "10J", "10K", *REACTIVE)


def written_facts(procedure: TypedProcedure, also: Iterable[Fact] = ()) -> dict[str, Fact]:
    """What is written. `also`: limits that the joint was declared with, which come first where both tell."""
    events = (procedure.event,) if procedure.event else ()
    facts = {f"written.{n}": as_fact(f"written.{n}", v, events) for n, v in procedure.written.items()}
    toughness = procedure.written.get("toughness")
    return {**facts, **{f.name: f for f in also}, "toughness": Fact("toughness", toughness, asks="ask.written")}


def tested_facts(code: Code, tested: Tested | None, *, unit: str) -> dict[str, Fact]:
    """What one test piece was, and the thicknesses that it qualifies, told in the asker's units."""
    if tested is None:
        return {}
    events = (tested.event,) if tested.event else ()
    facts = {f"tested.{n}": as_fact(f"tested.{n}", v, events) for n, v in tested.values.items()}
    piece, deposit = (reading(tested.values.get(n)) for n in ("metal_thickness_m", "deposit_m"))
    rows = code.tables.get("thickness", ())
    found = qualified_thickness(rows, test_piece=piece, deposit=deposit, unit=unit) if piece else None
    if found is None:
        return facts
    ends = {
        "metal_thickness_min_m": found.base_min,
        "metal_thickness_max_m": found.base_max,
        "deposit_max_m": found.deposit_max,
    }
    told = {f"tested.{n}": _of_reading(f"tested.{n}", r, events) for n, r in ends.items() if r is not None}
    return {**facts, **told}


def metal_facts(p_number: str, *, ferrous: bool | None = None) -> dict[str, Fact]:
    """What a P-Number says of the metal. One that is doubtful (`53?`) says nothing."""
    known = p_number if p_number and "?" not in p_number else None
    return {
        "p_number": Fact("p_number", known, asks="ask.p_number"),
        "reactive": Fact("reactive", None if known is None else known in REACTIVE, asks="ask.p_number"),
        "backing_gas_essential": Fact(
            "backing_gas_essential", None if known is None else known in BACKED, asks="ask.p_number"
        ),
        "ferrous": Fact("ferrous", ferrous, asks="ask.p_number"),
    }


def as_fact(name: str, value: Any, events: tuple[str, ...] = ()) -> Fact:
    """A typed value as a fact: a Reading with its text, a yes, or words."""
    found = reading(value)
    return _of_reading(name, found, events) if found else Fact(name, value, from_events=events, asks="ask.tested")


def _of_reading(name: str, value: Reading, events: tuple[str, ...]) -> Fact:
    return Fact(name, value.value, value.as_entered, from_events=events, unit=value.unit)


def reading(value: Any) -> Reading | None:
    """A Reading from data or as it is; None for anything else."""
    if isinstance(value, Reading):
        return value
    return from_data(value, Reading) if isinstance(value, Mapping) and "as_entered" in value else None


def range_names(name: str) -> tuple[str, str]:
    """The names of the two ends of a variable's written range.

    >>> range_names("current_A"), range_names("torch_flow_m3_s")
    (('current_min_A', 'current_max_A'), ('torch_flow_min_m3_s', 'torch_flow_max_m3_s'))
    """
    stem = stem_of(name)
    unit = name.removeprefix(stem)
    assert dimension_of(name)
    return f"{stem}_min{unit}", f"{stem}_max{unit}"
