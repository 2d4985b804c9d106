"""Oxygen between readings: the last number, an upper bound that grows with silence, then "not measured"."""

from __future__ import annotations

from dataclasses import dataclass

from brightroot.base.formula import Estimate, Known, estimate
from brightroot.base.source import Datum
from brightroot.model.record import JointRecord, OxygenRead
from brightroot.physics.purge.ingress import oxygen_upper_frac

# places whose number speaks of the gas inside the joint
INSIDE = ("vent", "weld plane")
# clocks of two devices may differ by so much; a reading further ahead bears a wrong time, and its age is not known
AHEAD_S = 60.0


@dataclass(frozen=True, slots=True)
class OxygenState:
    """`state`: never read | over range | measured | ageing | not measured; `upper` is the bound now, None if unknown."""

    state: str
    last: OxygenRead | None
    age_s: float | None
    upper: Estimate | None


def oxygen_state(
    record: JointRecord, *, now_s: float, volume_m3: Estimate, supply_frac: Known, in_leak_m3_s: Datum,
    good_for_s: Datum,
) -> OxygenState:  # fmt: skip
    """What is known of the oxygen at this moment.

    A number is *measured* for a monitor's cadence (a sixth of `good_for_s`), then *ageing*, and after `good_for_s` it is
    *not measured*. The bound assumes the largest in-leak thought possible, so it is above the truth wherever that holds.
    """
    inside = [r for r in record.oxygen if r.place in INSIDE]
    if not inside:
        return OxygenState("never read", None, None, None)
    last = inside[-1]
    age_s = max(0.0, now_s - last.at_s)
    if last.at_s > now_s + AHEAD_S:
        return OxygenState("not measured", last, None, None)
    if last.oxygen_frac is None:
        name = "over range" if last.state == "over range" else "not measured"
        return OxygenState(name, last, age_s, None)
    upper = estimate(
        oxygen_upper_frac, key="live.oxygen_upper_frac", last_frac=last.oxygen_frac, supply_frac=supply_frac,
        in_leak_m3_s=in_leak_m3_s, flow_m3_s=record.backing_flow_m3_s or 0.0, volume_m3=volume_m3, silent_s=age_s,
    )  # fmt: skip
    state = "measured" if age_s <= good_for_s.value / 6 else "ageing" if age_s <= good_for_s.value else "not measured"
    return OxygenState(state, last, age_s, upper)
