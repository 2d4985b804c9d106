"""Parts of a plan by themselves: layers, rods, purge bounds, gas, holds, concerns."""

import pytest

from brightroot.app.declare_joint import declare_joint
from brightroot.planner.passes import plan_passes
from brightroot.planner.plan import make_plan

BASE = {
    "id": "P-1", "metal": "Gr 2", "pipe": "33.4 x 3.38 mm", "position": "5G", "included_angle_rad": "60°",
    "land_m": "0.5 mm", "gap_m": "2.4 mm", "dam_span_m": "300 mm", "vent_diameter_m": "8 mm", "longest_run_m": "500 mm",
}  # fmt: skip


@pytest.fixture(scope="module")
def made(library):
    return lambda **changes: make_plan(declare_joint(BASE | changes, library=library), library=library)


@pytest.fixture(scope="module")
def layers(library):
    return lambda **changes: plan_passes(declare_joint(BASE | changes, library=library), library=library)


@pytest.mark.parametrize(
    "wall, names",
    [("1.65", ["root"]), ("2", ["root", "cap"]), ("3.4", ["root", "cap"]), ("5.54", ["root", "hot", "cap"])],
)
def test_layers_by_wall(layers, wall, names):
    passes, figures = layers(pipe=f"60.3 x {wall} mm")
    assert [p.name for p in passes] == names
    laid = sum(figures[f"passes.{p.number}.layer_area_m2"].value for p in passes)
    assert laid == pytest.approx(figures["groove.area_m2"].value), "the layers fill the groove and no more"


@pytest.mark.parametrize(
    "gap, rod", [("1.6", 0.0016), ("2.39", 0.0016), ("2.4", 0.0024), ("3.2", 0.0032), ("0", 0.0016)]
)
def test_root_rod_goes_into_the_gap(layers, gap, rod):
    assert layers(gap_m=f"{gap} mm")[0][0].rod_diameter_m == rod


def test_purge_bounds_hold_the_fully_mixed_time(made):
    figures = made().figures
    mixed, told = figures["purge.mixed_time_s"].value, figures["purge.time_s"]
    assert told.low < mixed < told.high


def test_twice_the_flow_is_half_the_time_and_the_same_argon(made):
    slow, fast = (made(backing_flow_m3_s=f"{q} L/min").figures for q in (5, 10))
    assert slow["purge.time_s"].value == pytest.approx(2 * fast["purge.time_s"].value)
    assert slow["purge.argon_m3"].value == pytest.approx(fast["purge.argon_m3"].value)


def test_a_feed_that_is_not_known_is_wider(made):
    known, unknown = (made(feed=feed).figures["purge.time_s"] for feed in ("low", "unknown"))
    assert unknown.high - unknown.low >= known.high - known.low


def test_argon_is_the_sum_of_its_circuits(made):
    figures = made().figures
    parts = [figures[f"gas.{name}_m3"].value for name in ("purge", "torch", "trail", "backing")]
    assert figures["gas.argon_m3"].value == pytest.approx(sum(parts))
    assert "gas.trail_m3" not in made(metal="316L").figures, "stainless asks for no trailing shield"


def test_a_heel_leaves_less(made):
    low, high = (made(heel_pressure_Pa=f"{bar} bar").figures["gas.usable_argon_m3"].value for bar in (5, 70))
    assert high < 0.75 * low


def test_holds_and_waits_of_every_run(made):
    plan = made()
    for run in plan.runs:
        hold, wait = (plan.figures[f"runs.{run.number}.{name}"] for name in ("hold_s", "wait_s"))
        assert 0 < hold.low <= hold.value <= hold.high
        assert wait.high >= wait.value >= 0
    assert plan.figures["set_up.post_flow_s"].high >= max(
        plan.figures[f"runs.{r.number}.hold_s"].high for r in plan.runs
    )


def test_a_lower_release_is_held_longer(made):
    warm, cool = (made(release_K=f"{c} °C").figures["runs.1.hold_s"].value for c in (400, 200))
    assert cool > warm


LEVELS = [
    ({"interpass_max_K": "15 °C"}, "block", "concern.never_cool"),
    ({"travel_max_m_s": "6 mm/min", "shield_length_m": "50 mm"}, "block", "concern.shield_short"),
    ({"shield_length_m": "10 mm"}, "block", "concern.shield_short"),
    ({"heat_input_max_J_m": "0.1 kJ/mm"}, "warn", "concern.heat_input"),
    ({"bore_b_m": "20 mm"}, "warn", "concern.bores_differ"),
    ({"reach_a_m": "5 mm"}, "warn", "concern.reach"),
    ({"backing_flow_m3_s": "0.1 L/min"}, "warn", "concern.open_arc_flow"),
    ({"dam_kind": "none"}, "note", "concern.no_dams"),
    ({"closing": "yes"}, "block", "concern.dam_lost"),
]


@pytest.mark.parametrize("changes, level, name", LEVELS)
def test_concerns(made, changes, level, name):
    assert (level, name) in {(c.level, c.name) for c in made(**changes).concerns}
    if name not in ("concern.no_dams",):
        assert name not in {c.name for c in made(shield_length_m="200 mm").concerns}


def test_the_times_add_up_to_the_last_hold(made, library):
    plan = made()
    figures, move_s = plan.figures, library.practice["move_s"].value
    numbers = [run.number for run in plan.runs]
    pauses = [max(figures[f"runs.{n}.wait_s"].value, figures[f"runs.{n}.hold_s"].value + move_s) for n in numbers[:-1]]
    assert figures["time.between_s"].value == pytest.approx(sum(pauses))
    backed = figures["time.arc_s"].value + sum(pauses) + figures["time.tape_s"].value
    backed += figures[f"runs.{numbers[-1]}.hold_s"].value
    assert figures["time.backing_s"].value == pytest.approx(backed)
    assert figures["time.total_s"].value == pytest.approx(backed + figures["purge.time_s"].value)
