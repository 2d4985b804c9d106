"""The purge filter: exact where a closed form applies, the same for the same seed, blind to what came later, and doubtful."""

import dataclasses
import math

import numpy as np
import pytest

from brightroot.base.errors import Refused
from brightroot.physics.purge.filter import kernels as k
from brightroot.physics.purge.filter.inputs import Done, Look, Monitor, Purge
from brightroot.physics.purge.filter.run import filtered
from brightroot.physics.purge.floor import floor_frac
from brightroot.physics.purge.mixing import left_after_frac, tanks_volumes_1

VOLUME_M3, FLOW = 0.006, 1.6e-4
RNG = np.random.default_rng(5)
QUIET = np.zeros(18)
QUIET[k.TREND_HOME], QUIET[k.LEAST] = 1.0, -9.0
SMALL = 1500  # particles, enough for what is asked here


def one(**given):
    """A particle whose front is long past and that nothing disturbs."""
    row = np.zeros(k.COLUMNS)
    row[[k.GAS, k.POCKET, k.BULK, k.STAGE_1, k.STAGE_2, k.SHOWN_1, k.SHOWN]] = k.AIR
    row[[k.DELAY, k.LAG, k.LAG_2, k.EXCHANGE, k.RELAX, k.OUT_TIME]] = 4.0, 8.0, 2.0, 0.01, 60.0, 60.0
    row[k.VOLUMES], row[k.LN_LEAK], row[k.LN_LEAK_0], row[k.LN_OUTGAS] = 1e3, -99.0, -99.0, -99.0
    for name, value in given.items():
        row[getattr(k, name)] = value
    return row


def on(row, *, volumes, step=0.1, flow=FLOW):
    when, count = np.full((2, 1), np.nan), round(volumes / step)
    k.flowing(row, when, np.array([20e-6]), 0.0, step * VOLUME_M3 / flow, count, flow, VOLUME_M3, QUIET, RNG, 0.0)
    return when


def record(*, floor_frac=4e-6, rate=1.5, every_s=15.0, count=40, seed=1, noise=0.03):
    """Readings of an exponential fall to a floor behind a monitor of 12 s, with scatter."""
    rng = np.random.default_rng(seed)
    looks = []
    for n in range(1, count + 1):
        volumes = max(0.0, (n * every_s - 12.0) * FLOW / VOLUME_M3 - 0.5)
        gas = floor_frac + k.AIR * math.exp(-rate * volumes)
        value = gas * (1 + noise * rng.standard_normal()) + 1e-6 * rng.standard_normal()
        looks.append(Look(n * every_s, round(max(value, 1e-6) * 1e6) * 1e-6))
    return Purge(volume_m3=VOLUME_M3, flows=((0.0, FLOW),), feed="low", vent="high", looks=tuple(looks))


def test_one_volume_after_another_is_the_mixed_law_exactly():
    row = one(LN_K=0.0, SUPPLY=4e-6)
    on(row, volumes=6.0)
    assert row[k.GAS] == pytest.approx(
        left_after_frac(start_frac=k.AIR, supply_frac=4e-6, volumes_1=6.0), rel=1e-9
    )  # fmt: skip


def test_the_clock_is_the_volumes_of_one_tank():
    row = one(LN_K=0.0)
    when = on(row, volumes=12.0)
    volumes = tanks_volumes_1(tanks_count=1, start_frac=k.AIR, target_frac=20e-6, supply_frac=0.0)
    assert when[0, 0] == pytest.approx(volumes * VOLUME_M3 / FLOW, rel=1e-9)


@pytest.mark.parametrize("ln_k", [-0.5, 0.0, 1.5])
def test_the_floor_does_not_know_of_the_mixing(ln_k):
    row = one(LN_K=ln_k, SUPPLY=3e-6, LN_LEAK=math.log(1e-8))
    on(row, volumes=80.0)
    assert row[k.GAS] == pytest.approx(floor_frac(supply_frac=3e-6, in_leak_m3_s=1e-8, flow_m3_s=FLOW), rel=1e-6)


def test_a_lag_whose_input_falls_in_a_straight_line_is_exact():
    # y' = (u - y)/T with u = 1 - t: y = 1 + T - t - T e^(-t/T)
    keep = k.kept(8.0, 5.0)
    assert k.tank(1.0, 1.0, -4.0, 8.0, 5.0, keep) == pytest.approx(1 + 8 - 5 - 8 * math.exp(-5 / 8), rel=1e-12)


