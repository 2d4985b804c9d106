"""The joint as it stands this moment, and one more event on its log."""

from __future__ import annotations

import difflib
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from brightroot.app.plan_joint import iron_of, plan_of
from brightroot.app.ports import Place
from brightroot.app.procedures import trips_of
from brightroot.app.rules_read import confirmed_rows, own_codes
from brightroot.app.state import state_of
from brightroot.base.errors import Refused
from brightroot.base.formula import Estimate
from brightroot.base.instant import seconds_of, utc_of
from brightroot.base.source import Datum
from brightroot.live.advice import Moment, advise
from brightroot.live.estimators.heat import reforecast
from brightroot.live.estimators.oxygen import OxygenState
from brightroot.live.estimators.tint import HoldTint, hold_tint
from brightroot.live.phases import LiveState, Phase
from brightroot.live.progress import to_do
from brightroot.model.advice import Advice
from brightroot.model.entry import entered, kind_named
from brightroot.model.event import Event
from brightroot.model.plan import Plan, Step
from brightroot.physics.heat.volumes.body import Body
from brightroot.planner.choose import family_cells
from brightroot.rules.gate.known import bench_of

# who may not be missing on an event; a stamp, never a name
FIRST_CLAUSE = "joint-procedure/1 interpass"
STAMP_WANTED = "your stamp, like W-07"


@dataclass(frozen=True, slots=True)
class Now:
    """Everything a live page needs: what to do, what is known, what is left."""

    plan: Plan
    state: LiveState
    advice: tuple[Advice, ...]
    oxygen: OxygenState
    forecasts: Mapping[str, Estimate]
    left: tuple[Step, ...]
    now_s: float
    cells: Mapping[str, Datum]
    iron: Body


def cells_of(place: Place, plan: Plan) -> Mapping[str, Datum]:
    """Practice cells of the joint's metal over those of none."""
    return family_cells(plan.joint, place.library)


def moment_of(place: Place, joint_id: str, *, at_s: float | None = None) -> Moment:
    """The moment that advice is given for; `at_s` asks what would be said then."""
    plan = plan_of(place, joint_id)
    state = state_of(place, joint_id)
    cells = cells_of(place, plan)
    now_s = place.now_s() if at_s is None else at_s
    return Moment(
        plan,
        state,
        cells,
        now_s,
        reforecast(iron_of(place, plan), plan, state.record, cells=cells),
        bench_of(place.library, plan.joint, confirmed_rows(place)),
        trips_of(place, plan, state.record),
        _hold_tint(place, plan, state, now_s) if state.phase is Phase.HOLDING else None,
    )


def _hold_tint(place: Place, plan: Plan, state: LiveState, now_s: float) -> HoldTint | None:
    """While the shield is held: what it is held for. Metals whose growth nobody can foretell get nothing."""
    if not place.library.families[place.library.alloys[plan.joint.end_a.alloy].family].tint_model:
        return None
    return hold_tint(iron_of(place, plan), plan, state.record, cells=cells_of(place, plan), now_s=now_s)


def look(place: Place, joint_id: str, *, at_s: float | None = None) -> Now:
    """The joint as it stands."""
    moment = moment_of(place, joint_id, at_s=at_s)
    return Now(
        moment.plan,
        moment.state,
        advise(moment),
        moment.oxygen(),
        moment.forecasts,
        to_do(moment.plan, moment.state.record),
        moment.now_s,
        moment.cells,
        iron_of(place, moment.plan),
    )


