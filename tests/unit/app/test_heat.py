from itertools import pairwise

import numpy as np
import pytest

from brightroot.app.heat import face_of_joint, heat_table, planned_until, run_heat
from brightroot.app.heat_pictures import heat_maps, joint_course, run_course
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
    assert [s for s, _ in maps][:3] == [0.0, 3.0, 6.0] and hottest == sorted(hottest, reverse=True)
    # it goes on until nothing is over release
    assert hottest[-1] < now.plan.figures["set_up.release_K"].value < hottest[0] and len(maps) <= 14
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


def test_curves_tell_no_pool(planned):
    place, now = planned
    course = run_course(now, run_heat(place, now, 1), SPEECH)
    assert max(high for line in course.lines for *_, high in line.rows) < 900
    assert all(low <= value <= high for line in course.lines for _, low, value, high in line.rows)
    release, interpass = course.limits
    figure = now.plan.figures["runs.1.hold_s"]
    assert release.met[1] == pytest.approx(figure.value, rel=0.01) and "hold" in release.name
    assert interpass.met is None or interpass.met[0] <= interpass.met[1] <= interpass.met[2]


def test_the_whole_joint_is_one_course(planned):
    place, now = planned
    whole = joint_course(place, now, SPEECH)
    assert [number for *_, number, _ in whole.arcs] == [str(n) for n in range(1, 17)]
    assert all(on < off for on, off, *_ in whole.arcs) and not any(made for *_, made in whole.arcs)
    assert all(later[0] > earlier[1] for earlier, later in pairwise(whole.arcs))
    (line,) = whole.lines
    assert not line.made and line.rows[-1][0] > whole.arcs[-1][1] and not whole.read


def test_the_made_part_is_its_own_line_with_what_was_read(gallery):
    """Arcs as made are on their own clock; the rest of the plan follows them."""
    now = look(gallery, "J-10")
    whole = joint_course(gallery, now, SPEECH)
    made = [line for line in whole.lines if line.made]
    assert len(made) == 1 and whole.arcs[0][3]
    assert sum(arc[3] for arc in whole.arcs) == len(now.state.record.runs)
    assert len(whole.read) == len(now.state.record.temperatures) and whole.read_name


def test_us_units_reach_the_drawings(planned):
    place, now = planned
    us = Speech(words("en").say, "us", "en")
    seen = run_heat(place, now, 1)
    assert run_course(now, seen, us).y_label == "°F"
    (_, first), *_ = heat_maps(now, seen, us)
    assert first.us and first.read[2].endswith("°F") and first.lines[0][1].endswith("°F")


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