def test_a_still_pipe_fills_with_what_seeps_in():
    row = one(LN_LEAK_0=math.log(1e-8))
    row[[k.GAS, k.BULK, k.POCKET]] = 100e-6
    k.standing(row, np.full((2, 1), np.nan), np.array([20e-6]), 0.0, 10.0, 60, VOLUME_M3, QUIET, RNG)
    assert row[k.BULK] == pytest.approx(100e-6 + 1e-8 * k.AIR / VOLUME_M3 * 600, rel=1e-9)


def test_same_seed_same_answer_and_another_seed_another():
    purge = record()
    first, again, other = (filtered(purge, at_s=[300.0], seed=s, particles=SMALL)[0] for s in (7, 7, 8))
    assert first == again and first != other


def test_what_came_later_does_not_speak():
    purge = record()
    early = dataclasses.replace(purge, looks=purge.looks[:20])
    late = dataclasses.replace(purge, flows=(*purge.flows, (400.0, 0.0)), events=(Done(450.0, "tape_opened"),))
    answers = [filtered(p, at_s=[300.0], seed=1, particles=SMALL)[0] for p in (purge, early, late)]
    assert answers[0] == answers[1] == answers[2]


def test_many_moments_are_filtered_once_in_any_order():
    purge = record()
    both = filtered(purge, at_s=[300.0, 150.0], seed=1, particles=SMALL)
    assert [a.at_s for a in both] == [300.0, 150.0]
    assert both[1] == filtered(purge, at_s=[150.0], seed=1, particles=SMALL)[0]


def test_asking_for_a_band_changes_nothing_else():
    purge = record()
    plain = filtered(purge, at_s=[200.0], seed=1, particles=SMALL)[0]
    drawn = filtered(purge, at_s=[200.0], seed=1, particles=SMALL, band_s=(0.0, 60.0, 120.0))[0]
    assert dataclasses.replace(drawn, band=()) == plain
    times, lows, middles, highs = zip(*drawn.band, strict=True)
    assert times == (200.0, 260.0, 320.0) and all(a <= b <= c for a, b, c in zip(lows, middles, highs, strict=True))
    assert middles[0] > middles[1] > middles[2]


def test_a_plain_fall_is_foretold_and_never_before_the_indication():
    purge = record()
    truth_s = (0.5 + math.log(k.AIR / 16e-6) / 1.5) * VOLUME_M3 / FLOW
    looks = [look for look in purge.looks if look.oxygen_frac < 1e-3][:5]
    target = filtered(purge, at_s=[looks[-1].at_s], seed=1)[0].targets[0]
    assert target.gas_reaches_s.p05 < truth_s < target.gas_reaches_s.p95
    assert target.gas_reaches_s.p50 == pytest.approx(truth_s, rel=0.12)
    assert target.monitor_shows_s.p50 > target.gas_reaches_s.p50
    for answer in filtered(purge, at_s=[look.at_s for look in purge.looks], seed=1, particles=SMALL):
        shown = next(look.oxygen_frac for look in purge.looks if look.at_s == answer.at_s)
        assert not answer.targets[0].reached or shown < 20e-6


def test_a_floor_above_the_target_is_never_and_under_it_is_not():
    low, high = (filtered(record(floor_frac=f), seed=1)[0] for f in (5e-6, 60e-6))
    assert high.targets[0].p_never > 0.9 and high.verdict == "stalled"
    assert low.targets[0].p_never < 0.05 and low.verdict == "at_target" and low.targets[0].reached
    assert high.floor_frac.p05 < 60e-6 < high.floor_frac.p95 * 1.05
    assert high.causes[0].name == "leak" and high.causes[0].test == "step_the_flow"


def test_no_flow_no_clock():
    purge = dataclasses.replace(record(), flows=((0.0, FLOW), (300.0, 0.0)))
    answer = filtered(purge, at_s=[400.0], seed=1, particles=SMALL)[0]
    assert answer.targets[0].gas_reaches_s is None and answer.targets[0].monitor_shows_s is None
    assert answer.causes[0].test == "turn_on_the_gas" and "no_flow" in answer.flags


def test_silence_widens_and_then_nothing_is_measured():
    purge = dataclasses.replace(record(floor_frac=15e-6), looks=record(floor_frac=15e-6).looks[:30])
    last = purge.looks[-1].at_s
    told = filtered(purge, at_s=[last, last + 60, last + 1200], seed=1, particles=SMALL)
    assert [a.verdict for a in told][-1] == "not_measured"
    widths = [a.vent_frac.p95 - a.vent_frac.p05 for a in told]
    assert widths[2] > widths[0]
    assert filtered(dataclasses.replace(purge, looks=()), particles=SMALL)[0].verdict == "not_measured"


