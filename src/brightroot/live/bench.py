"""The bench gates beside the others: metal, rod, tools, the preparation clock; what the guard tripped; open defects."""

from __future__ import annotations

from collections.abc import Mapping

from brightroot.base.source import Datum
from brightroot.live.gates import Gate
from brightroot.model.advice import Advice, Because, Level
from brightroot.model.procedure import Trip
from brightroot.model.record import JointRecord, Seen
from brightroot.rules.gate.bench import Found, material_gate, rod_gate, tool_gate
from brightroot.rules.gate.known import Bench
from brightroot.rules.gate.ready import ready_gate
from brightroot.rules.repair import advise_repair


def bench_gates(record: JointRecord, bench: Bench, *, cells: Mapping[str, Datum], now_s: float) -> list[Gate]:
    """Every bench gate of this moment."""
    valid_s = cells["prepared_valid_s"].value
    found = (
        material_gate(record, bench),
        rod_gate(record, bench),
        tool_gate(record, bench),
        ready_gate(record, bench, now_s=now_s, valid_s=valid_s),
    )
    return [_gate(one) for one in found]


def _gate(found: Found) -> Gate:
    return Gate(found.name, found.state, found.event, Because(found.says, found.params), found.from_events)


def tripped(trips: tuple[Trip, ...]) -> tuple[Advice, ...]:
    """What is said of each trip that nobody has answered: what was tested first, then what is only written."""
    return tuple(_advice(trip) for trip in trips if trip.state == "open")


def waived(trips: tuple[Trip, ...]) -> tuple[Advice, ...]:
    """What goes on by a signature stays in sight: it was beyond a limit, and it still is."""
    return tuple(
        Advice(
            Level.QUIET,
            "say.trip.waived",
            params=(("variable", trip.variable), ("got", trip.got)),
            from_events=(*trip.from_events, trip.answered_by),
        )
        for trip in trips
        if trip.state == "waived"
    )


def undecided(record: JointRecord, *, wall_m: float) -> tuple[Advice, ...]:
    """Each defect that nobody has decided on, with what common practice would do. The decision is a person's."""
    settled = {str(row.data["defect_event"]) for row in (*record.repairs_decided, *record.repairs_made)}
    return tuple(_defect(row, record, wall_m) for row in record.defects if row.event not in settled)


def _defect(row: Seen, record: JointRecord, wall_m: float) -> Advice:
    found = advise_repair(row, record, wall_m=wall_m)
    params = (("defect", str(row.data["defect"])), ("at_rad", str(row.data["at_rad"])))
    count = (("repairs_count", str(found.repairs_count)),)
    return Advice(
        Level.WARN,
        "say.defect",
        event="repair.decided",
        params=(*params, ("defect_event", row.event)),
        because=(
            Because(found.because, count),
            Because("repair.practice", (("action", found.action),)),
            *(Because("repair.look_again", (("found_by", way),)) for way in found.look_again),
        ),
        from_events=(row.event,),
    )


def _advice(trip: Trip) -> Advice:
    params = (
        ("variable", trip.variable),
        ("got", trip.got),
        ("wanted", trip.wanted),
        ("ref", trip.ref),
        ("test_record", trip.test_record or "–"),
    )
    essential = trip.weight != "nonessential"
    reasons = [Because(f"trip.{trip.weight}", params), Because(trip.mend)]
    reasons += [] if trip.confirmed else [Because("trip.not_confirmed")]
    return Advice(
        Level.STOP if essential else Level.WARN,
        "say.trip.tested" if essential else "say.trip.written",
        event="procedure.waived" if essential else "plan.departed_from",
        params=params[:1],
        because=tuple(reasons),
        from_events=trip.from_events,
    )
