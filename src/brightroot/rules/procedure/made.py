"""What a joint and its log change: every variable that they tell, one value for each run, rod, bottle or place."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping

from brightroot.base.clock import show_clock
from brightroot.base.show import show
from brightroot.base.units import Reading
from brightroot.model.joint import Joint
from brightroot.model.record import JointRecord, Seen
from brightroot.rules.fact import Fact
from brightroot.rules.moments import in_order
from brightroot.rules.procedure.typed import reading

DECLARED = ("current_min_A", "current_max_A", "travel_min_m_s", "travel_max_m_s", "heat_input_max_J_m")
CIRCUITS = {"torch": ("torch",), "trail": ("trail",), "backing": ("backing",), "all": ("torch", "trail", "backing")}


def declared_facts(joint: Joint) -> tuple[Fact, ...]:
    """The limits that the joint itself was declared with, as a procedure would write them. Its rod has a gate already."""
    stated = [(name, getattr(joint.procedure, name)) for name in DECLARED]
    return tuple(Fact(f"written.{n}", r.value, r.as_entered, unit=r.unit) for n, r in stated if r is not None)


# volts, amps and travel of a run to its energy a length: whole, and the share that counts as heat input
EnergyOf = Callable[[float, float, float], tuple[float, float]]


def made_facts(
    record: JointRecord,
    joint: Joint,
    *,
    p_numbers: tuple[str, str],
    f_number_of: Mapping[str, str],
    energy_of: EnergyOf,
) -> dict[str, Fact]:
    """Every variable that joint and log tell. `p_numbers`: of the two ends; a doubtful one (`53?`) is not told."""
    known = [n if n and "?" not in n else None for n in p_numbers]
    ends = tuple(Fact("p_number", n, where=f"end {e}", asks="ask.p_number") for n, e in zip(known, "ab", strict=True))
    walls = tuple(
        _length("metal_thickness_m", end.wall_m, f"end {e}") for end, e in ((joint.end_a, "a"), (joint.end_b, "b"))
    )
    thinner = min((joint.end_a.wall_m, joint.end_b.wall_m), key=lambda wall: wall.value)
    facts = (
        # of two unlike ends neither number speaks for the joint where a clause hangs on one
        Fact("p_number", known[0] if known[0] == known[1] else None, each=ends, asks="ask.p_number"),
        Fact("metal_thickness_m", each=walls, unit=thinner.unit),
        _length("deposit_m", thinner, ""),
        Fact("position", joint.position),
        Fact("groove_form", "single V" if joint.groove.included_angle_rad.value > 0 else "square"),
        *_runs(record),
        *_energy(record, energy_of),
        *_rods(record, f_number_of),
        *_gases(record),
        *_flows(record),
        _gaps(record),
    )
    return {fact.name: fact for fact in facts if fact.known or fact.each}


def _length(name: str, value: Reading, where: str) -> Fact:
    return Fact(name, value.value, value.as_entered, where=where, unit=value.unit)


def _runs(record: JointRecord) -> tuple[Fact, ...]:
    def each(name: str, of: Callable[..., float | None], event: str) -> Fact:
        rows = [
            Fact(name, value, show(value, name=name, both=False), (getattr(run, event),), where=f"run {run.number}")
            for run in in_order(record)
            if (value := of(run)) is not None
        ]
        return Fact(name, each=tuple(rows))

    return (
        each("current_A", lambda run: run.current_A, "started_event"),
        each("voltage_V", lambda run: run.voltage_V, "started_event"),
        each("travel_m_s", lambda run: run.travel_m_s, "stopped_event"),
    )


def _energy(record: JointRecord, energy_of: EnergyOf) -> tuple[Fact, ...]:
    """Energy and heat input of each run that was welded. Where volts, amps or travel are missing, so is the figure."""
    rows: list[tuple[Fact, Fact]] = []
    for run in in_order(record):
        if run.stopped_s is None:
            continue
        events, where = (run.started_event, run.stopped_event), f"run {run.number}"
        volts, amps, travel = run.voltage_V, run.current_A, run.travel_m_s
        whole = volts is not None and amps is not None and travel is not None and min(volts, amps, travel) > 0
        both = energy_of(volts or 0.0, amps or 0.0, travel or 0.0) if whole else (None, None)
        said = ["" if value is None else show(value, name="heat_input_J_m", both=False) for value in both]
        energy, heat = (
            Fact(name, value, text, events, where=where, asks="ask.volts_amps_travel")
            for name, value, text in zip(("arc_energy_J_m", "heat_input_J_m"), both, said, strict=True)
        )
        rows.append((energy, heat))
    return (
        Fact("arc_energy_J_m", each=tuple(energy for energy, _ in rows), asks="ask.volts_amps_travel"),
        Fact("heat_input_J_m", each=tuple(heat for _, heat in rows), asks="ask.volts_amps_travel"),
    )


def _rods(record: JointRecord, f_number_of: Mapping[str, str]) -> tuple[Fact, ...]:
    rods = [(row, str(row.data["filler"]).strip()) for row in record.fillers]
    numbers = {name.replace(" ", "").lower(): number for name, number in f_number_of.items()}
    filler = tuple(Fact("filler", name, from_events=(row.event,)) for row, name in rods)
    f_number = tuple(
        Fact("f_number", numbers.get(name.replace(" ", "").lower()), name, (row.event,), asks="ask.f_number")
        for row, name in rods
    )
    sizes = tuple(
        Fact("rod_diameter_m", size.value, size.as_entered, (row.event,), unit=size.unit)
        for row, _ in rods
        if (size := reading(row.data.get("rod_diameter_m")))
    )
    return Fact("filler", each=filler), Fact("f_number", each=f_number), Fact("rod_diameter_m", each=sizes)


def _gases(record: JointRecord) -> tuple[Fact, ...]:
    told: dict[str, list[Fact]] = {"torch": [], "trail": [], "backing": []}
    for row in record.gas:
        name = str(row.data.get("gas_name") or "").strip()
        for circuit in CIRCUITS[str(row.data["circuit"])] if name else ():
            told[circuit].append(Fact(f"{circuit}_gas", name, from_events=(row.event,)))
    return tuple(Fact(f"{circuit}_gas", each=tuple(rows)) for circuit, rows in told.items())


def _flows(record: JointRecord) -> tuple[Fact, ...]:
    told: dict[str, list[Fact]] = {"torch": [], "trail": [], "backing": []}
    started = [row for row in record.purge_course if row.kind == "purge.started"]
    for row in (*started, *record.flows):
        circuit = str(row.data.get("circuit", "backing"))
        if flow := reading(row.data.get("flow_m3_s")):
            fact = Fact(f"{circuit}_flow_m3_s", flow.value, flow.as_entered, (row.event,), unit=flow.unit)
            told[circuit].append(fact)
    return tuple(Fact(f"{circuit}_flow_m3_s", each=tuple(rows)) for circuit, rows in told.items())


def _gaps(record: JointRecord) -> Fact:
    rows = (
        Fact("gap_m", p.gap_m, show(p.gap_m, name="gap_m", both=False), (p.event,), where=show_clock(p.at_rad))
        for p in record.fit_up
    )
    return Fact("gap_m", each=tuple(rows))


def times_of(record: JointRecord) -> dict[str, float]:
    """When each event that a change can rest on was recorded."""
    rows: Iterable[Seen] = (*record.fillers, *record.gas, *record.flows, *record.purge_course)
    runs = {
        event: at
        for run in record.runs
        for event, at in ((run.started_event, run.started_s), (run.stopped_event, run.stopped_s))
        if event and at is not None
    }
    return {**{row.event: row.at_s for row in rows}, **runs}
