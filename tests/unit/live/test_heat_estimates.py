"""What readings do to the forecast: contact narrows it, infrared of bright metal hardly, a crayon says nothing of power."""

from dataclasses import replace

import pytest

from brightroot.app.plan_joint import iron_of
from brightroot.app.work_live import look
from brightroot.live.estimators.heat import asked_after, cooling_of, posterior_of, reforecast, told_holds
from brightroot.live.estimators.heat_made import answered, made_of, seen_K, stopped
from brightroot.physics.heat.volumes.body import Probe


@pytest.fixture(scope="module")
def worked(gallery):
    """A joint worked by the stand-in, with readings that a torch of 93 % of the stated power would give."""
    now = look(gallery, "J-10")
    whole = iron_of(gallery, now.plan)
    return whole, replace(now, state=replace(now.state, record=as_read(whole, now.plan, now.state.record)))


def as_read(whole, plan, record, power=0.93):
    air = whole.losses.air_K

    def read(one):
        past = tuple(m for m in made_of(plan, record) if m.arc.stop_s <= one.at_s)
        return seen_K(whole, past, one.at_s, Probe(one.at_rad, 0.0254)) if past else air

    return replace(
        record,
        temperatures=tuple(
            replace(t, temperature_K=air + power * (read(t) - air), distance_m=0.0254) for t in record.temperatures
        ),
    )


def width(posterior):
    return posterior.high_1 - posterior.low_1


def with_method(record, method, **change):
    return replace(record, temperatures=tuple(replace(t, method=method, **change) for t in record.temperatures))


def test_contact_narrows_and_infrared_hardly(worked):
    whole, now = worked
    record = now.state.record
    none = posterior_of(whole, now.plan, replace(record, temperatures=()), cells=now.cells)
    contact = posterior_of(whole, now.plan, record, cells=now.cells)
    # what an infrared instrument set to 0.95 shows of the same metal
    seen = tuple(
        replace(
            t, method="infrared", temperature_K=(293.15**4 + 0.35 / 0.95 * (t.temperature_K**4 - 293.15**4)) ** 0.25
        )
        for t in record.temperatures
    )
    infrared = posterior_of(whole, now.plan, replace(record, temperatures=seen), cells=now.cells)
    assert width(contact) < 0.8 * width(infrared) and width(contact) < width(none)
    crayon = posterior_of(whole, now.plan, with_method(record, "crayon"), cells=now.cells)
    assert width(crayon) == pytest.approx(width(none))


def test_hotter_readings_say_more_power_and_a_longer_hold(worked):
    whole, now = worked
    record = now.state.record
    hot = replace(
        record, temperatures=tuple(replace(t, temperature_K=t.temperature_K + 15) for t in record.temperatures)
    )
    plain, hotter = (reforecast(whole, now.plan, r, cells=now.cells) for r in (record, hot))
    key = next(key for key in plain if key.endswith("hold_s"))
    assert hotter[key].value > plain[key].value
    assert plain[key].low < plain[key].value < plain[key].high


def test_the_march_goes_on_from_where_it_stopped(worked):
    """The joint after three runs is the same whether the fourth was asked for before or not."""
    whole, now = worked
    made = made_of(now.plan, now.state.record)
    first = stopped(whole, made[:3])
    stopped(whole, made[:5])
    assert stopped(whole, made[:3]) is first
    at_s = made[2].arc.stop_s
    probe = Probe(made[2].arc.to_rad, 0.0254)
    early, late = (seen_K(whole, made[:3], at_s + s, probe) for s in (0.0, 12.0))
    assert 293.15 < early < late


def test_holds_as_told_are_for_every_finished_run(worked):
    whole, now = worked
    told = told_holds(whole, now.plan, now.state.record, cells=now.cells)
    assert set(told) == {run.number for run in now.state.record.runs}
    assert all(5 < hold.value < 200 and hold.low <= hold.value <= hold.high for hold in told.values())


def test_cooling_has_its_band(worked):
    whole, now = worked
    rows = cooling_of(whole, now.plan, now.state.record, run=4, cells=now.cells)
    assert rows[0][0] == 0.0 and all(low <= value <= high for _, low, value, high in rows)
    assert cooling_of(whole, now.plan, now.state.record, run=99, cells=now.cells) == ()


