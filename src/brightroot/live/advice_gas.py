"""What gas and air add to the advice: change the cylinder first, end the run while it still cools, read the air first."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Protocol

from brightroot.base.formula import Estimate
from brightroot.base.source import Datum
from brightroot.live.gas import Cylinder, cylinders, gas_gate
from brightroot.live.gas_proof import proof_because, proofs_of
from brightroot.live.gates import Gate
from brightroot.live.phases import LiveState, Phase
from brightroot.live.room import BOTTOM, LEANING_IN, air_gate, asks_for_air
from brightroot.live.stops import SAFE_WAY_OUT
from brightroot.model.advice import Advice, Because, Level
from brightroot.model.plan import Plan, Step


class Asking(Protocol):
    """The moment that is asked about."""

    @property
    def plan(self) -> Plan: ...
    @property
    def state(self) -> LiveState: ...
    @property
    def cells(self) -> Mapping[str, Datum]: ...
    @property
    def now_s(self) -> float: ...
    def figure(self, key: str) -> Estimate | None: ...


def on_line(moment: Asking) -> tuple[Cylinder, ...]:
    """The cylinders on line at this moment."""
    return cylinders(
        moment.plan, moment.state.record, now_s=moment.now_s, figure=moment.figure, cells=moment.cells
    )  # fmt: skip


def gas_before_arc(moment: Asking) -> Gate:
    """Whether the gas lasts for what is ahead."""
    return gas_gate(on_line(moment), moment.state.record)


def gas_low(moment: Asking) -> tuple[Advice, ...]:
    """While the arc burns or a bead cools: the alarm that comes while one cooling time of gas is still there."""
    if moment.state.phase not in (Phase.ARC_ON, Phase.HOLDING):
        return ()
    low = next((c for c in on_line(moment) if c.low), None)
    if low is None or low.left is None:
        return ()
    because = Because("because.gas_low", (("fill", low.fill), ("gas_left_s", f"{low.left.value}")))
    if moment.state.phase is Phase.ARC_ON:
        run = moment.state.record.arc_on_run
        return (Advice(Level.STOP, "stop.gas_low", because=(Because(SAFE_WAY_OUT), because), run=run,
                       from_events=(low.event,)),)  # fmt: skip
    return (Advice(Level.WARN, "say.gas_low", event="cylinder.changed", because=(because,), from_events=(low.event,)),)


def gas_doubts(moment: Asking) -> tuple[Because, ...]:
    """Gas that nobody has proved, said where an arc is about to be struck with it."""
    return proof_because(
        proofs_of(moment.plan, moment.state.record, now_s=moment.now_s, cells=moment.cells)
    )  # fmt: skip


def before_leaning_in(moment: Asking, step: Step, advice: Advice) -> Advice:
    """A step that puts a head where argon may lie waits for a reading of the air, which never lets anybody in either."""
    record = moment.state.record
    if step.event not in LEANING_IN or not asks_for_air(moment.plan, record, moment.cells):
        return advice
    gate = air_gate(record, now_s=moment.now_s, cells=moment.cells)
    if gate.state == "open":
        return replace(advice, because=(gate.because, *advice.because), from_events=gate.from_events)
    return Advice(
        Level.STOP,
        f"say.gate.air.{gate.event.partition('.')[2]}",
        event=gate.event,
        params=(("place", BOTTOM),) if gate.event == "air.read" else (),
        because=(gate.because, Because("because.leaning_in")),
        from_events=gate.from_events,
        cautions=("caution.argon_inside",),
    )
