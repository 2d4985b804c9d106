"""One label's heat, compiled: a pause and a run, the reading before the next run, the hold and the hot length.

The table is waves round the pipe times exponentials in time (`physics.heat.modal`); the decay is a product of both, so that
a look costs one pass through the table and a few cosines.
"""

from __future__ import annotations

import math

import numpy as np
from numba import njit

RATIO = 1.25  # of one look to the next
CLOSE_S = 0.02
GONE = 14.0  # a wave that fell to a millionth
BEGINS_M, STEP_M = 0.012, 0.002


@njit(cache=True)
def waves_at(state, pause_s, wave, rate, loss, weight, out):  # type: ignore[no-untyped-def]
    """The amplitude of each wave after a pause, at the distance that the weights stand for: cosines, then sines."""
    count, kept = state.shape
    left = np.empty(kept)
    for k in range(kept):
        left[k] = weight[k] * math.exp(-(rate[k] + loss) * pause_s)
    for n in range(count):
        fallen = wave[n] * pause_s
        if fallen > GONE:
            out[0, n] = 0.0
            out[1, n] = 0.0
            continue
        real = 0.0
        imag = 0.0
        for k in range(kept):
            real += state[n, k].real * left[k]
            imag += state[n, k].imag * left[k]
        share = math.exp(-fallen) * (2.0 if n else 1.0)
        out[0, n] = real * share
        out[1, n] = imag * share


@njit(cache=True)
def hottest(waves, turned, first, last, pause_s, wave):  # type: ignore[no-untyped-def]
    """The highest rise of some angles; `turned` holds their cosines and sines."""
    count = waves.shape[1]
    while count > 1 and wave[count - 1] * pause_s > GONE:
        count -= 1
    most = -1e30
    for g in range(first, last):
        here = 0.0
        for n in range(count):
            here += waves[0, n] * turned[g, 0, n] - waves[1, n] * turned[g, 1, n]
        most = max(most, here)
    return most


@njit(cache=True)
def until_under(state, least_s, most_s, limit, gates, gate_of, wanted, wave, rate, loss, weight):  # type: ignore[no-untyped-def]
    """For each wanted place the pause after which its gates are under the limit and stay so; -1 beyond the horizon."""
    places = wanted.size
    out = np.full(places, -1.0)
    waves = np.empty((2, wave.size))
    low = np.full(places, -1.0)  # last look over the limit
    low_rise = np.zeros(places)
    high = np.full(places, least_s)  # the look after it
    high_rise = np.zeros(places)
    before = np.full(places, 1e30)
    pause, settled = least_s, False
    while not settled:
        waves_at(state, pause, wave, rate, loss, weight, waves)
        # far places warm late: not before the even part is under the limit, nor while anything rises
        settled = pause >= 40.0 and waves[0, 0] <= limit
        for p in range(places):
            rise = hottest(waves, gates, gate_of[wanted[p]], gate_of[wanted[p] + 1], pause, wave)
            if rise > limit:
                low[p] = pause
                low_rise[p] = rise
                high[p] = -1.0
            elif high[p] < 0:
                high[p] = pause
                high_rise[p] = rise
            if rise > limit or rise > before[p]:
                settled = False
            before[p] = rise
        if pause > most_s:
            break
        pause = max(pause + 3.0, pause * RATIO)
    for p in range(places):
        if high[p] < 0:
            continue
        if low[p] < 0:
            out[p] = least_s
            continue
        one, other = low[p], high[p]
        one_log, other_log = math.log(low_rise[p] / limit), math.log(max(high_rise[p], 1e-9) / limit)
        for turn in range(40):
            # false position, halved where it creeps
            middle = one + (other - one) * one_log / (one_log - other_log)
            if turn % 3 == 2:
                middle = 0.5 * (one + other)
            waves_at(state, middle, wave, rate, loss, weight, waves)
            rise = hottest(waves, gates, gate_of[wanted[p]], gate_of[wanted[p] + 1], middle, wave)
            here = math.log(max(rise, 1e-9) / limit)
            if here > 0:
                one, one_log = middle, here
            else:
                other, other_log = middle, here
            if other - one < CLOSE_S or -other_log < 1e-6:
                break
        out[p] = other
    return out


@njit(cache=True)
def after(state, pause_s, power_W, gain, wave, rate, loss):  # type: ignore[no-untyped-def]
    """The table after a pause (that the run itself is part of) and a run's own heat."""
    out = np.empty_like(state)
    left = np.exp(-(rate + loss) * pause_s)
    for n in range(state.shape[0]):
        share = math.exp(-wave[n] * pause_s)
        for k in range(state.shape[1]):
            out[n, k] = state[n, k] * (share * left[k]) + power_W * gain[n, k]
    return out


@njit(cache=True)
def hot_length(state, to_rad, way, radius_m, release, wave, rate, loss, weight):  # type: ignore[no-untyped-def]
    """Metal over release behind the arc when it goes off; all the way round at most."""
    waves = np.empty((2, wave.size))
    waves_at(state, 0.0, wave, rate, loss, weight, waves)
    around = 2.0 * math.pi * radius_m
    back, before, before_rise = BEGINS_M, 0.0, release
    while back < around:
        angle = to_rad - way * back / radius_m
        rise = waves[0, 0]
        cosine, sine = math.cos(angle), math.sin(angle)
        c, s = cosine, sine
        for n in range(1, wave.size):
            rise += waves[0, n] * c - waves[1, n] * s
            c, s = c * cosine - s * sine, s * cosine + c * sine
        if rise <= release:
            if before_rise <= release or before == 0.0:
                return back
            return before + (back - before) * (before_rise - release) / (before_rise - rise)
        before, before_rise = back, rise
        back += STEP_M
    return around


@njit(cache=True)
def hold(state, along, release, most_s, wave, rate, loss, weight):  # type: ignore[no-untyped-def]
    """How long the weld just made stays over release; -1 beyond the horizon."""
    waves = np.empty((2, wave.size))
    low, high = 0.0, 8.0
    while True:
        waves_at(state, high, wave, rate, loss, weight, waves)
        if hottest(waves, along, 0, along.shape[0], high, wave) <= release:
            break
        low, high = high, high * 1.6
        if high > most_s:
            return -1.0
    while high - low > 0.05:
        middle = 0.5 * (low + high)
        waves_at(state, middle, wave, rate, loss, weight, waves)
        if hottest(waves, along, 0, along.shape[0], middle, wave) > release:
            low = middle
        else:
            high = middle
    return high


@njit(cache=True)
def rises(state, pause_s, gates, wave, rate, loss, weight):  # type: ignore[no-untyped-def]
    """The rise at each angle after a pause."""
    waves = np.empty((2, wave.size))
    waves_at(state, pause_s, wave, rate, loss, weight, waves)
    out = np.empty(gates.shape[0])
    for g in range(gates.shape[0]):
        out[g] = hottest(waves, gates, g, g + 1, pause_s, wave)
    return out
