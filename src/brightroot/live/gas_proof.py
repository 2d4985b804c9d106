"""Is the gas proved? By fill and circuit: oxygen, dew point and a scrap puddle; and which runs each fill has fed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from brightroot.base.source import Datum
from brightroot.live.gas_flows import CIRCUITS, feeding
from brightroot.model.advice import Because
from brightroot.model.entry import number_of
from brightroot.model.plan import Plan
from brightroot.model.record import JointRecord, Seen

ASKED = ("oxygen", "dew_point", "puddle")  # an oxygen monitor cannot see moisture: it never stands for the dew point


@dataclass(frozen=True, slots=True)
class Proof:
    """What is known of one fill on one circuit. `state`: proved | unproved | doubtful."""

    fill: str
    circuit: str
    state: str
    missing: tuple[str, ...]  # of ASKED
    bad: tuple[str, ...]  # of ASKED
    from_events: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Fed:
    """What one fill has fed on one circuit: runs by number and tacks by name; `purged`: the backing of the joint."""

    fill: str
    circuit: str
    runs: tuple[int, ...]
    from_s: float
    until_s: float | None


def circuits_of(plan: Plan) -> tuple[str, ...]:
    """The circuits of this plan: the trailing shield only where the metal wants one."""
    return tuple(c for c in CIRCUITS if c != "trail" or "set_up.trail_flow_m3_s" in plan.figures)


def proofs_of(plan: Plan, record: JointRecord, *, now_s: float, cells: Mapping[str, Datum]) -> tuple[Proof, ...]:
    """The proof of what feeds every circuit now; a circuit with no gas written down is unproved."""
    found = []
    for circuit in circuits_of(plan):
        on = feeding(record, circuit, now_s)
        if on is None:
            found.append(Proof("", circuit, "unproved", ASKED, (), ()))
        else:
            found.append(proof_of(record, str(on.data.get("fill", "")), circuit, cells=cells))
    return tuple(found)


def proof_of(record: JointRecord, fill: str, circuit: str, *, cells: Mapping[str, Datum]) -> Proof:
    """What stands in the record for that fill on that circuit, certificate and readings together; the worst counts."""
    papers = [s for s in record.gas if s.data.get("fill") == fill and s.data.get("circuit") in ("all", circuit)]
    tried = [s for s in record.proofs if s.data.get("fill") == fill and s.data.get("circuit") in ("all", circuit)]
    seen = [*papers, *tried]
    oxygen = [x for s in seen if (x := number_of(s.data, "supply_oxygen_frac")) is not None]
    dew = [x for s in seen if (x := number_of(s.data, "dew_point_K")) is not None]
    puddles = [str(s.data["puddle"]) for s in tried if s.data.get("puddle") != "not made"]
    missing = tuple(name for name, rows in (("oxygen", oxygen), ("dew_point", dew), ("puddle", puddles)) if not rows)
    bad = tuple(
        name
        for name, wrong in (
            ("oxygen", bool(oxygen) and max(oxygen) > cells["supply_oxygen_max_frac"].value * (1 + 1e-9)),
            ("dew_point", bool(dew) and max(dew) > cells["dew_point_max_K"].value + 1e-9),
            ("puddle", any(p != "bright" for p in puddles)),
        )
        if wrong
    )
    state = "doubtful" if bad else "unproved" if missing else "proved"
    return Proof(fill, circuit, state, missing, bad, tuple(s.event for s in seen))


def proof_because(proofs: tuple[Proof, ...]) -> tuple[Because, ...]:
    """The warning for gas that is not proved: it stops nothing, and it is traced to what it feeds."""
    doubtful = tuple(p.circuit for p in proofs if p.state == "doubtful")
    unproved = tuple(p.circuit for p in proofs if p.state == "unproved")
    said = []
    if doubtful:
        said.append(Because("because.gas_doubtful", (("circuits", ", ".join(doubtful)),)))
    if unproved:
        said.append(Because("because.gas_unproved", (("circuits", ", ".join(unproved)),)))
    return tuple(said)


def fed_by(record: JointRecord) -> tuple[Fed, ...]:
    """Every fill that was on line, circuit by circuit, with the runs struck while it was."""
    found = []
    for circuit in CIRCUITS:
        on = sorted((s for s in record.gas if s.data.get("circuit") in ("all", circuit)), key=lambda s: s.at_s)
        for n, seen in enumerate(on):
            until_s = on[n + 1].at_s if n + 1 < len(on) else None
            found.append(_fed(record, seen, circuit, until_s))
    return tuple(found)


def _fed(record: JointRecord, seen: Seen, circuit: str, until_s: float | None) -> Fed:
    runs = tuple(
        run.number
        for run in sorted(record.runs, key=lambda run: run.number)
        if seen.at_s <= (run.lifted_s or run.stopped_s or run.started_s)
        and (until_s is None or run.started_s < until_s)
    )
    return Fed(str(seen.data.get("fill", "")), circuit, runs, seen.at_s, until_s)
