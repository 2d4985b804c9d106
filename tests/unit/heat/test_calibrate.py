import dataclasses
import math

import pytest

from brightroot.base.errors import Refused
from brightroot.physics.heat.calibrate import TemperatureSeen, calibrated, green_rises, modal_rises, reforecast
from brightroot.physics.heat.reading import reading_K, still_rising
from brightroot.physics.heat.ring import ArcRun, Ring

PIPE = Ring(0.0889, 0.00549, 0.15, 20.0, 2.706e6, 12.0, 8.0, 298.15)
RUN = ArcRun(0.0, 33.248522, 0.0, math.radians(60), 680.0)


def readings(factor, *after, ring=PIPE, off_m=0.0, spread_K=1.0, z_m=0.0254):
    truth = dataclasses.replace(RUN, net_power_W=680.0 * factor)
    return [
        TemperatureSeen(
            RUN.stop_s + s, RUN.to_rad, z_m, "outside",
            reading_K(ring=ring, runs=[truth], theta_rad=RUN.to_rad, z_m=z_m + off_m, time_s=RUN.stop_s + s), spread_K,
        )
        for s in after
    ]  # fmt: skip


def test_no_reading_leaves_the_prior():
    prior = calibrated(ring=PIPE, runs=[RUN], readings=[])
    assert 0.75 < prior.low_1 < 0.83 and 1.0 < prior.high_1 < 1.07
    assert prior.loss_low_1 < 0.6 and prior.loss_high_1 > 1.7
    assert prior.misfit_1 == 0.0


@pytest.mark.parametrize("factor", [0.82, 0.9, 1.03])
def test_readings_find_the_power(factor):
    prior = calibrated(ring=PIPE, runs=[RUN], readings=[])
    after = calibrated(ring=PIPE, runs=[RUN], readings=readings(factor, 5, 20, 60), probe_m=0.001)
    assert after.low_1 < factor < after.high_1
    assert after.high_1 - after.low_1 < 0.6 * (prior.high_1 - prior.low_1)
    assert after.misfit_1 < 1


def test_a_doubtful_place_tells_less():
    sharp, dull = (
        calibrated(ring=PIPE, runs=[RUN], readings=readings(0.85, 20), probe_m=place) for place in (0.0005, 0.006)
    )
    assert sharp.high_1 - sharp.low_1 < 0.5 * (dull.high_1 - dull.low_1)


def test_late_readings_find_the_losses():
    lossy = dataclasses.replace(PIPE, loss_outer_W_m2K=24.0, loss_inner_W_m2K=16.0)
    seen = readings(0.95, 20, 120, 600, 900, ring=lossy)
    after = calibrated(ring=PIPE, runs=[RUN], readings=seen)
    assert after.loss_low_1 < 2.0 < after.loss_high_1
    assert after.loss_value_1 > 1.5


def test_readings_that_deny_the_model_say_so():
    cold, hot = readings(0.6, 20)[0], readings(1.6, 60)[0]
    assert calibrated(ring=PIPE, runs=[RUN], readings=[cold, hot]).misfit_1 > 2


def test_a_reading_without_heat_is_refused():
    early = TemperatureSeen(0.0, 3.0, 0.0254, "outside", 298.15, 1.0)
    with pytest.raises(Refused, match="time_s"):
        calibrated(ring=PIPE, runs=[RUN], readings=[early])


def test_a_reading_without_spread_is_refused():
    with pytest.raises(Refused, match="spread_K"):
        calibrated(ring=PIPE, runs=[RUN], readings=readings(1.0, 20, spread_K=0.0))


def peak(ring, runs):
    return still_rising(ring=ring, runs=runs, theta_rad=RUN.to_rad, z_m=0.0254, time_s=RUN.stop_s).peak_K


