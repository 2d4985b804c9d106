"""What next, why, and from which readings. One verb, one number, one button; nothing is asked while the arc burns."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from brightroot.base.formula import Estimate
from brightroot.base.source import Datum
from brightroot.live.advice_gas import before_leaning_in, gas_before_arc, gas_doubts, gas_low
from brightroot.live.advice_stream import stream_doubts
from brightroot.live.bench import bench_gates, tripped, undecided, waived
from brightroot.live.estimators.oxygen import OxygenState, oxygen_state
from brightroot.live.estimators.tint import HoldTint
from brightroot.live.gates import (
    Gate,
    backing_gate,
    bead_gate,
    filler_gate,
    fit_up_gate,
    last_stopped,
    oxygen_gate,
    tack_gate,
    temperature_gate,
)
from brightroot.live.phases import LiveState, Phase
from brightroot.live.progress import to_do
from brightroot.live.stops import stops
from brightroot.model.advice import Advice, Because, Level
from brightroot.model.plan import Plan, Step
from brightroot.model.procedure import Trip
from brightroot.rules.gate.known import Bench


@dataclass(frozen=True, slots=True)
class Moment:
    """All that advice depends on: the plan, the state, the practice cells, the forecasts as they now stand, and now."""

    plan: Plan
    state: LiveState
    cells: Mapping[str, Datum]
    now_s: float
    forecasts: Mapping[str, Estimate]  # re-forecast run figures; the plan's own where nothing was read yet
    bench: Bench | None = None  # what metal, rods and tools the joint may meet; None: not looked at
    trips: tuple[Trip, ...] = ()  # what the procedure guard tripped
    tint: HoldTint | None = None  # dose and film while the shield is held

    def figure(self, key: str) -> Estimate | None:
        """The figure as it now stands."""
        return self.forecasts.get(key) or self.plan.figures.get(key)

    def oxygen(self) -> OxygenState:
        """What is known of the oxygen at this moment."""
        return oxygen_state(
            self.state.record,
            now_s=self.now_s,
            volume_m3=self.plan.figures["purge.volume_m3"],
            supply_frac=self.plan.joint.purge.supply_oxygen_frac or self.cells["supply_oxygen_frac"],
            in_leak_m3_s=self.cells["in_leak_m3_s"],
            good_for_s=self.cells["oxygen_good_for_s"],
        )


def advise(moment: Moment) -> tuple[Advice, ...]:
    """The advice of this moment, the most urgent first. The first is the one on the screen."""
    standing = (*stops(moment.plan, moment.state.record, cells=moment.cells), *gas_low(moment))
    joint = moment.plan.joint
    wall_m = min(joint.end_a.wall_m.value, joint.end_b.wall_m.value)
    beyond = (*tripped(moment.trips), *undecided(moment.state.record, wall_m=wall_m))
    if moment.state.phase is Phase.ARC_ON:
        return (*standing, _arc_on(moment), *beyond)
    if moment.state.phase is Phase.HOLDING:
        doubts = stream_doubts(moment.state.record, now_s=moment.now_s, cells=moment.cells)
        return (_hold(moment), *standing, *beyond, *doubts)
    doubts = stream_doubts(moment.state.record, now_s=moment.now_s, cells=moment.cells)
    return (*standing, *beyond, *_next(moment), *doubts, *waived(moment.trips))


def _arc_on(moment: Moment) -> Advice:
    run = moment.state.record.arc_on_run
    return Advice(
        Level.QUIET,
        "say.arc_on",
        event="arc.stopped",
        params=(("run_count", str(run)),),
        run=run,
        number=moment.figure(f"runs.{run}.arc_time_s"),
    )


def _hold(moment: Moment) -> Advice:
    """The tone comes at the late end of the hold's interval."""
    run = last_stopped(moment.state.record)
    if run is None or run.stopped_s is None:
        return _do(Step("step.shield.lifted", "shield.lifted"))
    hold = moment.figure(f"runs.{run.number}.hold_s")
    params = (("run_count", str(run.number)),)
    if hold is None:
        return Advice(
            Level.WARN,
            "say.hold_unknown",
            event="shield.lifted",
            params=params,
            run=run.number,
            because=(Because("because.no_hold"),),
            from_events=(run.stopped_event,),
        )
    until = (run.stopped_s + hold.low, run.stopped_s + hold.value, run.stopped_s + hold.high)
    over = moment.now_s >= until[2]
    return Advice(
        Level.NEXT if over else Level.WARN,
        "say.hold_over" if over else "say.hold",
        event="shield.lifted",
        params=params,
        number=hold,
        until_s=until,
        run=run.number,
        from_events=(run.stopped_event,),
        because=(Because("because.release", (("release_K", f"{_release(moment)}"),)), *_colour(moment, over)),
    )


