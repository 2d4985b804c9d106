from itertools import pairwise

import numpy as np
import pytest

from brightroot.app.heat import face_of_joint, heat_table, planned_until, run_heat
from brightroot.app.heat_pictures import heat_maps, joint_chart, run_chart
from brightroot.app.plan_joint import declare, plan_of
from brightroot.app.work_live import look
from brightroot.base.errors import Refused
from brightroot.cli.demo import SMALL, facts
from brightroot.documents.speech import Speech
from brightroot.render.words import words

SPEECH = Speech(words("en").say, "metric", "en")


@pytest.fixture
def planned(place):
    declare(place, facts("J-10", position="5G", pipe=SMALL), by="W-07")
    return place, look(place, "J-10")


def test_a_planned_run_is_what_the_plan_says(planned):
    """The page marches the plan again, with holds, moves and waits between: the same figures to 1 %."""
    place, now = planned
    for run in (1, 5, 12):
        heat = run_heat(place, now, run).after.heat
        for name, found in (("reading_peak_K", heat.reading_peak_K), ("wait_s", heat.wait_s)):
            wanted = now.plan.figures[f"runs.{run}.{name}"]
            assert found.value == pytest.approx(wanted.value, rel=0.01, abs=0.5), (run, name)


def test_a_made_run_goes_by_its_own_times(gallery):
    now = look(gallery, "J-10")
    seen = run_heat(gallery, now, 3)
    assert seen.made and seen.scales_1[0] < seen.scales_1[1] < seen.scales_1[2]
    made = now.state.record.run(3)
    assert seen.arc.duration_s == pytest.approx(made.stopped_s - made.started_s)


def test_a_run_that_the_plan_does_not_have(planned):
    place, now = planned
    with pytest.raises(Refused, match="run: wanted a run from 1 to 16; got '17'"):
        run_heat(place, now, 17)


def test_maps_cool_and_are_symmetric(planned):
    place, now = planned
    maps = heat_maps(now, run_heat(place, now, 1), SPEECH)
    hottest = [max(max(row) for row in picture.warm_K) for _, picture in maps]
    assert [s for s, _ in maps][:3] == [0.0, 5.0, 15.0] and hottest == sorted(hottest, reverse=True)
    rows = maps[2][1].warm_K
    assert rows[0] == rows[-1] and len(rows[0]) == len(maps[2][1].at_rad)
    assert [name.split(" ")[0] for _, name in maps[0][1].lines] == ["release", "interpass"]


def test_the_face_is_hottest_where_the_arc_went_off(planned):
    place, now = planned
    seen = run_heat(place, now, 1)
    along, angles, kelvin = face_of_joint(seen, seen.moments()[0][1])
    place_at = angles[int(kelvin.max(axis=0).argmax())]
    assert abs(along[int(kelvin.max(axis=1).argmax())]) < 0.004
    assert np.cos(place_at - seen.arc.to_rad) > 0.99


def test_charts_tell_no_pool(planned):
    place, now = planned
    chart = run_chart(now, run_heat(place, now, 1), SPEECH)
    assert max(y for series in chart.series for _, y in series.points) < 900
    whole = joint_chart(place, now, SPEECH)
    assert len(whole.marks) == 16 and whole.series[0].points[-1][0] > whole.marks[-1][0]


def test_the_table_has_every_run(planned):
    place, now = planned
    rows = heat_table(place, now)
    assert [row.number for row in rows] == list(range(1, 17)) and not any(row.made for row in rows)
    assert all(row.hold_s > 10 for row in rows) and rows[0].plain()["pass_name"] == "root"


def test_planned_runs_wait_for_each_other(planned):
    now = planned[1]
    chain = planned_until(now.plan, 4, cells=now.cells)
    for earlier, later in pairwise(chain):
        hold = now.plan.figures[f"runs.{earlier.number}.hold_s"].value
        assert later.arc.start_s >= earlier.arc.stop_s + hold + now.cells["move_s"].value - 1e-6


def test_a_flange_takes_heat_away(place):
    """Against a flange the pipe comes under the limit sooner than against a stub as short."""
    waits = {}
    for name, fitting in (("A", "pipe"), ("B", "flange")):
        more = {"fitting_b": fitting, "reach_b_m": "60 mm"}
        declare(place, {**facts(name, position="5G", pipe=SMALL), **more}, by="W-07")
        waits[name] = plan_of(place, name).figures["runs.9.wait_s"].value
    assert waits["B"] < waits["A"] - 5
