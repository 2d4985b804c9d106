"""The purge's page and picture: verdict, one next test, two clocks, band and floor on a log axis, and the score of forecasts."""

import math
from dataclasses import replace

import pytest

from brightroot.app.pictures import purge_chart
from brightroot.app.purge import purge_scores, purge_seen
from brightroot.app.work_live import look, record
from brightroot.base.instant import utc_of
from brightroot.documents.speech import Speech
from brightroot.live.estimators.purge import purge_of
from brightroot.live.scores import scored, together
from brightroot.render.drawing import drawing
from brightroot.render.words import words
from brightroot.web.pages.purge.words import verdict_line
from brightroot.web.settings import Settings
from brightroot.web.shown import Shown

J = "J-10"
SPEECH = Speech(words("en").say)


def kind(name):
    return lambda event: event.kind == name


def put(place, kind, at_s, /, **facts):
    return record(place, J, kind, facts, by="W-07", at_utc=utc_of(at_s))


def started(upto):
    place, at_s = upto(kind("oxygen.read"))
    return place, look(place, J, at_s=at_s).state.record.purge_started_s


def read_all(place, start_s, ppm_at, seconds):
    for n, s in enumerate(seconds):
        ppm = ppm_at(s) * (1 + 0.02 * math.sin(1.3 * n))
        shown = {"state": "over range"} if ppm > 1000 else {"state": "reading", "oxygen_frac": f"{ppm:.1f} ppm"}
        put(place, "oxygen.read", start_s + s, place="vent", **shown)


def falling(floor, rate=0.06):
    return lambda s: floor + 209460 * math.exp(-rate * max(0.0, s - 12))


def test_before_the_gas_the_plans_band_is_drawn(upto):
    place, at_s = upto(kind("purge.started"))
    now = look(place, J, at_s=at_s)
    assert purge_seen(now).verdict == "not_started"
    chart = purge_chart(now, SPEECH)
    assert [s.kind for s in chart.series] == ["limit", "model"] and chart.log_y


def test_a_falling_purge_waits_with_two_clocks_and_a_band(upto):
    place, start_s = started(upto)
    read_all(place, start_s, falling(4.0), range(20, 140, 12))
    now = look(place, J, at_s=start_s + 130)
    seen = purge_seen(now)
    assert seen.verdict == "wait"
    gas, shown = seen.forecast.clocks_s["gas"], seen.forecast.clocks_s["shown"]
    assert gas[1] < shown[1], "the monitor is never ahead of the gas"
    chart = purge_chart(now, SPEECH)
    kinds = [s.kind for s in chart.series]
    assert kinds.count("clock") == 2 and {"floor", "model", "beyond", "measured", "limit"} <= set(kinds)
    svg = drawing("en", palette="page").chart(chart)
    assert 'class="series series-clock"' in svg and 'class="series series-beyond"' in svg


def test_the_target_is_the_vents(upto):
    place, start_s = started(upto)
    read_all(place, start_s, falling(4.0), range(20, 140, 12))
    seen = purge_seen(look(place, J, at_s=start_s + 130))
    assert seen.state.target.target_frac == pytest.approx(15e-6 / 1.8)


def test_a_stalled_purge_has_one_next_test(upto):
    place, start_s = started(upto)
    read_all(place, start_s, falling(62.0), range(20, 900, 20))
    now = look(place, J, at_s=start_s + 895)
    seen = purge_seen(now)
    assert seen.verdict == "stalled"
    assert seen.state.next_test in {"step_the_flow", "sniff_at_the_hose_end", "press_the_tape"}


@pytest.mark.parametrize(("p_never", "verdict"), [(0.5, "wait"), (0.51, "wait_doubtful")])
def test_what_more_likely_never_comes_is_not_to_be_waited_for(upto, monkeypatch, p_never, verdict):
    place, start_s = started(upto)
    read_all(place, start_s, falling(4.0), range(20, 140, 12))
    now = look(place, J, at_s=start_s + 130)
    state = purge_seen(now).state
    doubted = replace(state, verdict="wait", target=replace(state.target, p_never=p_never))
    monkeypatch.setattr("brightroot.app.purge.purge_state", lambda *_args, **_named: doubted)
    seen = purge_seen(now)
    assert seen.verdict == verdict
    shown = Shown(Settings())
    assert ("more until" in verdict_line(seen, now, shown)) is (verdict == "wait")


def test_at_target_waits_for_this_shifts_checks(upto):
    place, start_s = started(upto)
    read_all(place, start_s, falling(3.5), range(20, 500, 12))
    now = look(place, J, at_s=start_s + 497)
    checks = now.state.record.checks
    assert purge_seen(now).verdict == "at_target"
    bare = replace(now.state.record, checks=tuple(c for c in checks if c.data["against"] != "hose end"))
    unchecked = replace(now, state=replace(now.state, record=bare))
    seen = purge_seen(unchecked)
    assert seen.verdict == "wait_checks" and seen.state.missing == ("hose end",)


def test_silence_is_not_measured(upto):
    place, start_s = started(upto)
    read_all(place, start_s, falling(4.0), range(20, 140, 12))
    assert purge_seen(look(place, J, at_s=start_s + 900)).verdict == "not_measured"


def test_a_finished_purge_keeps_its_readings_and_forecasts_nothing(gallery):
    now = look(gallery, J)
    seen = purge_seen(now)
    assert seen.verdict == "over" and seen.state is None
    kinds = [s.kind for s in purge_chart(now, SPEECH).series]
    assert "measured" in kinds and "clock" not in kinds and "floor" not in kinds


def test_past_forecasts_are_scored_from_the_logs(gallery):
    scores = purge_scores(gallery)
    assert scores.count == 2 and 0 <= scores.median_miss_s <= scores.worst_miss_s
    assert scores.inside_count <= scores.count


def test_a_score_is_the_forecast_at_the_first_thousand_against_what_came(gallery):
    now = look(gallery, J)
    purge = purge_of(now.plan, now.state.record, cells=now.cells)
    score = scored(purge)
    read = [(look.at_s, look.oxygen_frac) for look in purge.looks if look.oxygen_frac]
    assert score.at_s == next(at for at, value in read if value <= 1000e-6)
    came = score.at_s + score.took_s
    before, after = max(at for at, _ in read if at <= came), min(at for at, _ in read if at >= came)
    assert before <= came <= after
    again = scored(purge)
    assert again == score, "the same log gives the same score"


def test_no_reading_after_it_speaks_in_a_scored_forecast(gallery):
    now = look(gallery, J)
    purge = purge_of(now.plan, now.state.record, cells=now.cells)
    first = scored(purge).at_s
    later = [look for look in purge.looks if look.at_s > first]
    shifted = tuple(
        replace(look, oxygen_frac=look.oxygen_frac * 1.01 if look.oxygen_frac else None) if look in later else look
        for look in purge.looks
    )
    assert scored(replace(purge, looks=shifted)).told_s == scored(purge).told_s


def test_nothing_to_score_is_said_as_nothing():
    assert together(()) is None
