"""Procedures typed once and guarding every joint that names them: what trips, who waived it, what one more test gives."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from brightroot.app.ports import Place
from brightroot.app.rules_read import confirmed_rows
from brightroot.base.errors import Refused
from brightroot.base.instant import utc_of
from brightroot.model.clause import Verdict
from brightroot.model.entry import entered
from brightroot.model.event import Event
from brightroot.model.joint import Joint
from brightroot.model.library import Code, Library
from brightroot.model.plan import Plan
from brightroot.model.procedure import PROCEDURE_KINDS, Proposed, Trip, TypedProcedure
from brightroot.model.record import JointRecord
from brightroot.model.streams import PROCEDURES, procedure_log
from brightroot.records.order import settled
from brightroot.records.views.procedure import fold_procedure
from brightroot.rules.fact import Fact
from brightroot.rules.procedure.answered import answered
from brightroot.rules.procedure.guard import Guarded, guard, guard_written
from brightroot.rules.procedure.made import declared_facts, made_facts, times_of
from brightroot.rules.procedure.more import one_more_test
from brightroot.rules.procedure.typed import metal_facts

CODE = "asme-ix-procedure/2017"
STAMP_WANTED = "your stamp, like W-07"
FERROUS = {"stainless": True}


@dataclass(frozen=True, slots=True)
class GuardedJoint:
    """A joint against its procedure: the trips with what became of them, what nobody tells, and one more test."""

    procedure: TypedProcedure
    trips: tuple[Trip, ...]
    silent: tuple[Verdict, ...]
    test_record: str
    one_more: Proposed | None


def procedures(place: Place) -> tuple[TypedProcedure, ...]:
    """Every procedure that was typed, by name."""
    names = [log.removeprefix(PROCEDURES) for log in sorted(place.store.logs(PROCEDURES))]
    return tuple(procedure_of(place, name) for name in names)


def procedure_of(place: Place, name: str) -> TypedProcedure:
    """One procedure. One that nobody typed is empty and no fault."""
    try:
        log = procedure_log(name)
    except Refused:  # a joint may name its procedure as it likes; such a name has no log
        return TypedProcedure(name)
    return fold_procedure(name.strip(), place.store.events(log))


def write_procedure(place: Place, name: str, facts: Mapping[str, Any], *, by: str, client_id: str = "") -> Event:
    """A revision of what is written, on disk when this returns. `facts` are those of `procedure.written`."""
    return _append(place, name, "procedure.written", facts, by=by, client_id=client_id)


def record_test(place: Place, name: str, facts: Mapping[str, Any], *, by: str, client_id: str = "") -> Event:
    """A test record behind a procedure. `facts` are those of `procedure.tested`."""
    return _append(place, name, "procedure.tested", facts, by=by, client_id=client_id)


def take_back_procedure(place: Place, name: str, event: str, *, why: str, by: str) -> Event:
    """Withdraw a revision or a test record; it stays in the log."""
    if event not in {e.id for e in settled(place.store.events(procedure_log(name))).events}:
        raise Refused(field="event", wanted="an entry of this log that stands", got=event, reason="refused.name")
    return _append(place, name, "event.withdrawn", {"why": why}, by=by, corrects=event)


def promises_beyond_tests(place: Place, name: str) -> tuple[Trip, ...]:
    """Where the written procedure itself says more than its test records qualify."""
    return guard_written(_code(place.library), procedure_of(place, name), confirmed=confirmed_rows(place))


def trips_of(place: Place, plan: Plan, record: JointRecord) -> tuple[Trip, ...]:
    """What the joint's log has tripped so far, and what became of it. For the live page: no proposal is worked out."""
    _, made, found = _guarded(place, plan, record)
    return answered(found.trips, record, times_of(record)) if made else ()


def guard_joint(place: Place, plan: Plan, record: JointRecord) -> GuardedJoint:
    """The joint against its procedure, with what one more test would allow."""
    procedure, made, found = _guarded(place, plan, record)
    trips = answered(found.trips, record, times_of(record))
    more = one_more_test(
        _code(place.library), procedure, made, trips, metal=_metal(plan.joint, place.library),
        declared=declared_facts(plan.joint), confirmed=confirmed_rows(place),
    )  # fmt: skip
    return GuardedJoint(procedure, trips, found.silent, found.test_record, more)


def _guarded(place: Place, plan: Plan, record: JointRecord) -> tuple[TypedProcedure, dict[str, Fact], Guarded]:
    library, joint = place.library, plan.joint
    procedure = procedure_of(place, joint.procedure.name) if joint.procedure.name else TypedProcedure("")
    ends = tuple(library.alloys[end.alloy].p_number for end in (joint.end_a, joint.end_b))
    numbers = {name: filler.f_number for name, filler in library.fillers.items()}
    made = made_facts(record, joint, p_numbers=(ends[0], ends[1]), f_number_of=numbers)
    found = guard(
        _code(library), procedure, made, metal=_metal(joint, library), declared=declared_facts(joint),
        confirmed=confirmed_rows(place),
    )  # fmt: skip
    return procedure, made, found


def _metal(joint: Joint, library: Library) -> dict[str, Fact]:
    """Of two unlike P-Numbers neither speaks for the joint alone: then what hangs on one is not told."""
    alloys = [library.alloys[end.alloy] for end in (joint.end_a, joint.end_b)]
    number = alloys[0].p_number if alloys[0].p_number == alloys[1].p_number else ""
    return metal_facts(number, ferrous=FERROUS.get(alloys[0].family, False))


def _code(library: Library) -> Code:
    return library.codes[CODE]


def _append(
    place: Place, name: str, kind: str, facts: Mapping[str, Any], *, by: str, client_id: str = "", corrects: str = ""
) -> Event:
    if not by.strip():
        raise Refused(field="by", wanted=STAMP_WANTED, got="nothing", reason="refused.missing")
    data = entered(kind, {k: v for k, v in facts.items() if v not in (None, "")}, PROCEDURE_KINDS)
    log, at = procedure_log(name), utc_of(place.now_s())
    return place.store.append(log, at, by.strip(), kind, data, corrects=corrects, client_id=client_id)
