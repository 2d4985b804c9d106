"""Gas to finish: what every cylinder on line still has by now, and whether it lasts for the root ahead and its cooling."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from brightroot.base.formula import Assumed, Estimate, Known, estimate
from brightroot.base.source import Datum, Standing
from brightroot.live.gas_flows import CIRCUITS, drawn_from_m3, feeding, flow_now
from brightroot.live.gates import Gate
from brightroot.model.advice import Because
from brightroot.model.entry import reading_of
from brightroot.model.plan import Plan, PlannedRun
from brightroot.model.record import JointRecord, Seen
from brightroot.physics.purge.cylinder import gas_left_s, usable_argon_m3
from brightroot.physics.purge.gas_left import left_argon_m3, left_pressure_Pa, wanted_argon_m3
from brightroot.physics.totals import flow_argon_m3, total_time_s

Figure = Callable[[str], Estimate | None]
ATMOSPHERE_PA = 101325.0
ALARM_S = 30.0  # over one cooling time: to hear it, end the run and lay the torch still


@dataclass(frozen=True, slots=True)
class Cylinder:
    """One cylinder on line. `answer`: enough | change first | not known; `low`: hardly more than one cooling time left."""

    event: str
    fill: str
    circuits: tuple[str, ...]
    connected_s: float
    read_s: float | None  # when its pressure was last told
    usable: Estimate | None
    pressure: Estimate | None  # what its gauge should show by now
    flow_m3_s: float  # all its circuits on
    left: Estimate | None
    wanted: Estimate | None
    cooling_s: float
    answer: str
    low: bool
    under_titanium_heel: bool


def cylinders(
    plan: Plan, record: JointRecord, *, now_s: float, figure: Figure, cells: Mapping[str, Datum]
) -> tuple[Cylinder, ...]:
    """Every cylinder that feeds a circuit now, in the order in which they were connected."""
    held: dict[str, tuple[Seen, list[str]]] = {}
    for circuit in CIRCUITS:
        if circuit == "trail" and "set_up.trail_flow_m3_s" not in plan.figures:
            continue
        on = feeding(record, circuit, now_s)
        if on is not None:
            held.setdefault(on.event, (on, []))[1].append(circuit)
    ordered = sorted(held.values(), key=lambda pair: pair[0].at_s)
    return tuple(_cylinder(plan, record, on, tuple(c), now_s, figure, cells) for on, c in ordered)


def gas_gate(found: Sequence[Cylinder], record: JointRecord) -> Gate:
    """Whether the gas lasts for what is ahead. Too little is a change first; a decision written since lets the work go on."""
    short = [c for c in found if c.answer == "change first" and not _decided(record, c)]
    if short:
        params = _told(short[0])
        return Gate("gas", "shut", "cylinder.changed", Because("gate.gas.change_first", params), (short[0].event,))
    unknown = [c for c in found if c.answer == "not known"]
    if unknown or not found:
        return Gate("gas", "open", "", Because("gate.gas.not_known"))
    least = min(found, key=lambda c: c.left.value if c.left else 0.0)
    return Gate("gas", "open", "", Because("gate.gas.enough", _told(least)), (least.event,))


def _decided(record: JointRecord, cylinder: Cylinder) -> bool:
    since = cylinder.read_s or cylinder.connected_s
    return any(d.at_s > since for d in record.departures)


def _told(cylinder: Cylinder) -> tuple[tuple[str, str], ...]:
    usable, wanted, left = cylinder.usable, cylinder.wanted, cylinder.left
    return (
        ("fill", cylinder.fill),
        ("usable_argon_m3", f"{usable.value if usable else 0.0}"),
        ("wanted_argon_m3", f"{wanted.value if wanted else 0.0}"),
        ("gas_left_s", f"{left.value if left else 0.0}"),
    )


def _cylinder(
    plan: Plan, record: JointRecord, on: Seen, circuits: tuple[str, ...], now_s: float, figure: Figure,
    cells: Mapping[str, Datum],
) -> Cylinder:  # fmt: skip
    told = _told_last(record, on, circuits, now_s)
    pressure = reading_of(told.data, "cylinder_pressure_Pa") if told else None
    known: Known | None = pressure or plan.joint.purge.cylinder_pressure_Pa
    read_s = told.at_s if told and pressure else on.at_s if known else None
    state = _state(plan, on, told, known, cells) if known else None
    drawn = drawn_from_m3(plan, record, on, from_s=read_s or on.at_s, to_s=now_s)
    flow = sum(flow_now(plan, record, circuit) for circuit in circuits)
    usable = left = shows = None
    if state is not None:
        spread = cells["flowmeter_spread_1"]
        used = Assumed(drawn, drawn * spread.low, drawn * spread.high, spread.source, Standing.PRACTICE)
        filled = estimate(usable_argon_m3, key="live.filled_argon_m3", **state)
        usable = estimate(left_argon_m3, key="live.usable_argon_m3", filled_argon_m3=filled, drawn_argon_m3=used)
        # nothing less than nothing is left, whatever the range says
        usable = Estimate(usable.name, usable.value, max(0.0, usable.low), usable.high, usable.formula, usable.inputs,
                          usable.standing, usable.caveats, usable.key)  # fmt: skip
        rest = {name: value for name, value in state.items() if name != "cylinder_pressure_Pa"}
        shows = estimate(left_pressure_Pa, key="live.cylinder_pressure_Pa", usable_argon_m3=usable, **rest)
        left = estimate(gas_left_s, key="live.gas_left_s", usable_argon_m3=usable, flow_m3_s=flow) if flow > 0 else None
    ahead = runs_ahead(plan, record)
    wanted = _wanted(plan, record, ahead, circuits, now_s, figure, cells)
    cooling_s = max((h.high for run in ahead if (h := figure(f"runs.{run.number}.hold_s"))), default=0.0)
    answer = "not known" if usable is None else "enough" if usable.low >= wanted.value else "change first"
    return Cylinder(
        event=on.event, fill=str(on.data.get("fill", "")), circuits=circuits, connected_s=on.at_s, read_s=read_s,
        usable=usable, pressure=shows, flow_m3_s=flow, left=left, wanted=wanted, cooling_s=cooling_s, answer=answer,
        low=left is not None and bool(ahead) and left.low <= cooling_s + ALARM_S,
        under_titanium_heel=shows is not None and shows.value < cells["titanium_heel_Pa"].value,
    )  # fmt: skip


def _told_last(record: JointRecord, on: Seen, circuits: tuple[str, ...], now_s: float) -> Seen | None:
    """The last that was told of this cylinder's pressure: read since, or written down when it was connected."""
    since = [
        seen
        for seen in record.cylinders
        if on.at_s <= seen.at_s <= now_s and (seen.data["circuit"] == "all" or seen.data["circuit"] in circuits)
    ]
    with_pressure = [seen for seen in (on, *since) if "cylinder_pressure_Pa" in seen.data]
    return max(with_pressure, key=lambda seen: seen.at_s, default=None)


