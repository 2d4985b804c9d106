"""What one more test would allow: the test piece to weld, and the ranges that it would give."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import replace

from brightroot.base.units import Reading
from brightroot.model.library import Code
from brightroot.model.procedure import Proposed, Tested, Trip, TypedProcedure
from brightroot.rules.confirm import Row
from brightroot.rules.fact import Fact
from brightroot.rules.procedure.guard import guard
from brightroot.rules.procedure.typed import metal_facts, tested_facts


def one_more_test(
    code: Code,
    procedure: TypedProcedure,
    change: Mapping[str, Fact],
    trips: tuple[Trip, ...],
    *,
    metal: Mapping[str, Fact] | None = None,
    declared: Iterable[Fact] = (),
    confirmed: Collection[Row] = (),
) -> Proposed | None:
    """A test piece welded as the work is, where a tested variable trips; as the nearest test was in everything else.

    The proposal is laid against the same guard again, so that what it would still not settle is told. None where no
    test is wanted.
    """
    wanted = [trip for trip in trips if trip.weight != "nonessential"]
    if not wanted:
        return None
    nearest = next((t for t in procedure.tested if t.test_record == wanted[0].test_record), Tested(""))
    values = {**nearest.values, **{name: _told(change[name]) for name in {t.variable for t in wanted}}}
    if any(t.variable in ("metal_thickness_m", "deposit_m") for t in wanted):
        values |= {name: _told(change[name]) for name in ("metal_thickness_m", "deposit_m") if name in change}
    proposed = Tested("proposed", values)
    again = guard(
        code, replace(procedure, tested=(proposed,)), change, metal=metal or metal_facts(""), declared=declared,
        confirmed=confirmed,
    )  # fmt: skip
    left = {t.clause for t in again.trips}
    unit = next((f.unit for f in change.values() if f.name == "metal_thickness_m" and f.unit), "mm")
    return Proposed(
        values={name: _text(value) for name, value in values.items()},
        allows=_allows(tested_facts(code, proposed, unit=unit)),
        covers=tuple(t.clause for t in wanted if t.clause not in left),
        leaves=tuple(t.clause for t in trips if t.clause in left),
        confirmed=all(t.confirmed for t in wanted),
    )


def _told(fact: Fact) -> object:
    """The value to weld the test piece with: of several, the one that a wide range must reach, which is the largest."""
    rows = [f for f in (fact.each or (fact,)) if f.known]
    numbers = [f for f in rows if f.number is not None]
    if numbers:
        top = max(numbers, key=lambda f: f.number or 0.0)
        return Reading(top.entered, float(top.number or 0.0), top.unit, "")
    words = tuple(dict.fromkeys(str(f.value) for f in rows))
    return rows[0].value if len(words) == 1 else ", ".join(words)


def _text(value: object) -> str:
    if isinstance(value, Mapping):
        return str(value.get("as_entered", ""))
    if isinstance(value, Reading):
        return value.as_entered
    return {True: "yes", False: "no"}[value] if isinstance(value, bool) else str(value)


def _allows(tested: Mapping[str, Fact]) -> tuple[tuple[str, str], ...]:
    """The ranges in words: base metal from and to, weld metal up to; the rest as it was tested."""
    low, high = (tested.get(f"tested.metal_thickness_{end}_m") for end in ("min", "max"))
    rows = [("metal_thickness_m", f"{low.entered} – {high.entered}")] if low and high else []
    if (deposit := tested.get("tested.deposit_max_m")) is not None:
        rows.append(("deposit_m", f"≤ {deposit.entered}"))
    if (flow := tested.get("tested.trail_flow_m3_s")) is not None:
        rows.append(("trail_flow_m3_s", f"> 0.9 × {flow.entered}"))
    names = ("p_number", "f_number", "backing_gas", "trail_gas", "torch_gas")
    return (*rows, *((n, str(tested[f"tested.{n}"].value)) for n in names if f"tested.{n}" in tested))