def _colour(moment: Moment, over: bool) -> tuple[Because, ...]:
    """What the shield is held for: the colour it keeps, and the one that room air would make of hot metal now."""
    if moment.tint is None:
        return ()
    tint = moment.tint
    stays = (
        ("so_far_dose_frac_s", f"{tint.so_far.value}"),
        ("dose_frac_s", f"{tint.dose.value}"),
        ("film_m", f"{tint.kept.value}"),
        ("tint", tint.names.value),
    )
    kept = Because("because.tint_kept", stays)
    if over or tint.lifted_names.value == tint.names.value:
        return (kept,)
    comes_up = (("film_m", f"{tint.lifted.value}"), ("tint", tint.lifted_names.value))
    return (kept, Because("because.tint_lifted", comes_up))


def _release(moment: Moment) -> float:
    typed = moment.plan.joint.procedure.release_K
    return typed.value if typed else moment.cells["release_K"].value


def _next(moment: Moment) -> tuple[Advice, ...]:
    steps = to_do(moment.plan, moment.state.record)
    if not steps:
        return (Advice(Level.QUIET, "say.nothing_left"),)
    first = steps[0]
    if first.event in ("oxygen.read", "temperature.read", "arc.started"):
        return _before_arc(moment, steps)
    if first.event == "tack.made":
        oxygen = oxygen_gate(moment.plan, moment.state.record, moment.oxygen(), cells=moment.cells)
        closed = [gate for gate in (*_bench(moment), oxygen) if gate.state != "open"]
        if closed:
            return tuple(_gate(moment, gate, first) for gate in closed)
        return (replace(_do(first), because=gas_doubts(moment)),)
    if first.event == "bead.looked_at":
        return (replace(_do(first), because=_lifted_early(moment, first.run)),)
    return (before_leaning_in(moment, first, _do(first)),)


def _lifted_early(moment: Moment, number: int) -> tuple[Because, ...]:
    """A shield lifted before the late end of its hold is said at once, while the bead is being looked at."""
    run, hold = moment.state.record.run(number), moment.figure(f"runs.{number}.hold_s")
    if run is None or hold is None or run.stopped_s is None or run.lifted_s is None:
        return ()
    held_s = run.lifted_s - run.stopped_s
    if held_s >= hold.high:
        return ()
    return (Because("because.lifted_early", (("held_s", f"{held_s}"), ("late_s", f"{hold.high}"))),)


def _before_arc(moment: Moment, steps: tuple[Step, ...]) -> tuple[Advice, ...]:
    """The gates before an arc. A shut or unknown gate is the next thing to do; the arc waits behind it."""
    strike = next((s for s in steps if s.event == "arc.started"), None)
    plan, record = moment.plan, moment.state.record
    if strike is None or (not strike.run or plan.run(strike.run) is None):
        return (_purge(moment, steps[0]),)
    if steps[0].event == "oxygen.read" and not steps[0].run:
        return (_purge(moment, steps[0]),)
    run = plan.run(strike.run)
    gates = [
        *_bench(moment),
        gas_before_arc(moment),
        filler_gate(plan, record),
        fit_up_gate(record, cells=moment.cells),
        tack_gate(plan, record, run=strike.run),
        bead_gate(record),
    ]
    if run is not None and run.pass_number == 1:
        gates.append(oxygen_gate(plan, record, moment.oxygen(), cells=moment.cells))
    elif run is not None:
        gates.append(backing_gate(plan, record, coming=run))
    gates.append(temperature_gate(plan, record, run=strike.run, cells=moment.cells, now_s=moment.now_s))
    closed = [gate for gate in gates if gate.state != "open"]
    if closed:
        return tuple(_gate(moment, gate, strike) for gate in closed)
    return (
        Advice(
            Level.NEXT,
            "say.strike",
            event="arc.started",
            params=(("run_count", str(strike.run)),),
            run=strike.run,
            arc=strike.arc,
            number=moment.figure(f"runs.{strike.run}.length_m"),
            because=(*(gate.because for gate in gates), *gas_doubts(moment)),
            cautions=strike.cautions,
            from_events=tuple(event for gate in gates for event in gate.from_events),
        ),
    )


