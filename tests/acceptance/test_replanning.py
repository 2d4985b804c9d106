"""The pump gallery's disturbances, ten of them: each leaves a plan that keeps its limits, and says in one sentence why."""

import math
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from brightroot.app.plan_joint import declare, keep_plan
from brightroot.app.ports import Place
from brightroot.app.replan import replan
from brightroot.app.replan_said import fit_up_said, said
from brightroot.app.work_live import look, record
from brightroot.base.instant import utc_of
from brightroot.cli.demo import LARGE, facts
from brightroot.documents.speech import Speech
from brightroot.live.estimators.heat_made import made_of
from brightroot.model.codec import to_data
from brightroot.physics.heat.modal import after_pause, cold, modes, rise_dK, with_run
from brightroot.physics.heat.ring import ArcRun
from brightroot.planner.search.again import TROUBLES, task_of_plan
from brightroot.render.words import words
from brightroot.store.logs import memory_store

START_S = 1772737200.0
ARC_S, PAUSE_S = 60.0, 240.0


class Clock:
    now_s = START_S

    def __call__(self):
        return self.now_s


@pytest.fixture(scope="module")
def planned(library):
    """One joint of the gallery, planned once; each disturbance gets a log of its own from its facts."""
    clock = Clock()
    made = Place(library, memory_store(), clock)
    typed = facts("J-06", position="5G", pipe=LARGE) | {"hold_points": "fit-up; root"}
    plan = declare(made, typed, by="W-07")
    return library, typed, plan


@pytest.fixture
def at_work(planned):
    """The joint with its first two runs made, ten minutes in."""
    library, typed, plan = planned
    clock = Clock()
    place = Place(library, memory_store(), clock)
    declare_again(place, plan, typed)
    tell(place, clock, 0, "purge.started", flow_m3_s="15 L/min")
    tell(place, clock, 10, "oxygen.read", state="reading", oxygen_frac="9 ppm", place="weld plane")
    weld(place, clock, plan, 1, 60.0)
    weld(place, clock, plan, 2, 60.0 + ARC_S + PAUSE_S)
    clock.now_s = START_S + 600.0
    return place, clock, plan


def declare_again(place, plan, typed):
    place.store.append(
        "J-06", utc_of(START_S), "W-07", "joint.declared", {"joint": to_data(plan.joint), "facts": typed}
    )
    keep_plan(place, plan, by="W-07")


def tell(place, clock, at_s, kind, /, **typed):
    clock.now_s = START_S + at_s
    return record(place, "J-06", kind, typed, by="W-07", at_utc=utc_of(clock.now_s))


def weld(place, clock, plan, number, at_s, *, to_rad=None):
    tell(place, clock, at_s, "arc.started", run_count=str(number))
    more = {} if to_rad is None else {"at_rad": clock_text(to_rad)}
    tell(place, clock, at_s + ARC_S, "arc.stopped", run_count=str(number), **more)


def clock_text(rad):
    hours = rad % (2 * math.pi) / (2 * math.pi) * 12
    whole, minutes = int(hours), round((hours % 1) * 60)
    return f"{whole or 12}:{min(minutes, 59):02}"


def temperature(place, clock, at_s, value):
    tell(place, clock, at_s, "temperature.read", temperature_K=value, at_rad="6:00", distance_m="25 mm", side="outside",
         method="contact")  # fmt: skip


def over(place, clock, plan):
    temperature(place, clock, 560, "171 °C")
    return "temperature_over"


def gap(place, clock, plan):
    for at, value in (("12:00", "2.4 mm"), ("3:00", "1.2 mm"), ("6:00", "2.4 mm"), ("9:00", "2.4 mm")):
        tell(place, clock, 540, "fit_up.measured", at_rad=at, gap_m=value, hi_lo_m="0.2 mm")
    return "gap_closed"


def oxygen(place, clock, plan):
    tell(place, clock, 580, "oxygen.read", state="reading", oxygen_frac="26 ppm", place="weld plane")
    return "oxygen_rose"


def cylinder(place, clock, plan):
    tell(place, clock, 580, "cylinder.changed", circuit="all", fill="G-2231")
    return "cylinder_swap"


def rain(place, clock, plan):
    tell(place, clock, 580, "surface.touched", by_what="rain")
    return "rain"


def dip(place, clock, plan):
    tell(place, clock, 580, "tungsten.dipped", run_count="2")
    return "tungsten_dip"


def draught(place, clock, plan):
    tell(place, clock, 580, "draught.felt", wind_m_s="1.2 m/s")
    return "draught"


def power(place, clock, plan):
    run = plan.run(3)
    weld(place, clock, plan, 3, 700.0, to_rad=run.from_rad + run.sweep_rad * 0.5)
    clock.now_s = START_S + 1500.0
    return "power_cut"


def silence(place, clock, plan):
    clock.now_s = START_S + 6000.0
    return "silence"


