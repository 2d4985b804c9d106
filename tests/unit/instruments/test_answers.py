"""Answers of instruments: each driver reads its own exchanges, and what is no answer is refused, never a number."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from brightroot.base.errors import Broken, Refused
from brightroot.instruments.answers import message_text, sample_of
from brightroot.instruments.drivers import load_drivers, replay

DRIVERS = load_drivers()


@pytest.mark.parametrize("driver", DRIVERS.values(), ids=DRIVERS)
def test_each_driver_reads_its_own_exchanges(driver):
    assert replay(driver) == ()
    meant = {exchange.means for exchange in driver.exchanges}
    assert "refused" in meant or driver.id == "oxygen-message"
    assert len(driver.exchanges) >= 3


def test_a_changed_exchange_is_noticed(tmp_path):
    from dataclasses import replace

    driver = DRIVERS["ppm-line"]
    other = replace(driver, exchanges=(replace(driver.exchanges[0], means="13 ppm"),))
    assert len(replay(other)) == 1


@given(st.text(max_size=30))
def test_any_text_is_a_sample_or_refused_by_name(text):
    for name in ("ppm-line", "metal-line", "oxygen-message"):
        try:
            made = sample_of(DRIVERS[name], text, at_s=0.0)
        except Refused as refusal:
            assert refusal.field in (name, DRIVERS[name].measures)
        else:
            assert (made.value is None) != (made.state == "reading")


@given(st.lists(st.integers(-5, 70000), max_size=4))
def test_any_registers_are_a_sample_in_range_or_refused(words):
    driver = DRIVERS["oxygen-registers"]
    try:
        made = sample_of(driver, words, at_s=0.0)
    except Refused as refusal:
        assert refusal.field == "oxygen-registers"
    else:
        assert 0 <= made.value <= 0.25


def test_a_register_out_of_range_says_the_range_and_what_came():
    with pytest.raises(Refused) as refusal:
        sample_of(DRIVERS["oxygen-registers"], [0x4974, 0x2400], at_s=0.0)  # 1e6 ppm
    assert (refusal.value.wanted, refusal.value.got) == ("0 to 250000 ppm", "1e+06 ppm")


def test_the_value_of_a_message_is_found_by_its_path_or_refused():
    assert message_text(b'{"a": {"b": 12.5}}', "a.b") == "12.5"
    assert message_text(b" 48 ppm\n") == "48 ppm"
    for payload in (b'{"a": 1}', b"12", b"{"):
        with pytest.raises(Refused):
            message_text(payload, "a.b")


@pytest.mark.parametrize("line", [
    'speaks = "lines"', 'measures = "flow"', 'unit = "bar"', "pattern = '(?P<nothing>x)'", "pattern = '('",
])  # fmt: skip
def test_a_driver_that_does_not_check_is_named(tmp_path, line):
    name = line.split(" = ")[0]
    whole = (
        'title = "x"\nspeaks = "lines"\nmeasures = "oxygen_frac"\nunit = "ppm"\n[answer]\npattern = \'(?P<value>1)\'\n'
        '[[exchange]]\ngot = "1"\nmeans = "1 ppm"\n'
    )
    old = next(row for row in whole.splitlines() if row.startswith(name))
    changed = whole.replace(old, line if line != 'speaks = "lines"' else 'speaks = "tones"')
    (tmp_path / "mine").mkdir()
    (tmp_path / "mine" / "driver.toml").write_text(changed, encoding="utf-8")
    with pytest.raises(Broken) as fault:
        load_drivers(tmp_path)
    assert "mine/driver.toml" in str(fault.value)
