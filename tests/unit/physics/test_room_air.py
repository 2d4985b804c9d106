import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from brightroot.base.errors import Refused
from brightroot.physics.purge.room_air import (
    exhaust_limit_reached_s,
    exhaust_needed_m3_s,
    exhaust_oxygen_frac,
    sealed_limit_reached_s,
    sealed_oxygen_frac,
    supply_needed_m3_s,
    supply_oxygen_frac,
)

ARGON = 20 / 60000
HOUR = 3600.0


def test_ventilation_for_twenty_litres():
    assert exhaust_needed_m3_s(argon_flow_m3_s=ARGON, limit_frac=0.195) * HOUR == pytest.approx(17.3, abs=0.05)
    assert supply_needed_m3_s(argon_flow_m3_s=ARGON, limit_frac=0.195) * HOUR == pytest.approx(16.1, abs=0.05)


def test_sealed_ten_cubic_metres():
    seconds = sealed_limit_reached_s(argon_flow_m3_s=ARGON, room_m3=10, limit_frac=0.195)
    assert seconds / 60 == pytest.approx(36, abs=0.5)
    assert sealed_oxygen_frac(argon_flow_m3_s=ARGON, room_m3=10, elapsed_s=seconds) == pytest.approx(0.195)


def test_needed_ventilation_settles_at_the_limit():
    for needed, after in ((exhaust_needed_m3_s, exhaust_oxygen_frac), (supply_needed_m3_s, supply_oxygen_frac)):
        fan = needed(argon_flow_m3_s=ARGON, limit_frac=0.195)
        room = {"argon_flow_m3_s": ARGON, "ventilation_m3_s": fan, "room_m3": 50, "elapsed_s": 1e6}
        assert after(**room) == pytest.approx(0.195, abs=1e-9)
        assert after(**room | {"elapsed_s": 0}) == pytest.approx(0.2095)


def test_exhaust_time_is_undone_or_never():
    room = {"argon_flow_m3_s": ARGON, "ventilation_m3_s": 10 / HOUR, "room_m3": 50}
    seconds = exhaust_limit_reached_s(limit_frac=0.195, **room)
    assert seconds is not None
    assert exhaust_oxygen_frac(elapsed_s=seconds, **room) == pytest.approx(0.195)
    assert exhaust_limit_reached_s(limit_frac=0.195, **room | {"ventilation_m3_s": 20 / HOUR}) is None


@settings(max_examples=30)
@given(st.floats(1e-5, 1e-3), st.floats(1.5, 50), st.floats(5, 500), st.floats(1, 1e5))
def test_any_fan_beats_a_sealed_room_and_oxygen_only_falls(argon, times, room_m3, elapsed):
    sealed = sealed_oxygen_frac(argon_flow_m3_s=argon, room_m3=room_m3, elapsed_s=elapsed)
    room = {"argon_flow_m3_s": argon, "ventilation_m3_s": argon * times, "room_m3": room_m3}
    for after in (exhaust_oxygen_frac, supply_oxygen_frac):
        now = after(elapsed_s=elapsed, **room)
        assert sealed - 1e-12 <= now <= 0.2095 + 1e-12
        assert after(elapsed_s=elapsed * 2, **room) <= now + 1e-15


def test_refuses_a_weak_fan_and_a_limit_over_fresh_air():
    with pytest.raises(Refused, match="ventilation_m3_s"):
        exhaust_oxygen_frac(argon_flow_m3_s=ARGON, ventilation_m3_s=ARGON, room_m3=10, elapsed_s=60)
    with pytest.raises(Refused, match="limit_frac"):
        exhaust_needed_m3_s.card.function(argon_flow_m3_s=ARGON, limit_frac=0.2095)
