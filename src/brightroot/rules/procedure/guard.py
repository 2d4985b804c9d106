"""The procedure guard: a change laid against what is written and what was tested; whatever is beyond a limit trips."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, replace

from brightroot.model.clause import Outcome, Verdict
from brightroot.model.library import Clause, Code
from brightroot.model.procedure import Tested, Trip, TypedProcedure
from brightroot.rules.confirm import Row, rests_on_memory
from brightroot.rules.fact import Fact
from brightroot.rules.judge import judge
from brightroot.rules.limits import unit_of
from brightroot.rules.procedure.typed import metal_facts, range_names, tested_facts, written_facts

MEND = {
    "essential": "mend.another_test",
    "supplementary": "mend.another_test_toughness",
    "nonessential": "mend.revision",
}


@dataclass(frozen=True, slots=True)
class Guarded:
    """What a change came to: the trips, the limits that nobody tells, and the test record that supports it best."""

    trips: tuple[Trip, ...]
    silent: tuple[Verdict, ...]
    test_record: str
    verdicts: tuple[Verdict, ...]


def guard(
    code: Code,
    procedure: TypedProcedure,
    change: Mapping[str, Fact],
    *,
    metal: Mapping[str, Fact] | None = None,
    declared: Iterable[Fact] = (),
    confirmed: Collection[Row] = (),
) -> Guarded:
    """Each variable of the change against its clause. A variable that the change does not name is not looked at.

    Essential variables must all be covered by one and the same test record: the one with fewest trips speaks.
    `metal`: P-Number and what follows from it; `declared`: limits of the joint itself, as `written.…` facts.
    """
    narrowed = replace(code, clauses=tuple(c for c in code.clauses if c.fact in change))
    written = written_facts(procedure, declared)
    about = {**(metal or metal_facts("")), **written, **change}
    unit = next(
        (u for f in change.values() if f.name in ("metal_thickness_m", "deposit_m") and (u := unit_of(f))), "mm"
    )
    tries = [(t, _laid(narrowed, about, t, unit)) for t in procedure.tested or (None,)]
    best, verdicts = min(tries, key=lambda pair: _trips_in(narrowed, pair[1]))
    weights = {c.id: c for c in narrowed.clauses}
    record = best.test_record if best else ""
    trips = tuple(_trip(v, weights[v.clause], record, confirmed) for v in verdicts if v.outcome is Outcome.FAIL)
    silent = tuple(v for v in verdicts if v.outcome is Outcome.UNKNOWN and _told(v, change, weights))
    return Guarded(tuple(sorted(trips, key=lambda t: tuple(MEND).index(t.weight))), silent, record, verdicts)


def _laid(code: Code, about: Mapping[str, Fact], tested: Tested | None, unit: str) -> tuple[Verdict, ...]:
    return judge(code=code, facts={**about, **tested_facts(code, tested, unit=unit)})


def _trips_in(code: Code, verdicts: tuple[Verdict, ...]) -> tuple[int, int]:
    """How many tested variables trip, then how many are not told."""
    essential = {c.id for c in code.clauses if c.weight != "nonessential"}
    outcomes = [v.outcome for v in verdicts if v.clause in essential]
    return outcomes.count(Outcome.FAIL), outcomes.count(Outcome.UNKNOWN)


def _told(verdict: Verdict, change: Mapping[str, Fact], clauses: Mapping[str, Clause]) -> bool:
    """Whether the change itself is told, or was done with a part of it missing: a change that nobody made is not."""
    fact = change[clauses[verdict.clause].fact]
    return fact.known or any(one.known or one.from_events for one in fact.each)


def _trip(verdict: Verdict, clause: Clause, record: str, confirmed: Collection[Row]) -> Trip:
    return Trip(
        variable=clause.fact,
        weight=clause.weight,
        code=verdict.code,
        clause=verdict.clause,
        ref=verdict.ref,
        says=verdict.says,
        wanted=verdict.wanted,
        got=verdict.got,
        confirmed=not rests_on_memory(verdict, confirmed),
        mend=MEND[clause.weight],
        test_record=record if clause.weight != "nonessential" else "",
        from_events=verdict.from_events,
    )


def guard_written(code: Code, procedure: TypedProcedure, *, confirmed: Collection[Row] = ()) -> tuple[Trip, ...]:
    """What the written procedure itself promises beyond its tests: each end of a range, and each word of a list."""
    found: dict[tuple[str, str], Trip] = {}
    for change in _promises(procedure):
        metal = metal_facts(_number(procedure))
        for trip in guard(code, procedure, {change.name: change}, metal=metal, confirmed=confirmed).trips:
            if trip.weight != "nonessential":
                found[trip.clause, trip.got] = trip
    return tuple(found.values())


def _number(procedure: TypedProcedure) -> str:
    numbers = {str(t.values.get("p_number", "")) for t in procedure.tested} - {""}
    return next(iter(numbers)) if len(numbers) == 1 else ""


def _promises(procedure: TypedProcedure) -> Iterable[Fact]:
    written = written_facts(procedure)
    for name in ("metal_thickness_m", "trail_flow_m3_s"):
        for end in range_names(name):
            told = written.get(f"written.{end}")
            if told is not None:
                yield replace(told, name=name)
    for name in ("backing_gas", "trail_gas"):
        told = written.get(f"written.{name}")
        if told is not None:
            yield replace(told, name=name)