def _bench(moment: Moment) -> list[Gate]:
    if moment.bench is None:
        return []
    return bench_gates(moment.state.record, moment.bench, cells=moment.cells, now_s=moment.now_s)


def _gate(moment: Moment, gate: Gate, strike: Step) -> Advice:
    if gate.name == "temperature":
        cool = _cool(moment, strike)
        return replace(cool, because=(gate.because,), from_events=gate.from_events)
    if gate.event == "purge.started":
        said = f"say.{gate.event}"
        return Advice(Level.STOP, said, event=gate.event, because=(gate.because,), run=strike.run)
    if gate.name == "oxygen":
        purge = _purge(moment, strike)
        return replace(purge, because=(gate.because,), from_events=gate.from_events)
    return Advice(
        Level.STOP if gate.state == "shut" else Level.NEXT,
        f"say.gate.{gate.name}.{gate.state}",
        event=gate.event,
        params=gate.because.params,
        because=(gate.because,),
        from_events=gate.from_events,
        run=strike.run,
    )


def _cool(moment: Moment, step: Step) -> Advice:
    """Wait until the forecast says it is worth reading; then read. The clock never opens the gate."""
    last = last_stopped(moment.state.record)
    wait = moment.figure(f"runs.{last.number}.wait_s") if last else None
    if last is None or last.stopped_s is None or wait is None:
        return Advice(
            Level.NEXT, "say.read_temperature", event="temperature.read", run=step.run, cautions=("caution.hot",)
        )
    until = (last.stopped_s + wait.low, last.stopped_s + wait.value, last.stopped_s + wait.high)
    early = moment.now_s < until[1]
    return Advice(
        Level.NEXT,
        "say.wait" if early else "say.read_temperature",
        event="temperature.read",
        run=step.run,
        number=wait,
        until_s=until,
        because=(Because("because.wait"),),
        from_events=(last.stopped_event,),
        cautions=("caution.hot",),
    )


def _purge(moment: Moment, step: Step) -> Advice:
    """Read the oxygen; while the purge is young, say when it is worth looking."""
    record = moment.state.record
    time = moment.figure("purge.time_s")
    if record.purge_started_s is None or time is None or record.runs:
        return Advice(Level.NEXT, "say.read_oxygen", event="oxygen.read", run=step.run, params=(("place", "vent"),))
    # the same volumes at the flow that is really on take as much longer as it is smaller
    planned, on = moment.plan.figures["set_up.backing_flow_m3_s"].value, record.backing_flow_m3_s
    slower = planned / on if on else 1.0
    time = replace(time, value=time.value * slower, low=time.low * slower, high=time.high * slower)
    until = tuple(record.purge_started_s + t for t in (time.low, time.value, time.high))
    says = "say.purge_wait" if moment.now_s < until[0] else "say.read_oxygen"
    return Advice(
        Level.NEXT,
        says,
        event="oxygen.read",
        run=step.run,
        params=(("place", "vent"),),
        number=time,
        until_s=(until[0], until[1], until[2]),
        because=(Because("because.purge"),),
        cautions=("caution.argon",),
    )


_WHAT = {
    "surface.prepared": "work",
    "heat_lot.recorded": "end",
    "instrument.checked": "against",
    "dam.placed": "end",
    "dam.removed": "end",
    "fit_up.measured": "at_rad",
    "hold_point.released": "hold_point",
    "tape.closed": "arc",
    "oxygen.read": "place",
    "flow.changed": "circuit",
    "visual.measured": "item",
    "joint.signed": "role",
}


def _do(step: Step) -> Advice:
    """A step as it stands in the plan: its verb, its button, and what is already known of it."""
    params = [(_WHAT[step.event], step.what)] if step.what and step.event in _WHAT else []
    params += [("run_count", str(step.run))] if step.run else []
    params += [("tack", step.tack)] if step.tack else []
    params += [("arc", step.arc)] if step.event == "tape.opened" else []
    return Advice(
        Level.NEXT,
        f"say.{step.event}",
        event=step.event,
        params=tuple(params),
        run=step.run,
        arc=step.arc,
        tack=step.tack,
        cautions=step.cautions,
    )