def inspector(place, clock, plan):
    at_s = 700.0
    roots = [run.number for run in plan.runs if run.pass_number == 1]
    for number in roots[2:]:
        weld(place, clock, plan, number, at_s)
        tell(place, clock, at_s + ARC_S + 60, "shield.lifted", run_count=str(number))
        at_s += ARC_S + PAUSE_S
    for number in roots:
        tell(place, clock, at_s, "bead.looked_at", run_count=str(number), tint="silver", arrangement="uniform")
    tell(place, clock, at_s, "root.looked_at", tint="silver", arrangement="uniform")
    clock.now_s = START_S + at_s + 300
    return "inspector_late"


TEN = (over, gap, oxygen, cylinder, rain, dip, draught, power, silence, inspector)


@pytest.mark.parametrize("disturbance", TEN, ids=lambda f: f.__name__)
def test_each_disturbance_leaves_a_plan_that_stands_and_says_why(at_work, disturbance):
    place, clock, plan = at_work
    kind = disturbance(place, clock, plan)
    told = replan(place, "J-06", at_s=clock.now_s)
    assert kind in {trouble.kind for trouble in told.troubles}
    lines = {}
    for language in ("en", "es"):
        lines[language] = said(told, Speech(words(language).say, "metric", language), now_s=clock.now_s)
        assert all("«" not in line and "{" not in line for line in lines[language])
        assert len(lines[language]) >= 3
    assert lines["en"][0] != lines["es"][0]
    stands(place, plan, told, clock.now_s)
    if kind == "temperature_over":
        assert told.again.runs[0].earliest_s > clock.now_s + 30, (
            "nobody strikes beside a place that was just read too hot"
        )


def stands(place, plan, told, now_s):
    """Every run once, none before now or before what came up is over, chains of the root kept, and never over the limit by the
    plan's own heat, marched here anew."""
    runs = told.again.runs
    assert len({run.number for run in runs}) == len(runs)
    clear = max([now_s, *(t.until_s for t in told.troubles if t.until_s is not None)])
    assert all(run.earliest_s >= clear - 0.5 for run in runs)
    assert all(a.earliest_s < b.earliest_s for a, b in pairwise(runs))
    task, numbers = task_of_plan(plan, place.library)
    own, power = modes(task.ring), told.again.power_1
    where = {n: (k, j) for k, bead in enumerate(numbers) for j, n in enumerate(bead)}
    state, clock = cold(own), None
    for made in made_of(plan, look(place, "J-06", at_s=now_s).state.record):
        if clock is not None:
            state = after_pause(own, state, pause_s=max(made.arc.start_s - clock, 0.0))
        state, clock = (
            with_run(own, state, replace(made.arc, net_power_W=made.arc.net_power_W * power)),
            made.arc.stop_s,
        )
    limit = task.limits.interpass_K - task.ring.ambient_K
    seen = [n for n in where if n not in {run.number for run in runs}]
    for run in runs:
        layer, stretch = where[run.number]
        way = task.layers[layer].ways[0]
        after = way.stretches[stretch].after
        assert after < 0 or numbers[layer][after] in seen
        state = after_pause(own, state, pause_s=run.earliest_s - clock)
        gates = np.linspace(run.from_rad, run.from_rad + run.sweep_rad, 5)
        assert rise_dK(own, state, theta_rad=gates, z_m=task.limits.reading_m).max() <= limit + 0.5
        duration = abs(run.sweep_rad) * task.ring.outer_diameter_m / 2 / way.travel_m_s
        state = with_run(own, state, ArcRun(0.0, duration, run.from_rad, run.sweep_rad, way.power_W * power))
        clock, seen = run.earliest_s + duration, [*seen, run.number]


def test_all_ten_are_told_apart():
    assert len(TEN) == len(TROUBLES) == 10


def test_a_closed_gap_puts_its_runs_last_and_changes_only_them(at_work):
    place, clock, plan = at_work
    gap(place, clock, plan)
    told = replan(place, "J-06", at_s=clock.now_s)
    assert told.fitted is not None and [m.name for m in told.fitted.mends] == ["gap_closed"]
    root = [run.number for run in told.again.runs if plan.run(run.number).pass_number == 1]
    chained = {n for n in root if n >= min(told.fitted.last)}
    late = [n for n in root if n in told.fitted.last]
    assert late and set(root[root.index(late[0]) :]) <= chained, "nothing that could go first comes after it"
    lines = fit_up_said(told.fitted, Speech(words("en").say, "metric", "en"))
    assert any("3:00" in line for line in lines)
    assert all("«" not in line for line in lines)


def test_a_gap_put_right_and_measured_again_is_closed_no_longer(at_work):
    place, clock, plan = at_work
    gap(place, clock, plan)
    tell(place, clock, 550, "fit_up.measured", at_rad="3:00", gap_m="2.4 mm", hi_lo_m="0.2 mm")
    told = replan(place, "J-06")
    assert "gap_closed" not in [trouble.kind for trouble in told.troubles]
    assert told.fitted is not None and told.fitted.mends == ()


def test_nothing_came_up(at_work):
    place, clock, plan = at_work
    told = replan(place, "J-06", at_s=clock.now_s)
    assert told.troubles == () and not told.again.reordered
    assert [run.number for run in told.again.runs] == [run.number for run in plan.runs[2:]]
