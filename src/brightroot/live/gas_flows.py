"""Which cylinder fed which circuit when, which circuits were flowing, and how much they drew: by the flowmeters' word."""

from __future__ import annotations

from brightroot.model.entry import number_of
from brightroot.model.plan import Plan
from brightroot.model.record import JointRecord, Seen

CIRCUITS = ("torch", "trail", "backing")
Course = tuple[tuple[float, float], ...]


def feeding(record: JointRecord, circuit: str, at_s: float) -> Seen | None:
    """The connection that feeds a circuit at a moment; None where nobody wrote one down."""
    on = [seen for seen in record.gas if seen.data.get("circuit") in ("all", circuit) and seen.at_s <= at_s]
    return max(on, key=lambda seen: seen.at_s, default=None)


def flow_now(plan: Plan, record: JointRecord, circuit: str) -> float:
    """The circuit's flow with its valve open: as last set, else as planned; none where the plan has no such circuit."""
    if circuit == "backing" and record.backing_flow_m3_s is not None:
        return record.backing_flow_m3_s
    sets = [
        f for seen in record.flows if seen.data.get("circuit") == circuit if (f := number_of(seen.data, "flow_m3_s"))
    ]
    planned = plan.figures.get(f"set_up.{circuit}_flow_m3_s")
    if circuit == "backing":
        return planned.value if planned else 0.0
    return sets[-1] if sets else planned.value if planned else 0.0


def course(plan: Plan, record: JointRecord, circuit: str) -> Course:
    """(seconds, flow) from each moment on."""
    return _backing(record) if circuit == "backing" else _by_runs(plan, record, circuit)


def _backing(record: JointRecord) -> Course:
    steps = []
    for seen in sorted(record.purge_course, key=lambda seen: seen.at_s):
        if seen.kind == "purge.ended":
            steps.append((seen.at_s, 0.0))
        elif seen.kind == "purge.started" or (seen.kind == "flow.changed" and seen.data.get("circuit") == "backing"):
            steps.append((seen.at_s, number_of(seen.data, "flow_m3_s") or 0.0))
    ended_s = record.post_purge_ended_s
    if ended_s is not None and steps and ended_s >= steps[-1][0]:
        steps.append((ended_s, 0.0))
    return tuple(steps)


def _by_runs(plan: Plan, record: JointRecord, circuit: str) -> Course:
    """On from arc-on until the shield was lifted; until the planned hold was over where nobody wrote the lift down."""
    steps: list[tuple[float, float]] = []
    for run in sorted(record.runs, key=lambda run: run.started_s):
        flow = _set_at(plan, record, circuit, run.started_s)
        steps.append((run.started_s, flow))
        hold = plan.figures.get(f"runs.{run.number}.hold_s")
        if run.lifted_s is not None:
            steps.append((run.lifted_s, 0.0))
        elif run.stopped_s is not None:
            steps.append((run.stopped_s + (hold.high if hold else 0.0), 0.0))
    return tuple(sorted(steps))


def _set_at(plan: Plan, record: JointRecord, circuit: str, at_s: float) -> float:
    planned = plan.figures.get(f"set_up.{circuit}_flow_m3_s")
    sets = [
        f
        for seen in record.flows
        if seen.data.get("circuit") == circuit and seen.at_s <= at_s and (f := number_of(seen.data, "flow_m3_s"))
    ]
    return sets[-1] if sets else planned.value if planned else 0.0


def drawn_m3(plan: Plan, record: JointRecord, circuits: tuple[str, ...], *, from_s: float, to_s: float) -> float:
    """Argon drawn by circuits between two moments. Tacks are not in it: nobody writes their seconds down."""
    return sum(_between(course(plan, record, circuit), from_s, to_s) for circuit in circuits)


def drawn_from_m3(plan: Plan, record: JointRecord, on: Seen, *, from_s: float, to_s: float) -> float:
    """Argon drawn from one connected cylinder: of each circuit that it fed, until another was put on that circuit."""
    total = 0.0
    for circuit in CIRCUITS:
        if on.data.get("circuit") not in ("all", circuit):
            continue
        later = [
            seen.at_s
            for seen in record.gas
            if seen.data.get("circuit") in ("all", circuit) and seen.at_s >= on.at_s and seen.event != on.event
        ]
        until_s = min([to_s, *later])
        total += _between(course(plan, record, circuit), from_s, until_s)
    return total


def _between(steps: Course, from_s: float, to_s: float) -> float:
    ends = [*(at for at, _ in steps[1:]), to_s]
    return sum(
        flow * max(0.0, min(end, to_s) - max(began, from_s)) for (began, flow), end in zip(steps, ends, strict=True)
    ) if steps else 0.0  # fmt: skip


def let_go_m3(plan: Plan, record: JointRecord, now_s: float) -> float:
    """All argon let go into the space since the first event."""
    return drawn_m3(plan, record, CIRCUITS, from_s=record.first_s or 0.0, to_s=now_s)
