"""What is believed of purges before any reading: middles and spreads (of logarithms unless said), tuned on simulations.

None of it was measured on real pipe. The simulated purges that it was tuned on are not those it is judged by.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Beliefs:
    """`k`: share of the distance to the floor that a volume takes away, as a rate a volume."""

    k_right: float = 1.5
    k_right_sd: float = 0.4
    k_wrong: float = 0.95
    k_wrong_sd: float = 0.3
    k_upright: float = 2.5
    k_upright_sd: float = 0.6
    end_right: float = 1.9  # what k tends to late
    end_right_sd: float = 0.6
    end_wrong: float = 1.1
    end_wrong_sd: float = 0.9
    end_upright: float = 3.0
    end_upright_sd: float = 0.7
    least_right: float = 0.25  # a stream mixes in no slower; what lasts longer comes from a branch or is a floor
    least_wrong: float = 0.08
    trend_sd: float = 0.3  # of ln k, a volume
    front_right: float = 0.5  # volumes until the front is at the vent
    front_wrong: float = 0.25
    front_sd: float = 0.4
    # widths and rates of the march, see kernels.py
    walk: float = 0.13
    trend_walk: float = 0.45
    trend_home: float = 0.8
    pull: float = 0.03
    leak_walk: float = 0.004
    jump_rate: float = 4e-5
    jump_mean: float = 1.5
    jump_sd: float = 1.0
    proposed: float = 8.0
    still_walk: float = 0.02
    burst: float = 0.3  # sudden changes of ln k, a volume
    burst_mean: float = 0.0
    burst_sd: float = 0.7
    jitter: float = 0.25
    doubted: float = 0.01  # of the particles, a reading: their floor is drawn anew
    part: float = 0.17  # how fast ln k moves away from that of even mixing, for each factor e of oxygen
    even_k: float = 0.8
    # gas that comes in
    leak_frac: float = 2e-6  # on the floor, at the first flow
    leak_sd: float = 1.4
    still_leak: float = 3.0  # at no flow, over that with flow
    still_leak_sd: float = 0.6
    supply_low: float = 0.2  # of the grade's limit
    supply_high: float = 1.1
    outgas_frac: float = 9e-6  # at first, on the floor, at the first flow
    outgas_sd: float = 0.5
    outgas_s: float = 60.0
    outgas_s_sd: float = 0.4
    # a side branch or dead leg
    branch: float = 0.25
    branch_share: float = 0.03  # of the volume
    branch_share_sd: float = 1.0
    branch_s: float = 100.0
    branch_s_sd: float = 1.0
    # the root over the vent: what leaks in, what has still to go (middle, spread below and above), standing gas
    root_leak: float = 1.6
    root_leak_sd: float = 0.65
    root_ahead: float = 0.5
    root_ahead_low: float = 1.6
    root_ahead_high: float = 1.0
    root_still_sd: float = 0.3
    # the monitor
    lag_sd: float = 0.2
    lag_2: float = 0.25  # of the lag
    lag_2_sd: float = 0.5
    gain_sd: float = 0.02
    offset_sd_frac: float = 0.6e-6
    # of the clocks: share of lag and delay, and of the time of a volume
    clock_lag: float = 0.3
    clock_volume: float = 0.04
    # after a stop
    again_k: float = 2.2
    again_sd: float = 0.55
    again_end: float = 2.0
    again_gather: float = 2.0  # what leaked in gathers, it is not spread through the volume
    again_corner: float = 0.4
    again_share: float = 0.08
    again_s: float = 60.0
    again_doubt: float = 0.3  # of the particles: their floor is drawn anew after a stop
    again_front: float = 0.8  # at most
    still_s: float = 120.0
    still_s_sd: float = 0.7
    still_sd: float = 0.8
    step_sd: float = 0.3  # of ln k, when the flow is doubled or halved


BELIEFS = Beliefs()
