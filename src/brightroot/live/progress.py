"""Which steps of the plan the record already shows, and which come next."""

from __future__ import annotations

from collections.abc import Callable

from brightroot.base.clock import apart_rad, read_clock
from brightroot.model.plan import Plan, Step
from brightroot.model.record import JointRecord, Seen

NEAR_RAD = 0.2  # a fit-up point counts for a clock position within about 23 minutes of it


def _any(rows: tuple[Seen, ...], name: str, value: str) -> bool:
    return any(row.data.get(name) == value for row in rows)


def _fit_up(record: JointRecord, step: Step) -> bool:
    at = read_clock(step.what, field="at_rad")
    return any(apart_rad(one_rad=p.at_rad, other_rad=at) < NEAR_RAD for p in record.fit_up)


def _tack(record: JointRecord, step: Step) -> bool:
    tack = record.tack(step.tack)
    return tack is not None and {"tack.made": True, "tack.cut": tack.cut, "tack.feathered": tack.feathered}[step.event]


def _run(record: JointRecord, step: Step) -> bool:
    run = record.run(step.run)
    if run is None:
        return False
    return {
        "arc.started": True,
        "arc.stopped": run.stopped_s is not None,
        "shield.lifted": run.lifted_s is not None,
        "bead.looked_at": bool(run.tint),
    }[step.event]


def _reading_before_run(record: JointRecord, step: Step) -> bool:
    """Asked again before each run; once the run is made there is nothing left to ask."""
    return step.run > 0 and record.run(step.run) is not None


def _oxygen(record: JointRecord, step: Step) -> bool:
    return bool(record.oxygen) if not step.run else _reading_before_run(record, step)


def _signed(record: JointRecord, step: Step) -> bool:
    return any(s.role == step.what for s in record.signatures)


def _flow(record: JointRecord, step: Step) -> bool:
    return _any(record.flows, "circuit", "backing") or _reading_before_run(record, step)


_DONE: dict[str, Callable[[JointRecord, Step], bool]] = {
    "surface.prepared": lambda r, s: _any(r.prepared, "work", s.what) or bool(r.runs),
    "heat_lot.recorded": lambda r, s: _any(r.heats, "end", s.what),
    "filler.issued": lambda r, s: bool(r.fillers),
    "gas.connected": lambda r, s: bool(r.gas),
    "gas.proved": lambda r, s: bool(r.proofs) or bool(r.runs),
    "instrument.checked": lambda r, s: _any(r.checks, "against", s.what),
    "dam.placed": lambda r, s: s.what in r.dams_in or r.dams_removed_count > 0,
    "dam.removed": lambda r, s: bool(r.dams_placed_count) and s.what not in r.dams_in,
    "fit_up.measured": _fit_up,
    "hold_point.released": lambda r, s: _any(r.hold_points, "hold_point", s.what),
    "tape.closed": lambda r, s: r.tape_known,
    "tape.opened": lambda r, s: s.arc in r.arcs_open,
    "purge.started": lambda r, s: r.purge_started_s is not None,
    "oxygen.read": _oxygen,
    "flow.changed": _flow,
    "temperature.read": _reading_before_run,
    **dict.fromkeys(("tack.made", "tack.cut", "tack.feathered"), _tack),
    **dict.fromkeys(("arc.started", "arc.stopped", "shield.lifted", "bead.looked_at"), _run),
    "root.looked_at": lambda r, s: bool(r.roots),
    "post_purge.ended": lambda r, s: r.post_purge_ended_s is not None,
    "weld.stamped": lambda r, s: bool(r.stamps),
    "visual.measured": lambda r, s: _any(r.visual, "item", s.what),
    "joint.signed": _signed,
}


def done(step: Step, record: JointRecord) -> bool:
    """Whether the record shows the step."""
    return _DONE[step.event](record, step)


def to_do(plan: Plan, record: JointRecord) -> tuple[Step, ...]:
    """The steps that the record does not show yet, in the plan's order."""
    return tuple(step for step in plan.steps if not done(step, record))
