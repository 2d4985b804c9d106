"""Gas, air and instruments of a joint as they stand, and what reaches over joints: fills traced, doubts by tag."""

from __future__ import annotations

from dataclasses import dataclass, replace

from brightroot.app.plan_joint import plan_of
from brightroot.app.ports import Place
from brightroot.app.state import state_of
from brightroot.app.work_live import Now, cells_of
from brightroot.base.formula import Estimate
from brightroot.documents.sheets.gas import DoubtLine, FillLine
from brightroot.live.gas import Cylinder, cylinders, runs_ahead
from brightroot.live.gas_proof import Proof, circuits_of, fed_by, proof_of, proofs_of
from brightroot.live.gates import Gate
from brightroot.live.instruments import Health, health_of
from brightroot.live.room import Space, air_gate, asks_for_air, space_of
from brightroot.model.record import JointRecord
from brightroot.physics.purge.sample_line import pipe_leak_m3_s, unthinned_frac
from brightroot.rules.instruments import Suspect, suspects


@dataclass(frozen=True, slots=True)
class GasSeen:
    """Everything of the gas page. `air`: what stands against leaning in, None where nothing asks for a reading."""

    cylinders: tuple[Cylinder, ...]
    root_ahead: bool
    arcs_ahead: bool
    proofs: tuple[Proof, ...]
    space: Space
    air: Gate | None
    health: tuple[Health, ...]
    suspects: tuple[Suspect, ...]


@dataclass(frozen=True, slots=True)
class Trace:
    """What one fill fed on one circuit in one joint, and how it stands with its proof there."""

    fill: str
    circuit: str
    joint: str
    runs: tuple[int, ...]
    state: str


def gas_seen(place: Place, now: Now) -> GasSeen:
    """What is known of gas, air and instruments at this moment."""
    plan, record, cells = now.plan, now.state.record, now.cells

    def figure(key: str) -> Estimate | None:
        return now.forecasts.get(key) or plan.figures.get(key)

    ahead = runs_ahead(plan, record)
    asked = asks_for_air(plan, record, cells)
    return GasSeen(
        cylinders=cylinders(plan, record, now_s=now.now_s, figure=figure, cells=cells),
        root_ahead=any(run.pass_number == 1 for run in ahead),
        arcs_ahead=bool(ahead),
        proofs=proofs_of(plan, record, now_s=now.now_s, cells=cells),
        space=space_of(plan, record, now_s=now.now_s, cells=cells),
        air=air_gate(record, now_s=now.now_s, cells=cells) if asked else None,
        health=health_of(record, now_s=now.now_s, cells=cells),
        suspects=suspects_over_joints(place, record),
    )


def traced(place: Place, fills: tuple[str, ...]) -> tuple[Trace, ...]:
    """Every joint of this shop's log that these fills have fed, in the order of fill, joint and circuit."""
    found = []
    for joint_id in place.store.joints():
        record = state_of(place, joint_id).record
        mine = [fed for fed in fed_by(record) if fed.fill in fills]
        if not mine:
            continue
        plan = plan_of(place, joint_id)
        cells = cells_of(place, plan)
        found += [
            Trace(fed.fill, fed.circuit, joint_id, fed.runs, proof_of(record, fed.fill, fed.circuit, cells=cells).state)
            for fed in mine
            if fed.circuit in circuits_of(plan)
        ]
    return tuple(sorted(found, key=lambda t: (t.fill, t.joint, t.circuit)))


def suspects_over_joints(place: Place, record: JointRecord) -> tuple[Suspect, ...]:
    """This joint's readings that are in doubt by any check in this shop's log of an instrument that was checked for it."""
    tags = {(c.data.get("instrument"), c.data.get("tag")) for c in record.checks}
    others = [
        check
        for joint_id in place.store.joints()
        if joint_id != record.joint_id
        for check in state_of(place, joint_id).record.checks
        if (check.data.get("instrument"), check.data.get("tag")) in tags
    ]
    return suspects(replace(record, checks=(*record.checks, *others)))


def gas_lines(place: Place, now: Now) -> tuple[tuple[FillLine, ...], tuple[DoubtLine, ...]]:
    """The same for paper: every fill that fed this joint, and every reading in doubt."""
    record, used = now.state.record, circuits_of(now.plan)
    fills = tuple(
        FillLine(fed.fill, fed.circuit, proof.state, proof.missing, proof.bad, fed.runs)
        for fed in fed_by(record)
        if fed.circuit in used and (proof := proof_of(record, fed.fill, fed.circuit, cells=now.cells))
    )
    doubts = tuple(
        DoubtLine(s.event, s.at_s, s.doubt.instrument, s.doubt.tag, s.doubt.against, s.doubt.event)
        for s in suspects_over_joints(place, record)
    )
    return fills, doubts


def doubted_events(place: Place, now: Now) -> frozenset[str]:
    """The entries of this joint's log whose reading is in doubt."""
    return frozenset(s.event for s in suspects_over_joints(place, now.state.record))


def whose_leak(
    *, plateau_frac: float, flow_m3_s: float, other_frac: float, other_flow_m3_s: float
) -> tuple[float, float]:
    """(air into the pipe, oxygen that no flow thins) from two plateaus at two flows."""
    seen = {
        "plateau_frac": plateau_frac,
        "flow_m3_s": flow_m3_s,
        "other_plateau_frac": other_frac,
        "other_flow_m3_s": other_flow_m3_s,
    }
    return pipe_leak_m3_s(**seen), unthinned_frac(**seen)
