"""Procedures typed once and guarding every joint that names them: what trips, who waived it, what one more test gives."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from brightroot.app.plan_joint import facts_of_joint
from brightroot.app.ports import Place
from brightroot.app.rules_read import confirmed_rows
from brightroot.base.errors import Refused
from brightroot.base.instant import utc_of
from brightroot.documents.sheets.procedure import Signed, TripLine, Watched
from brightroot.model.clause import Verdict
from brightroot.model.entry import entered
from brightroot.model.event import Event
from brightroot.model.joint import Joint
from brightroot.model.library import Code, Library
from brightroot.model.plan import Plan
from brightroot.model.procedure import PROCEDURE_KINDS, Proposed, Tested, Trip, TypedProcedure
from brightroot.model.record import JointRecord, Seen
from brightroot.model.streams import PROCEDURES, procedure_log
from brightroot.physics.weld.heat_input import EN_1011_1_GTAW, arc_energy_J_m, heat_input_J_m
from brightroot.records.order import settled
from brightroot.records.views.procedure import fold_procedure
from brightroot.rules.fact import Fact
from brightroot.rules.procedure.answered import answered
from brightroot.rules.procedure.guard import Guarded, guard, guard_written
from brightroot.rules.procedure.made import declared_facts, made_facts, times_of
from brightroot.rules.procedure.more import one_more_test
from brightroot.rules.procedure.typed import metal_facts, tested_facts

CODE = "asme-ix-procedure/2017"
STAMP_WANTED = "your stamp, like W-07"
FERROUS = {"stainless": True}
NUMBERED = ("p_number", "f_number", "a_number")
_PREFIX = re.compile(r"^[PFA](?:[- ]?(?:No\.?|Number))?[- ]?(?=\d)", re.IGNORECASE)


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


def type_procedure(
    place: Place, name: str, written: Mapping[str, Any] | None, tested: Sequence[Mapping[str, Any]], *, by: str
) -> tuple[Event, ...]:
    """A procedure and its test records as one file tells them: all of it is checked before any of it is written."""
    told = [("procedure.written", written)] if written else []
    told += [("procedure.tested", one) for one in tested]
    if not told:
        raise Refused(field="procedure", wanted="[written] or [[tested]]", got="nothing", reason="refused.missing")
    for kind, facts in told:
        checked(kind, facts or {})
    return tuple(_append(place, name, kind, facts or {}, by=by) for kind, facts in told)


def checked(kind: str, facts: Mapping[str, Any]) -> dict[str, Any]:
    """The data of an entry from what was typed; `P-51` is the P-Number 51. Raises Refused with every wrong field."""
    typed = {name: str(value).strip() for name, value in facts.items() if value not in (None, "")}
    numbers = {name: _PREFIX.sub("", typed[name]) for name in NUMBERED if name in typed}
    return entered(kind, {**typed, **numbers}, PROCEDURE_KINDS)


def procedure_named(place: Place, joint_id: str) -> str:
    """The procedure that a joint was declared under, or nothing."""
    return facts_of_joint(place, joint_id).get("procedure", "").strip()


def joints_under(place: Place, name: str) -> tuple[str, ...]:
    """The declared joints that name it."""
    return tuple(joint for joint in place.store.joints() if procedure_named(place, joint) == name)


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


def watched(place: Place, plan: Plan, record: JointRecord) -> Watched:
    """The joint against its procedure with the answers in full: for pages, the command line and the dossier."""
    guarded = guard_joint(place, plan, record)
    answers = {row.event: row for row in (*record.waivers, *record.departures)}
    lines = tuple(TripLine(trip, _signed(answers.get(trip.answered_by))) for trip in guarded.trips)
    facts = {clause.id: clause.fact for clause in _code(place.library).clauses}
    silent = tuple(dict.fromkeys(facts[verdict.clause] for verdict in guarded.silent))
    return Watched(guarded.procedure.name, guarded.procedure.revision, lines, silent, guarded.one_more)


def qualified(place: Place, test: Tested, *, unit: str) -> tuple[str, str, str] | None:
    """Base metal from and to, and weld metal up to, that a test piece qualifies: as text, in the asker's unit."""
    told = tested_facts(_code(place.library), test, unit=unit)
    names = ("metal_thickness_min_m", "metal_thickness_max_m", "deposit_max_m")
    low, high, deposit = (told.get(f"tested.{name}") for name in names)
    return (low.entered, high.entered, deposit.entered if deposit else "–") if low and high else None


def _signed(row: Seen | None) -> Signed | None:
    if row is None:
        return None
    stamp, role = str(row.data.get("stamp") or row.by), str(row.data.get("role") or "")
    return Signed(stamp, role, row.at_s, str(row.data["why"]))


def _guarded(place: Place, plan: Plan, record: JointRecord) -> tuple[TypedProcedure, dict[str, Fact], Guarded]:
    library, joint = place.library, plan.joint
    procedure = procedure_of(place, joint.procedure.name) if joint.procedure.name else TypedProcedure("")
    ends = tuple(library.alloys[end.alloy].p_number for end in (joint.end_a, joint.end_b))
    numbers = {name: filler.f_number for name, filler in library.fillers.items()}
    made = made_facts(record, joint, p_numbers=(ends[0], ends[1]), f_number_of=numbers, energy_of=_energies)
    found = guard(
        _code(library), procedure, made, metal=_metal(joint, library), declared=declared_facts(joint),
        confirmed=confirmed_rows(place),
    )  # fmt: skip
    return procedure, made, found


def _energies(volts: float, amps: float, travel_m_s: float) -> tuple[float, float]:
    """The arc's energy a length, whole as QW-409.1 counts it, and the share that EN 1011-1 counts as heat input."""
    told = {"voltage_V": volts, "current_A": amps, "travel_m_s": travel_m_s}
    return arc_energy_J_m(**told), heat_input_J_m(efficiency_frac=EN_1011_1_GTAW, **told)


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
    data = checked(kind, facts)
    log, at = procedure_log(name), utc_of(place.now_s())
    return place.store.append(log, at, by.strip(), kind, data, corrects=corrects, client_id=client_id)
