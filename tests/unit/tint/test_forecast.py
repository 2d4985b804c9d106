"""Many films at once: as one by one, in milliseconds, with bands that hold; and what was seen against them."""

import math
import time

import numpy as np
import pytest

from brightroot.base.formula import Band
from brightroot.physics.tint.dose import likely_film_m
from brightroot.physics.tint.forecast import films_after_m
from brightroot.physics.tint.growth import film_after_m
from brightroot.physics.tint.seen import SEEN_nm, agreement


def history(chance):
    """Up in seconds, down like a pipe wall."""
    peak, up, tau = chance.uniform(1200, 1950), chance.uniform(0.5, 6), chance.uniform(3, 60)
    t = np.concatenate([np.linspace(0, up, 20), up + np.geomspace(0.1, 300, 60)])
    metal = np.where(t < up, 298 + (peak - 298) * (t / up) ** 4, 298 + (peak - 298) * np.exp(-(t - up) / tau))
    return list(zip(t.tolist(), metal.tolist(), strict=True))


@pytest.mark.parametrize("oxygen_frac", [5e-6, 100e-6, 2e-3, 0.2095])
def test_within_half_a_percent_of_the_fine_steps(oxygen_frac):
    chance = np.random.default_rng(3)
    histories = [history(chance) for _ in range(6)]
    quick = films_after_m(histories_s_K=histories, oxygen_frac=oxygen_frac)
    for rows, film in zip(histories, quick, strict=True):
        fine = film_after_m(history_s_K=rows, oxygen_frac=oxygen_frac, moisture_frac=0.0)
        assert film.value == pytest.approx(fine, rel=5e-3)
        assert film.low < film.value < film.high


def test_cold_metal_does_not_grow():
    (film,) = films_after_m(histories_s_K=[[(0.0, 300.0), (100.0, 400.0)]], oxygen_frac=0.2)
    assert tuple(film) == pytest.approx((3e-9,) * 3)


def test_a_whole_joint_takes_a_fraction_of_its_runs_one_by_one():
    """A tenth was seen; a third is for a busy machine."""
    chance = np.random.default_rng(5)
    histories = [history(chance) for _ in range(32)]  # face and root of sixteen runs

    def took_s(groups):
        start = time.process_time()
        for group in groups:
            films_after_m(histories_s_K=group, oxygen_frac=20e-6)
        return time.process_time() - start

    whole, single = [histories], [[one] for one in histories]
    assert min(took_s(whole) for _ in range(5)) < min(took_s(single) for _ in range(3)) / 3


def test_factors_combine_on_a_log_scale():
    film = likely_film_m(low_frac_s=100e-6, value_frac_s=500e-6, high_frac_s=2500e-6)
    factor = math.exp(math.hypot(math.log(5), math.log(3)))
    assert (film.high - 3e-9) / (film.value - 3e-9) == pytest.approx(factor)
    nothing = likely_film_m(low_frac_s=0.0, value_frac_s=0.0, high_frac_s=0.0)
    assert tuple(nothing) == pytest.approx((3e-9,) * 3)


@pytest.mark.parametrize(
    ("seen", "says"),
    [("silver", "agrees"), ("light straw", "agrees"), ("dark blue", "darker"), ("grey", "darker"), ("", "not judged")],
)
def test_a_thin_film_and_what_was_seen(seen, says):
    assert agreement(seen=seen, film_m=Band(4e-9, 8e-9, 15e-9)) == says


def test_a_thick_film_seen_as_straw_is_the_second_order():
    film = Band(95e-9, 105e-9, 120e-9)
    assert agreement(seen="light straw", film_m=film) == "second order"
    assert agreement(seen="dark blue", film_m=film) == "lighter"


def test_every_recorded_colour_has_its_films_in_order():
    first = [stretches[0] for stretches in SEEN_nm.values()]
    assert all(low < high for low, high in first)
    assert [low for low, _ in first] == sorted(low for low, _ in first)