def record(
    place: Place,
    joint_id: str,
    kind: str,
    facts: Mapping[str, Any],
    *,
    by: str,
    at_utc: str = "",
    client_id: str = "",
    corrects: str = "",
) -> Event:
    """One event, checked and on disk when this returns. Raises Refused naming the field that does not fit."""
    plan = plan_of(place, joint_id)
    if not kind_named(kind).by_hand:
        raise Refused(field="kind", wanted="a kind that is recorded by hand", got=kind, reason="refused.name")
    if not by.strip():
        raise Refused(field="by", wanted=STAMP_WANTED, got="nothing", reason="refused.missing")
    data = entered(kind, {name: value for name, value in facts.items() if value not in (None, "")})
    _in_the_plan(plan, data)
    if at_utc:
        seconds_of(at_utc)
    if corrects and corrects not in {event.id for event in place.store.events(joint_id)}:
        raise Refused(field="corrects", wanted="an event of this joint", got=corrects, reason="refused.name")
    state = state_of(place, joint_id)
    if kind == "arc.started":
        _not_burning(state)
    if kind in ("arc.stopped", "shield.lifted"):
        _after_its_arc(state, kind, data["run_count"])
    if kind == "bead.brushed":
        _colour_first(state, data["run_count"])
    if kind == "concession.signed":
        _of_a_clause(place, str(data["clause"]))
    if kind in ("repair.decided", "repair.made"):
        _of_a_defect(place, joint_id, state, kind, data)
    return place.store.append(
        joint_id, at_utc or utc_of(place.now_s()), by.strip(), kind, data, corrects=corrects, client_id=client_id
    )


def _in_the_plan(plan: Plan, data: Mapping[str, Any]) -> None:
    """Runs and arcs are those of the plan."""
    if "run_count" in data and plan.run(data["run_count"]) is None:
        wanted = f"a run from 1 to {len(plan.runs)}"
        raise Refused(field="run_count", wanted=wanted, got=str(data["run_count"]), reason="refused.range")
    names = [arc.name for arc in plan.arcs]
    if "arc" in data and data["arc"] not in (*names, "all"):
        wanted = f"one of {', '.join(names)} or all"
        raise Refused(field="arc", wanted=wanted, got=str(data["arc"]), reason="refused.choice")


def _colour_first(state: LiveState, number: int) -> None:
    """A brush hides what the gas did: the colour as welded stands first, or the admission that nobody saw it."""
    run = state.record.run(number)
    if run is None or not run.tint:
        wanted = f"the colour of run {number} first, or that it was not seen"
        raise Refused(field="run_count", wanted=wanted, got="nothing", reason="refused.colour_first")


def _of_a_clause(place: Place, key: str) -> None:
    """A concession names one clause that joints are judged by, as `code clause`."""
    codes = (*(c for c in place.library.codes.values() if c.judges == "joint"), *own_codes(place))
    known = [f"{code.id} {clause.id}" for code in codes for clause in code.clauses]
    if key not in known:
        near = tuple(difflib.get_close_matches(key, known, n=3))
        wanted = f"a code and a clause, like {FIRST_CLAUSE}"
        raise Refused(field="clause", wanted=wanted, got=key, near=near, reason="refused.clause")


def _of_a_defect(place: Place, joint_id: str, state: LiveState, kind: str, data: Mapping[str, Any]) -> None:
    """A repair speaks of an entry that found something, and a coloured bead is not ground before its colour stands."""
    found = {d.event: d for d in (*state.record.defects, *state.record.visual, *state.record.roots)}
    named = str(data["defect_event"])
    if named not in found:
        near = tuple(reversed([d.event for d in state.record.defects]))[:3]
        raise Refused(field="defect_event", wanted="the entry of a defect", got=named, near=near, reason="refused.name")
    defect = found[named]
    if kind == "repair.made" and defect.data.get("defect") == "colour":
        _colour_first(state, int(str(defect.data.get("run_count") or 0)))


def _not_burning(state: LiveState) -> None:
    if state.phase is Phase.ARC_ON:
        raise Refused(
            field="run_count",
            wanted="arc off first",
            got=f"run {state.record.arc_on_run} still burning",
            reason="refused.arc_on",
        )


def _after_its_arc(state: LiveState, kind: str, number: int) -> None:
    """An arc goes off, and a shield comes up, only where that run's arc was on; a slip of the number is asked back."""
    run = state.record.run(number)
    if run is None or (kind == "shield.lifted" and run.stopped_s is None):
        wanted = "a run whose arc was on" if run is None else "a run whose arc has gone off"
        raise Refused(field="run_count", wanted=wanted, got=str(number), reason="refused.plain")
