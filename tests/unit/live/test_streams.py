"""Streams that are not believed: each fault is told within a minute, and a sound stream is left alone."""

import pytest

from brightroot.instruments.made_up import Fault, made_up
from brightroot.live.streams import watched
from brightroot.model.stream import Doubt, Sample

SEEDS = range(20)


@pytest.fixture(scope="module")
def cells(library):
    return library.practice


def seen(samples, cells, **more):
    return watched(tuple(samples), measures="oxygen_frac", cells=cells, **more)


@pytest.mark.parametrize("seed", SEEDS)
def test_a_sound_stream_is_believed_whole(seed, cells):
    samples = made_up(seed=seed)
    told = seen(samples, cells)
    assert told.doubted == ()
    assert told.believed == samples


@pytest.mark.parametrize("what, why", [
    ("freeze", Doubt.FROZEN), ("silence", Doubt.SILENT), ("spike", Doubt.JUMP), ("swap", Doubt.JUMP), ("burst", Doubt.BURST),
])  # fmt: skip
def test_each_fault_is_told_by_its_name_within_a_minute(what, why, cells):
    for seed in SEEDS:
        fault = Fault(what, 150.0, 60.0)
        told = seen(made_up(seed=seed, fault=fault), cells)
        named = [one for one in told.doubted if one.why is why]
        assert named, (what, seed)
        assert fault.at_s <= named[0].noticed_s <= fault.at_s + 60, (what, seed, named)


def test_what_is_thrown_to_and_fro_is_no_reading(cells):
    samples = made_up(seed=3, fault=Fault("burst", 150.0))
    told = seen(samples, cells)
    thrown = [one for one in samples if 150 <= one.at_s < 154]
    assert sum(one in told.believed for one in thrown) <= 1  # the first swing up may be a probe that came out


def test_a_swing_as_the_arc_is_struck_is_set_aside(cells):
    samples = [Sample(float(t), 1e-5) for t in range(30)]
    samples[20] = Sample(20.0, 9e-5)
    assert seen(samples, cells).doubted[:1] == () or seen(samples, cells).doubted[0].why is not Doubt.BURST
    told = seen(samples, cells, arcs_s=(19.8,))
    assert [one.why for one in told.doubted][:1] == [Doubt.BURST]
    assert samples[20] not in told.believed


def test_a_probe_out_in_the_air_is_believed_at_once(cells):
    samples = [*made_up(seed=1, minutes=4), *(Sample(240.0 + t, 0.05 + 0.01 * t) for t in range(8))]
    told = seen(samples, cells)
    assert told.believed[-1] == samples[-1]


def test_an_instrument_with_coarse_digits_is_not_called_frozen(cells):
    samples = [Sample(float(t), 4e-6 + 1e-6 * (t // 40 % 2)) for t in range(400)]
    assert seen(samples, cells).doubted == ()


def test_over_range_is_no_number_and_no_fault(cells):
    told = seen(made_up(seed=1, fault=Fault("over", 150.0, 30.0)), cells)
    assert not any(150 <= one.at_s < 180 for one in told.believed)
    assert all(one.why is not Doubt.SILENT for one in told.doubted)


def test_silence_is_noticed_though_nothing_comes(cells):
    samples = made_up(seed=1, minutes=2)
    assert seen(samples, cells, now_s=samples[-1].at_s + 9).now is None
    assert seen(samples, cells, now_s=samples[-1].at_s + 11).now.why is Doubt.SILENT


def test_order_and_repeats_make_no_difference(cells):
    samples = made_up(seed=5, fault=Fault("spike", 100.0))
    assert seen(samples, cells) == seen([*reversed(samples), *samples[:50]], cells)


def test_metal_does_not_jump(cells):
    course = [Sample(float(t), 360.0 - 0.2 * t) for t in range(60)]
    course[30] = Sample(30.0, 900.0)
    told = watched(tuple(course), measures="temperature_K", cells=cells)
    assert course[30] not in told.believed
    assert told.doubted[0].began_s == 30.0