def test_two_clocks_cannot_make_arcs_overlap(worked):
    """A second arc that another clock puts before the first one's end begins when that one stopped."""
    _, now = worked
    runs = now.state.record.runs
    muddled = replace(runs[1], started_s=runs[0].stopped_s - 5.0)
    made = made_of(now.plan, replace(now.state.record, runs=(runs[0], muddled)))
    assert made[1].arc.start_s == made[0].arc.stop_s
    gone = replace(runs[1], started_s=runs[0].started_s, stopped_s=runs[0].stopped_s - 1.0)
    assert len(made_of(now.plan, replace(now.state.record, runs=(runs[0], gone)))) == 1


def test_an_instrument_set_to_the_metal_needs_no_correction(worked):
    """130 °C of metal at 0.35 shows 73 °C on an instrument set to 0.95, and 130 °C on one set to 0.35."""
    whole, now = worked
    record = now.state.record
    shown = tuple(
        replace(
            t, method="infrared", temperature_K=(293.15**4 + 0.35 / 0.95 * (t.temperature_K**4 - 293.15**4)) ** 0.25
        )
        for t in record.temperatures
    )
    told = with_method(record, "infrared", emissivity_set_1=0.35)
    one, two = (posterior_of(whole, now.plan, r, cells=now.cells) for r in (replace(record, temperatures=shown), told))
    assert two.value_1 == pytest.approx(one.value_1, abs=0.03)


def test_infrared_is_told_with_the_forecast(worked):
    whole, now = worked
    plain = reforecast(whole, now.plan, now.state.record, cells=now.cells)
    seen = reforecast(whole, now.plan, with_method(now.state.record, "infrared"), cells=now.cells)
    for key in seen:
        assert "caveat.infrared" in seen[key].caveats and "caveat.infrared" not in plain[key].caveats


def test_infrared_that_shows_no_more_than_the_air_says_nothing(worked):
    whole, now = worked
    record = now.state.record
    none = posterior_of(whole, now.plan, replace(record, temperatures=()), cells=now.cells)
    dull = with_method(record, "infrared", temperature_K=263.15)
    assert posterior_of(whole, now.plan, dull, cells=now.cells) == none


def test_other_factors_march_nothing_anew(worked):
    """The answers are those of a march for the very factors."""
    whole, now = worked
    made = made_of(now.plan, now.state.record)[:2]
    asked = asked_after(now.plan, made[-1].number)
    for scales in ((0.8, 0.9, 1.0), (0.9, 1.0, 1.19), (1.0, 1.1, 1.3)):
        heat = answered(whole, made, asked, scales).heat
        assert heat.hold_outer_s.low < heat.hold_outer_s.value < heat.hold_outer_s.high
        assert heat.wait_s.low <= heat.wait_s.value <= heat.wait_s.high
    one, two = (answered(whole, made, asked, (k, 1.0, 1.1)) for k in (0.7, 0.8))
    assert one.states is two.states and one.heat.hold_outer_s.high == two.heat.hold_outer_s.high


def test_a_reading_that_no_torch_explains_is_left_out_and_told(worked):
    """The forecast is that of the other readings, and says so."""
    whole, now = worked
    record = now.state.record
    last = record.temperatures[-1]
    slip = replace(last, temperature_K=293.15 + 4 * (last.temperature_K - 293.15))
    without = replace(record, temperatures=record.temperatures[-4:-1])
    wrong = replace(record, temperatures=(*record.temperatures[-4:-1], slip))
    assert posterior_of(whole, now.plan, wrong, cells=now.cells) == posterior_of(
        whole, now.plan, without, cells=now.cells
    )
    told = reforecast(whole, now.plan, wrong, cells=now.cells)
    assert told and all("caveat.reading_left_out" in one.caveats for one in told.values())
    plain = reforecast(whole, now.plan, without, cells=now.cells)
    assert all("caveat.reading_left_out" not in one.caveats for one in plain.values())


def test_readings_find_the_power_that_made_them(worked):
    whole, now = worked
    found = posterior_of(whole, now.plan, now.state.record, cells=now.cells)
    assert found.low_1 < 0.93 < found.high_1 and found.misfit_1 < 1