def test_over_range_says_only_the_side():
    base = record()
    monitor = Monitor(over_frac=1000e-6)
    looks = tuple(Look(r.at_s, None, "over range") if r.oxygen_frac > 1000e-6 else r for r in base.looks)
    purge = dataclasses.replace(base, monitor=monitor, looks=looks)
    over = [look.at_s for look in looks if look.state == "over range"]
    answer = filtered(purge, at_s=[over[-1]], seed=1, particles=SMALL)[0]
    assert answer.verdict == "wait" and answer.targets[0].gas_reaches_s.p50 > over[-1] - 20
    assert filtered(purge, seed=1, particles=SMALL)[0].verdict == "at_target"


def changed(purge, number, **given):
    looks = list(purge.looks)
    looks[number] = dataclasses.replace(looks[number], **given)
    return dataclasses.replace(purge, looks=tuple(looks[: number + 1]))


def test_ppm_typed_as_percent_is_asked_back_and_not_swallowed():
    purge = record(floor_frac=20e-6)
    wrong = changed(purge, 30, oxygen_frac=0.002e-6)  # 20 ppm is 0.002 %
    answer = filtered(wrong, seed=1)[0]
    before = filtered(dataclasses.replace(purge, looks=purge.looks[:30]), at_s=[answer.at_s], seed=1)[0]
    assert answer.verdict == "check_instrument" and "percent" in answer.flags
    assert answer.vent_frac.p50 == pytest.approx(before.vent_frac.p50, rel=0.1)


def test_a_leap_is_held_until_a_second_reading_agrees():
    purge = record()
    wrong = changed(purge, 30, oxygen_frac=5000e-6)
    assert "jump" in filtered(wrong, seed=1)[0].flags
    looks = (*wrong.looks, Look(wrong.looks[-1].at_s + 15.0, 5100e-6))
    agreed = filtered(dataclasses.replace(wrong, looks=looks), seed=1)[0]
    assert agreed.flags == () and agreed.vent_frac.p50 > 1000e-6


def test_a_frozen_number_is_told_and_forgotten():
    purge = record()
    number = next(n for n, look in enumerate(purge.looks) if look.oxygen_frac < 400e-6)
    stuck = tuple(
        dataclasses.replace(look, oxygen_frac=purge.looks[number].oxygen_frac) if n > number else look
        for n, look in enumerate(purge.looks[: number + 12])
    )
    answer = filtered(dataclasses.replace(purge, looks=stuck), seed=1)[0]
    assert answer.verdict == "check_instrument" and "frozen" in answer.flags
    assert answer.vent_frac.p50 < 0.5 * stuck[-1].oxygen_frac  # the gas went on falling


def test_a_leak_that_opens_is_called_one():
    purge = record(floor_frac=5e-6, count=40)
    rng = np.random.default_rng(2)
    risen = [5e-6 + 40e-6 * (1 - math.exp(-n / 2)) for n in range(1, 9)]
    looks = [*purge.looks[:32]]
    looks += [
        Look(looks[-1].at_s + 15.0 * n, round(r * (1 + 0.03 * rng.standard_normal()) * 1e6) * 1e-6)
        for n, r in enumerate(risen, start=1)
    ]
    assert filtered(dataclasses.replace(purge, looks=tuple(looks[:32])), seed=1)[0].verdict == "at_target"
    assert filtered(dataclasses.replace(purge, looks=tuple(looks)), seed=1)[0].verdict == "leak"


def test_an_open_sample_line_measures_room_air():
    purge = dataclasses.replace(record(), events=(Done(400.0, "sample_line_opened"),))
    answer = filtered(purge, at_s=[420.0], seed=1, particles=SMALL)[0]
    assert answer.verdict == "not_measured" and "line_open" in answer.flags


@pytest.mark.parametrize("kind", ["tape_opened", "tape_closed", "dam_moved", "cylinder_changed", "sample_line_closed"])
def test_events_widen_what_is_known(kind):
    purge = record()
    done = dataclasses.replace(purge, events=(Done(451.0, kind),))
    before, after = (filtered(p, at_s=[452.0], seed=1, particles=SMALL)[0] for p in (purge, done))
    assert before != after or kind == "sample_line_closed"


@pytest.mark.parametrize(
    ("given", "field"),
    [
        ({"flows": ()}, "flows"),
        ({"looks": (Look(20.0, 1e-3), Look(10.0, 1e-3))}, "readings"),
        ({"flows": ((10.0, FLOW), (0.0, FLOW))}, "flows"),
        ({"events": (Done(20.0, "tape_opened"), Done(10.0, "tape_closed"))}, "events"),
    ],
)
def test_a_record_that_goes_back_is_refused(given, field):
    with pytest.raises(Refused) as refused:
        dataclasses.replace(record(), **given)
    assert refused.value.field == field