def _state(
    plan: Plan, on: Seen, told: Seen | None, pressure: Known, cells: Mapping[str, Datum]
) -> dict[str, Known | float]:
    """The cylinder as the formulas take it; gauge pressure is taken as absolute, which leaves one bar in hand."""
    purge, data = plan.joint.purge, told.data if told else {}
    warm = reading_of(data, "cylinder_K") or plan.joint.ambient_K or _assumed(cells["ambient_K"])
    water = (
        reading_of(data, "cylinder_volume_m3")
        or reading_of(on.data, "cylinder_volume_m3")
        or purge.cylinder_volume_m3
        or _assumed(cells["cylinder_volume_m3"])
    )
    return {
        "cylinder_pressure_Pa": pressure,
        "heel_pressure_Pa": purge.heel_pressure_Pa or _assumed(cells["heel_pressure_Pa"]),
        "cylinder_K": warm,
        "water_volume_m3": water,
        "reference_K": cells["gas_reference_K"].value,
        "reference_pressure_Pa": ATMOSPHERE_PA,
    }


def _assumed(cell: Datum) -> Assumed:
    return Assumed(cell.value, cell.low, cell.high, cell.source, cell.standing)


def runs_ahead(plan: Plan, record: JointRecord) -> tuple[PlannedRun, ...]:
    """What the gas has to last for: the rest of the root in one go, or after it the next run; a burning one counts."""
    open_ = [run for run in plan.runs if (made := record.run(run.number)) is None or made.lifted_s is None]
    root = [run for run in open_ if run.pass_number == 1]
    return tuple(root or open_[:1])


def _wanted(
    plan: Plan, record: JointRecord, ahead: tuple[PlannedRun, ...], circuits: tuple[str, ...], now_s: float,
    figure: Figure, cells: Mapping[str, Datum],
) -> Estimate:  # fmt: skip
    """Argon that the runs ahead and their cooling draw by these circuits, with the reserve."""
    arcs: dict[str, Known] = {}
    holds: dict[str, Known] = {}
    between: dict[str, Known] = {}
    for run in ahead:
        arc, hold, wait = (figure(f"runs.{run.number}.{n}") for n in ("arc_time_s", "hold_s", "wait_s"))
        made = record.run(run.number)
        if arc is not None and (made is None or made.stopped_s is None):
            arcs[f"run_{run.number}_s"] = arc
        if hold is not None:
            holds[f"run_{run.number}_s"] = hold
        if run is not ahead[-1]:
            longer = [f for f in (wait, hold) if f is not None]
            between[f"run_{run.number}_s"] = max(longer, key=lambda f: f.value, default=_assumed(cells["move_s"]))
            between[f"move_{run.number}_s"] = cells["move_s"]
        elif hold is not None:
            between[f"run_{run.number}_s"] = hold
    shielded = estimate(total_time_s, key="live.shielded_s", **_apart(arcs, holds))
    backing = estimate(total_time_s, key="live.backing_s", **_apart(arcs, between))
    volumes = {
        f"{circuit}_m3": estimate(
            flow_argon_m3, key=f"live.{circuit}_m3", flow_m3_s=flow_now(plan, record, circuit),
            elapsed_s=backing if circuit == "backing" else shielded,
        ) if circuit in circuits else 0.0
        for circuit in CIRCUITS
    }  # fmt: skip
    return estimate(wanted_argon_m3, key="live.wanted_argon_m3", reserve_1=cells["gas_reserve_1"], **volumes)


def _apart(arcs: Mapping[str, Known], rests: Mapping[str, Known]) -> dict[str, Known]:
    return {
        **{f"arc_{name}": known for name, known in arcs.items()},
        **{f"rest_{name}": k for name, k in rests.items()},
    }