def test_reforecast_brackets_the_truth_and_narrows():
    truth = peak(PIPE, [dataclasses.replace(RUN, net_power_W=680 * 0.85)])
    widths = []
    for seen in ([], readings(0.85, 20, 60)):
        posterior = calibrated(ring=PIPE, runs=[RUN], readings=seen, probe_m=0.001)
        answer = reforecast(posterior=posterior, ring=PIPE, runs=[RUN], ask=peak)
        assert answer.low < truth < answer.high
        widths.append(answer.high - answer.low)
    assert widths[1] < 0.6 * widths[0]


def test_an_answer_that_does_not_come_about_stays_none():
    posterior = calibrated(ring=PIPE, runs=[RUN], readings=[])

    def ask(ring, runs):
        return None if runs[0].net_power_W > 690 else runs[0].net_power_W

    answer = reforecast(posterior=posterior, ring=PIPE, runs=[RUN], ask=ask)
    assert answer.value is not None and answer.high is None


def test_an_efficiency_without_a_spread_is_kept_and_is_no_nan():
    found = calibrated(ring=PIPE, runs=[RUN], readings=[], efficiency_frac=0.7, low_frac=0.7, high_frac=0.7)
    assert (found.low_1, found.value_1, found.high_1) == pytest.approx((1.0, 1.0, 1.0), abs=0.005)


@pytest.mark.parametrize("after_s", [1.0, 20.0, 120.0, 900.0])
def test_the_modes_lean_as_greens_function_does(after_s):
    """Rise and slope along the pipe for every loss, after two runs: 1 %, and 2 % of the slope."""
    runs = [RUN, dataclasses.replace(RUN, start_s=150.0, from_rad=2.0)]
    seen = TemperatureSeen(runs[1].stop_s + after_s, runs[1].to_rad, 0.0254, "outside", 400.0, 2.0)
    (rise, slope), (wanted, leaning) = (kind(PIPE, runs, 0.003)(seen) for kind in (modal_rises, green_rises))
    assert rise == pytest.approx(wanted, rel=0.01)
    assert slope == pytest.approx(leaning, rel=0.02, abs=2.0)


def test_either_way_of_telling_the_rise_finds_the_same_power():
    seen = readings(0.86, 5, 20, 60)
    one, two = (
        calibrated(ring=PIPE, runs=[RUN], readings=seen, rises=kind(PIPE, [RUN], 0.003))
        for kind in (green_rises, modal_rises)
    )
    assert two.value_1 == pytest.approx(one.value_1, abs=0.003)
    assert two.loss_value_1 == pytest.approx(one.loss_value_1, rel=0.01)


def test_a_finer_engine_replaces_the_rise():
    """Where another engine finds a tenth more rise for the same power, a tenth less power explains the readings."""
    plain = readings(0.95, 20, 60, spread_K=0.3)
    finer = [dataclasses.replace(row, engine_1=1.1) for row in plain]
    one, two = (
        calibrated(ring=PIPE, runs=[RUN], readings=seen, probe_m=0.0001, loss_spread_1=1.01) for seen in (plain, finer)
    )
    assert two.value_1 == pytest.approx(one.value_1 / 1.1, rel=0.01)


def test_readings_share_the_error_of_one_place():
    """The spreads of the whole set are one matrix: its inverse and volume as the long way has them."""
    import numpy as np

    from brightroot.physics.heat.calibrate import POWER_1, _misfit

    seen = readings(0.9, 5, 20, 60)
    told = green_rises(PIPE, [RUN], 0.003)
    squared, volume = _misfit(told, PIPE.ambient_K, seen, 0.003)
    rise, slope = (np.stack(column, axis=-1)[4] for column in zip(*(told(row) for row in seen), strict=True))
    power = POWER_1[100]
    cover = np.eye(3) + np.outer(slope, slope) * (0.003 * power) ** 2
    off = np.array([row.value_K for row in seen]) - PIPE.ambient_K - power * rise
    assert squared[4, 100] == pytest.approx(off @ np.linalg.solve(cover, off))
    assert volume[4, 100] == pytest.approx(np.linalg.slogdet(cover)[1])
