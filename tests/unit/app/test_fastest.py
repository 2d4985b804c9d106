"""The fastest way as the web, the command line and Python offer it; its plan is worked to the last signature as any other."""

import re
import time
import warnings
from dataclasses import replace

import pytest

from brightroot.app.compare import compare
from brightroot.app.fastest import adopt_fastest, fastest_of, rotate, searched_joint, sureness
from brightroot.app.plan_joint import declare, plan_of
from brightroot.app.ports import Place
from brightroot.app.stand_in import work
from brightroot.app.work_live import look
from brightroot.base.errors import Refused
from brightroot.cli.demo import SMALL, facts
from brightroot.live.phases import Phase
from brightroot.planner.search.search import search
from brightroot.store.logs import memory_store
from brightroot.web.server import build

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    from fastapi.testclient import TestClient

NOW_S = 1772737200.0
PAGES = (
    "fastest", "fastest?least=argon&turn=K-2&rigs=2", "compare", "compare?a1=gap_m&v1=3+mm", "compare?a1=gap_m&v1=3",
)  # fmt: skip


@pytest.fixture(scope="module")
def shop(library):
    made = Place(library, memory_store(), lambda: NOW_S)
    for name in ("K-1", "K-2"):
        declare(made, facts(name, position="5G", pipe=SMALL), by="W-07")
    return made


def test_what_was_found_is_marched_by_the_full_engine_and_compared(shop):
    made = fastest_of(shop, "K-1")
    assert len(made.differences) == len(made.found.runs) - 1
    assert made.full_time_s == pytest.approx(made.found.time_s, rel=0.15)
    assert made.plan.joint.id == "K-1"
    assert not any(c.level == "block" for c in made.plan.concerns)
    seen = searched_joint(shop, "K-1")
    assert seen.found.time_s <= seen.own_s + 1e-6
    assert sum(seen.binding.values()) == len(seen.found.runs) - 1


def test_of_two_ways_that_take_the_same_the_side_of_the_hand_comes_first(shop):
    task = searched_joint(shop, "K-1").setting.task
    even = replace(task, hands=replace(task.hands, tape_s=0.0), layers=task.layers[:1])
    sweeps = []
    for hand in ("right", "left"):
        first = search(replace(even, hand=hand)).runs[0]
        sweeps.append(even.layers[0].ways[first.way].stretches[first.stretch].sweep_rad)
    assert sweeps[0] < 0 < sweeps[1], "counter-clockwise from six on the right"
    with pytest.raises(Refused):
        searched_joint(shop, "K-1", hand="both")


def test_its_plan_is_worked_to_the_last_signature(library):
    place = Place(library, memory_store(), lambda: NOW_S)
    declare(replace(place, now_s=lambda: NOW_S - 2 * 86400), facts("K-9", position="5G", pipe=SMALL), by="W-07")
    before = plan_of(place, "K-9")
    plan = adopt_fastest(replace(place, now_s=lambda: NOW_S - 2 * 86400), "K-9", by="W-07")
    assert plan_of(place, "K-9") == plan != before
    work(place, "K-9", start_s=NOW_S - 86400, by="W-07")
    now = look(place, "K-9")
    assert now.state.phase is Phase.SIGNED
    assert [run.number for run in now.state.record.runs] == [run.number for run in plan.runs]
    with pytest.raises(Refused) as refused:
        adopt_fastest(place, "K-9", by="W-07")
    assert refused.value.reason == "refused.begun"


def test_side_by_side(shop):
    told = compare(shop, "K-1", [{"gap_m": "3 mm"}, {"interpass_max_K": "50 °C"}])
    rows = {row.key: row for row in told.rows}
    assert len(told.sides) == 3 and rows["groove.area_m2"].moved
    declared, wider, cooler = rows["groove.area_m2"].figures
    assert wider.value > declared.value == cooler.value
    times = [side.found.time_s for side in told.sides]
    assert times[2] > times[0]
    assert not rows["purge.volume_m3"].moved
    for wrong in ([], [{"no_such": "1"}], [{"gap_m": "3 mm"}] * 4):
        with pytest.raises(Refused):
            compare(shop, "K-1", wrong)


def test_in_turn(shop):
    told = rotate(shop, ("K-1", "K-2"), rigs=2)
    assert len(told.turns) == 2 * len(searched_joint(shop, "K-1").found.runs)
    for wrong in (("K-1",), ("K-1", "K-1")):
        with pytest.raises(Refused):
            rotate(shop, wrong)


def test_how_sure(shop):
    told = sureness(shop, "K-1")
    assert told.draws >= 40 and 0.0 <= min(told.holds.values()) <= max(told.holds.values()) <= 1.0


def test_pages_answer_in_both_languages(shop):
    with TestClient(build(shop)) as client:
        for language in ("en", "es"):
            client.cookies.set("brightroot", f"theme=hall&language={language}")
            for page in PAGES:
                answer = client.get(f"/joints/K-1/{page}")
                assert answer.status_code == 200, page
                assert not re.search(r"«[a-z_]+\.", answer.text), page


def test_a_post_makes_it_the_plan(library):
    place = Place(library, memory_store(), time.time)
    declare(place, facts("K-5", position="5G", pipe=SMALL), by="W-07")
    before = plan_of(place, "K-5")
    with TestClient(build(place)) as client:
        answer = client.post("/joints/K-5/fastest", json={"by": "W-07", "least": "time"})
    assert answer.status_code == 200 and answer.json()["ok"]
    assert plan_of(place, "K-5") != before
