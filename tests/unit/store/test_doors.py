"""PINs, codes, devices and sessions: a thousand wrong tries harm nobody, and no secret is kept or told."""

from __future__ import annotations

import logging
import sqlite3
from pathlib import Path

import pytest
from argon2 import PasswordHasher

from brightroot.base.errors import Refused
from brightroot.store.doors import FIRST_WAIT_S, FREE_TRIES, IDLE_S, LONGEST_S, Doors, fit_pin
from brightroot.store.keys import EVENT, holds, signatures_of
from brightroot.store.logs import memory_store, open_store

PIN = "arc 4471 hold"


class Clock:
    now_s = 1_772_448_120.0

    def __call__(self) -> float:
        return self.now_s


@pytest.fixture
def clock():
    return Clock()


@pytest.fixture
def doors(clock):
    store = memory_store()
    made = Doors(store, clock, hasher=PasswordHasher(time_cost=1, memory_cost=8, parallelism=1))
    made.set_pin("W-07", PIN)
    yield made
    store.close()


def reason_of(doors, pin, device="d-1", stamp="W-07"):
    try:
        doors.sign_in(stamp, pin, device)
    except Refused as refused:
        return refused.reason
    return "in"


def test_a_thousand_wrong_pins_on_one_device_are_tried_a_handful_of_times(doors, clock):
    looked_at = 0
    for _ in range(1000):
        looked_at += reason_of(doors, "000111") == "access.wrong"
        clock.now_s += 1
    assert looked_at < FREE_TRIES + 7  # of a thousand seconds, with waits that double
    # elsewhere its own person comes in meanwhile, and afterwards here as well
    assert reason_of(doors, PIN, device="d-2") == "in"
    clock.now_s += 3600
    assert reason_of(doors, PIN) == "in"


def test_a_wait_is_not_lengthened_by_tries_within_it(doors, clock):
    for _ in range(FREE_TRIES):
        assert reason_of(doors, "000111") == "access.wrong"
    for _ in range(50):
        assert reason_of(doors, PIN) == "access.wait"
    clock.now_s += FIRST_WAIT_S + 1
    assert reason_of(doors, PIN) == "in"


def test_a_thousand_stamps_on_one_device_are_slowed_as_well(doors):
    tried = [reason_of(doors, "000111", stamp=f"X-{n}") for n in range(1000)]
    assert tried.count("access.wrong") == 30
    assert reason_of(doors, PIN, device="d-2") == "in"


def test_an_unknown_stamp_and_a_wrong_pin_sound_alike(doors):
    assert reason_of(doors, "000111") == reason_of(doors, "000111", stamp="W-99") == "access.wrong"


def test_sessions_end_idle_and_old(doors, clock):
    token = doors.sign_in("W-07", PIN, "d-1")
    assert doors.session(token).stamp == "W-07"
    clock.now_s += IDLE_S + 1
    assert doors.session(token) is None
    token, begun_s = doors.sign_in("W-07", PIN, "d-1"), clock.now_s
    while clock.now_s - begun_s < LONGEST_S:
        assert doors.session(token) is not None
        clock.now_s += IDLE_S / 2
    clock.now_s += 1
    assert doors.session(token) is None
    assert doors.session("") is None and doors.session("x") is None


def test_a_new_pin_ends_the_old_sessions(doors):
    token = doors.sign_in("W-07", PIN, "d-1")
    doors.set_pin("W-07", "another 98 words")
    assert doors.session(token) is None
    assert reason_of(doors, PIN) == "access.wrong"


def test_a_code_opens_once_and_only_what_it_was_made_for(doors, clock):
    code = doors.new_code("person:W-07")
    with pytest.raises(Refused):
        doors.spend(code, "device")
    assert doors.spend(code.lower().replace("-", " "), "person") == "W-07"
    with pytest.raises(Refused):
        doors.spend(code, "person")
    old = doors.new_code("person:W-07")
    clock.now_s += 901
    with pytest.raises(Refused):
        doors.spend(old, "person")
    first, second = doors.new_code("person:W-07"), doors.new_code("person:W-07")
    with pytest.raises(Refused):
        doors.spend(first, "person")
    assert doors.spend(second, "person") == "W-07"


@pytest.mark.parametrize("pin", ["", "12345", "111111", "123456", "654321", "abcdef", "w07", "W-07", "      "])
def test_a_pin_that_anybody_would_try_is_not_taken(pin):
    with pytest.raises(Refused):
        fit_pin(pin, "W-07")


@pytest.mark.parametrize("pin", ["447162", "arc hold", "äöüß kalt", "1" * 3 + "7" * 3])
def test_other_pins_are(pin):
    assert fit_pin(pin, "W-07") == pin


def test_a_device_is_known_by_its_secret_until_it_is_shut_out(doors):
    cookie, _ = doors.admit("d-1")
    assert doors.device(cookie) == "d-1"
    assert doors.device(cookie[:-1] + "x") == doors.device("d-1.") == doors.device("") == doors.device("d-9.x") == ""
    token = doors.sign_in("W-07", PIN, "d-1")
    doors.shut_out("d-1")
    assert doors.device(cookie) == "" and doors.session(token) is None


def test_no_secret_is_kept_or_logged(tmp_path: Path, caplog: pytest.LogCaptureFixture):
    caplog.set_level(logging.DEBUG)
    store = open_store(tmp_path / "log.sqlite3")
    doors = Doors(store, Clock(), hasher=PasswordHasher(time_cost=1, memory_cost=8, parallelism=1))
    code = doors.new_code("person:W-07")
    doors.set_pin("W-07", PIN)
    token = doors.sign_in("W-07", PIN, "d-1")
    cookie, _ = doors.admit("d-1")
    reason_of(doors, PIN + "!")
    store.close()
    with sqlite3.connect(tmp_path / "log.sqlite3") as file:
        kept = "\n".join(file.iterdump())
    for secret in (PIN, token, cookie.partition(".")[2], code.replace("-", "")):
        assert secret not in kept
        assert secret not in caplog.text
    assert "$argon2id$" in kept


def test_every_event_is_signed_by_the_device_it_is_chained_under():
    store = memory_store()
    doors = Doors(store, Clock(), hasher=PasswordHasher(time_cost=1, memory_cost=8, parallelism=1))
    _, public = doors.admit("d-1")
    store.append("J-05", "2026-03-02T10:00:00Z", "W-07", "purge.ended", {}, device="d-1")
    store.append("J-05", "2026-03-02T10:00:01Z", "W-07", "purge.ended", {})
    from brightroot.records.seal import digest

    digests = [digest(one) for one in store.stored("J-05")]
    signed = {s["digest"]: s for s in store.glance(lambda connection: signatures_of(connection, digests))}
    assert set(signed) == set(digests)
    for one in signed.values():
        assert holds(one["key"], EVENT + one["digest"].encode(), bytes.fromhex(one["signature"]))
    by_device = {
        event.device: signed[digest(stored)]["key"]
        for event, stored in zip(store.events("J-05"), store.stored("J-05"), strict=True)
    }
    assert by_device["d-1"] == public != by_device["bench"]
    store.close()
