"""Purges drawn at random, in groups: what the set-up is, what is wrong with it, and the monitor that looks at it."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

import numpy as np

from benchmarks.purge_simulator.bore import Branch
from benchmarks.purge_simulator.flow import Place, Truth
from benchmarks.purge_simulator.monitor import AIR_PPM, Monitor

BORES_M = (0.0354, 0.0409, 0.0527, 0.0627, 0.0829, 0.0829, 0.1082, 0.1082, 0.1282, 0.1541, 0.2027, 0.2545)
SMALL_M = BORES_M[:4]
TARGETS_PPM = (50, 20, 15, 10)


@dataclass(frozen=True)
class Drawn:
    """One purge before it is run: the truth, the same without its sudden fault, the monitor, and what the case tells."""

    group: str
    seed: tuple[int, int]
    truth: Truth
    monitor: Monitor
    nominal: Monitor
    grade_ppm: float
    events: tuple[tuple[float, str], ...] = ()
    opens_s: float | None = None
    every_s: float = 10.0
    irregular: bool = False


def drawn(group: str, seed: int, index: int) -> Drawn:
    """The purge of that group, seed and index; the same whatever else was drawn."""
    rng = np.random.default_rng([seed, index])
    return GROUPS[group](plain(group, (seed, index), rng), rng)


def plain(
    group: str, seed: tuple[int, int], rng: np.random.Generator, *, bores_m: tuple[float, ...] = BORES_M
) -> Drawn:
    """A sound set-up: fed low at one end, vented high at the other, a little air getting in."""
    diameter = float(rng.choice(bores_m))
    length = float(np.clip(diameter * rng.uniform(4, 12), 0.3, 1.6))
    volume_L = math.pi / 4 * diameter**2 * length * 1e3
    flow = float(np.clip(round(volume_L / rng.uniform(0.4, 1.4), 1 if volume_L < 5 else 0), 0.8, 24))
    turn_s = volume_L / flow * 60
    grade = float(rng.choice([5.0, 5.0, 5.0, 10.0]))
    truth = Truth(
        diameter_m=diameter,
        length_m=length,
        feed=Place(inset(rng), "low"),
        vent=Place(1 - inset(rng), "high"),
        vent_bore_m=float(rng.choice([0.005, 0.008, 0.010])),
        vertical=bool(rng.random() < 0.08),
        flows_L_min=((0.0, flow),),
        supply_ppm=((0.0, float(rng.uniform(0.2, 0.8)) * grade),),
        leaks_mL_min=((0.0, float(min(0.00002 * flow, np.exp(rng.normal(-2.6, 0.9)) * flow / 10000)) * 1000),),
        leak_height=str(rng.choice(["round", "high", "middle", "low"])),
        still_leak_1=float(rng.uniform(2, 5)),
        gap_at_1=float(rng.uniform(0.3, 0.7)),
        gap_shares_1=((0.0, float(rng.uniform(0.0, 0.15))),),
        outgas_mL_min=float(rng.uniform(0.1, 0.8)) * min(1.0, flow / 10),
        outgas_s=float(rng.uniform(30, 120)),
        diffuser_1=float(rng.uniform(0.15, 0.6)),
        jet_m_s=float(rng.choice([0.0, rng.uniform(0.1, 0.8)])),
        eddy_m2_s=float(np.exp(rng.normal(math.log(1.3e-5), 0.8))),
        end_s=whole_end(24 * turn_s),
        columns=int(np.clip(round(length / diameter * 8), 32, 52)),
        rows=12 if diameter > 0.05 else 10,
    )
    lag, delay = float(rng.uniform(3, 15)), float(rng.uniform(2, 8))
    monitor = Monitor(
        lag_s=lag,
        second_lag_s=float(rng.uniform(0, 3)),
        delay_s=delay,
        noise_rel_1=float(rng.uniform(0.01, 0.05)),
        noise_abs_ppm=float(rng.uniform(0.3, 1.2)),
        gain_1=float(np.exp(rng.normal(0, 0.02))),
        offset_ppm=float(rng.normal(0, 0.4)),
        drift_ppm_h=float(rng.normal(0, 0.5)),
    )
    return told(
        Drawn(group, seed, truth, monitor, monitor, grade, every_s=float(rng.choice([5.0, 10.0, 10.0, 15.0])),
              irregular=bool(rng.random() < 0.3)), rng,
    )  # fmt: skip


def told(one: Drawn, rng: np.random.Generator) -> Drawn:
    """What the case says of the monitor: about right, its scatter rather too large."""
    own = one.monitor
    nominal = replace(
        own,
        lag_s=round(own.lag_s * float(np.exp(rng.normal(0, 0.15)))) or 1.0,
        delay_s=float(round(own.delay_s * float(np.exp(rng.normal(0, 0.15))))),
        noise_rel_1=round(own.noise_rel_1 * 1.3, 3),
        noise_abs_ppm=round(own.noise_abs_ppm * 1.3, 2),
    )
    return replace(one, nominal=nominal)


def whole_end(seconds: float) -> int:
    """The end of a record, on a whole minute."""
    return int(np.clip(math.ceil(seconds / 60) * 60, 300, 2400))


def inset(rng: np.random.Generator) -> float:
    """How far in from its dam a hose ends, as a share of the length."""
    return float(rng.choice([0.0, rng.uniform(0.0, 0.25)]))


def turn_s(truth: Truth) -> float:
    """The time in which the flow fills the pipe once."""
    return math.pi / 4 * truth.diameter_m**2 * truth.length_m * 6e4 / truth.flows_L_min[0][1]


def _clean(one: Drawn, rng: np.random.Generator) -> Drawn:
    return one


def _leak_floor(one: Drawn, rng: np.random.Generator) -> Drawn:
    flow = one.truth.flows_L_min[0][1]
    leak = float(np.exp(rng.uniform(math.log(18), math.log(250)))) / AIR_PPM * flow * 1000
    return replace(one, truth=replace(one.truth, leaks_mL_min=((0.0, leak),)))


def _supply_floor(one: Drawn, rng: np.random.Generator) -> Drawn:
    """The gas itself is over its grade: a bad fill, or a hose that lets air in."""
    supply = float(np.exp(rng.uniform(math.log(12), math.log(80))))
    return replace(one, truth=replace(one.truth, supply_ppm=((0.0, supply),)))


def _stop_resume(one: Drawn, rng: np.random.Generator) -> Drawn:
    flow, turn = one.truth.flows_L_min[0][1], turn_s(one.truth)
    stop = round(float(rng.uniform(2.5, 8)) * turn)
    again = stop + round(float(rng.uniform(60, 400)))
    after = flow if rng.random() < 0.7 else float(np.clip(round(flow * rng.uniform(0.6, 1.5)), 5, 24))
    flows = ((0.0, flow), (float(stop), 0.0), (float(again), after))
    return replace(one, truth=replace(one.truth, flows_L_min=flows, end_s=whole_end(again + 20 * turn * flow / after)))


def _wrong_end(one: Drawn, rng: np.random.Generator) -> Drawn:
    """Fed high and vented low, or fed and vented at the same end."""
    near, far = one.truth.feed.at_1, one.truth.vent.at_1
    feed, vent = Place(near, "high"), Place(far, "low")
    if rng.random() < 0.3:
        feed, vent = Place(near, "low"), Place(inset(rng), "high")
        if rng.random() < 0.5:
            feed, vent = Place(near, "high"), Place(inset(rng), "low")
    long = whole_end(45 * turn_s(one.truth))
    return replace(one, truth=replace(one.truth, feed=feed, vent=vent, vertical=False, end_s=long))


def _dead_leg(one: Drawn, rng: np.random.Generator) -> Drawn:
    size = one.truth.diameter_m
    branch = Branch(
        at_1=float(rng.uniform(0.15, 0.85)),
        bore_m=float(rng.uniform(0.3, 0.7)) * size,
        length_m=float(np.clip(rng.uniform(0.5, 1.8) * size, 0.02, 0.14)),
        up=bool(rng.random() < 0.75),
    )
    truth = replace(one.truth, branch=branch, vertical=False, end_s=whole_end(36 * turn_s(one.truth)))
    if rng.random() < 0.25:
        truth = replace(truth, branch=None, second_diameter_m=size * float(rng.uniform(0.5, 0.8)))
    return replace(one, truth=truth)


def _over_range(one: Drawn, rng: np.random.Generator) -> Drawn:
    if rng.random() < 0.4:
        one = _wrong_end(one, rng)
    limit = float(rng.choice([1000.0, 2000.0, 5000.0, 10_000.0]))
    return replace(one, monitor=replace(one.monitor, over_ppm=limit), nominal=replace(one.nominal, over_ppm=limit))


def _leak_opens(one: Drawn, rng: np.random.Generator) -> Drawn:
    flow, base = one.truth.flows_L_min[0][1], one.truth.leaks_mL_min[0][1]
    opens = float(round(float(rng.uniform(4, 14)) * turn_s(one.truth)))
    more = float(np.exp(rng.uniform(math.log(15), math.log(300)))) / AIR_PPM * flow * 1000
    end = whole_end(max(one.truth.end_s, opens + 12 * turn_s(one.truth) + 180))
    truth = replace(one.truth, leaks_mL_min=((0.0, base), (opens, base + more)), end_s=end)
    return replace(one, truth=truth, opens_s=opens)


def _slow_monitor(one: Drawn, rng: np.random.Generator) -> Drawn:
    small = plain(one.group, one.seed, rng, bores_m=SMALL_M)
    monitor = replace(small.monitor, lag_s=float(rng.uniform(20, 60)), delay_s=float(rng.uniform(5, 20)))
    end = whole_end(max(small.truth.end_s, 24 * turn_s(small.truth) + 10 * monitor.lag_s))
    return told(replace(small, monitor=monitor, truth=replace(small.truth, end_s=end)), rng)


def _frozen(one: Drawn, rng: np.random.Generator) -> Drawn:
    frozen = float(round(float(rng.uniform(3, 8)) * turn_s(one.truth)))
    return replace(one, monitor=replace(one.monitor, frozen_from_s=frozen))


def _handled(one: Drawn, rng: np.random.Generator) -> Drawn:
    """Somebody steps the flow, opens and closes the tape, moves a dam, changes the cylinder or opens the sample line."""
    truth, turn = one.truth, turn_s(one.truth)
    flow, leak = truth.flows_L_min[0][1], truth.leaks_mL_min[0][1]
    when = float(round(float(rng.uniform(3, 9)) * turn))
    until = when + float(round(rng.uniform(30, 120)))
    what = rng.choice(["flow", "tape", "dam", "cylinder", "line"])
    if what == "flow":
        after = float(np.clip(round(flow * float(rng.choice([0.5, 0.7, 1.4, 2.0]))), 4, 30))
        longer = whole_end(when + 20 * turn * max(1.0, flow / after))
        return replace(one, truth=replace(truth, flows_L_min=((0.0, flow), (when, after)), end_s=longer))
    if what == "tape":
        air = leak + float(rng.uniform(0.2, 3.0))
        share = truth.gap_shares_1[0][1]
        opened = replace(
            truth, leaks_mL_min=((0.0, leak), (when, air), (until, leak)), leak_height="high",
            gap_shares_1=((0.0, share), (when, float(rng.uniform(0.3, 0.7))), (until, share)),
        )  # fmt: skip
        return replace(one, truth=opened, events=((when, "tape_opened"), (until, "tape_closed")))
    if what == "dam":
        moved = replace(truth, breaths=((when, float(rng.uniform(0.03, 0.2))),), end_s=whole_end(when + 20 * turn))
        return replace(one, truth=moved, events=((when, "dam_moved"),))
    if what == "cylinder":
        other = replace(truth, supply_ppm=(truth.supply_ppm[0], (when, float(rng.uniform(0.5, one.grade_ppm)))))
        return replace(one, truth=other, events=((when, "cylinder_changed"),))
    monitor = replace(one.monitor, line_open_s=(when, until))
    return replace(one, monitor=monitor, events=((when, "sample_line_opened"), (until, "sample_line_closed")))


GROUPS: Mapping[str, Callable[[Drawn, np.random.Generator], Drawn]] = {
    "clean": _clean,
    "leak floor": _leak_floor,
    "supply floor": _supply_floor,
    "stop and resume": _stop_resume,
    "wrong end": _wrong_end,
    "dead leg": _dead_leg,
    "over range": _over_range,
    "leak opens": _leak_opens,
    "slow monitor": _slow_monitor,
    "frozen": _frozen,
    "handled": _handled,
}
COUNTS: Mapping[str, int] = {
    "clean": 70, "leak floor": 50, "supply floor": 30, "stop and resume": 70, "wrong end": 70, "dead leg": 60,
    "over range": 60, "leak opens": 60, "slow monitor": 40, "frozen": 20, "handled": 40,
}  # fmt: skip
