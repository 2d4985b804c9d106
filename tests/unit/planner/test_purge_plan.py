"""The purge's plan: split of the flow, wind, dams side by side and their heat, what a stop of the gas costs."""

import pytest

from brightroot.app.declare_joint import declare_joint
from brightroot.app.plan_joint import plan_facts
from brightroot.cli.demo import LARGE, SMALL, facts
from brightroot.planner.purge_stop import plan_stop

HEAVY = {"metal": "Gr 2", "pipe": "88.9 x 11.13 mm", "dam_span_m": "100 mm"}


@pytest.fixture(scope="module")
def planned(library):
    from brightroot.app.ports import Place
    from brightroot.store.logs import memory_store

    made = Place(library, memory_store(), lambda: 0.0)
    return lambda **more: plan_facts(made, facts("J-05", **{"position": "5G", "pipe": LARGE, **more}))


@pytest.fixture(scope="module")
def plan(planned):
    return planned()


def names(plan):
    return {concern.name for concern in plan.concerns}


def test_vent_and_arc_share_the_flow_by_area(plan):
    figure = plan.figures
    vent = figure["purge.vent_area_m2"].value
    for arc in plan.arcs:
        gap, share = figure[f"arcs.{arc.name}.open_area_m2"].value, figure[f"arcs.{arc.name}.gap_share_frac"].value
        assert share == pytest.approx(gap / (gap + vent))
        needed, least = figure[f"arcs.{arc.name}.backing_flow_m3_s"], figure[f"arcs.{arc.name}.least_flow_m3_s"]
        assert needed.value == pytest.approx(least.value / share)
        assert figure[f"arcs.{arc.name}.open_pressure_Pa"].value < figure["purge.pressure_Pa"].value


def test_an_arc_at_the_side_wants_more_than_one_at_the_top(plan):
    """Clock position: the top arc has the least height under it, the side ones the most."""
    by_name = {a.name: plan.figures[f"arcs.{a.name}.flooding_flow_m3_s"].value for a in plan.arcs}
    top = next(a.name for a in plan.arcs if a.from_rad > 5.0)
    sides = [a.name for a in plan.arcs if 0.5 < a.from_rad < 1.0]
    assert sides and all(by_name[side] > 2 * by_name[top] for side in sides)


def test_a_wide_vent_starves_the_arc_and_is_said(planned):
    few = {"backing_flow_m3_s": "5 L/min", "vent_diameter_m": "25 mm"}
    assert "concern.open_arc_flow" in names(planned(**few))
    assert "concern.open_arc_flow" not in names(planned())


def test_a_trickle_is_turned_by_a_draught(planned):
    assert "concern.open_arc_wind" in names(planned(backing_flow_m3_s="4 L/min"))


def test_dams_lie_side_by_side_and_a_whole_run_costs_more(plan):
    figure = plan.figures
    kinds = ("foam", "film", "plug", "inflatable", "none")
    litres = {k: figure[f"dams.{k}.volume_m3"].value for k in kinds}
    assert len({litres[k] for k in kinds[:4]}) == 1
    assert litres["none"] > 5 * litres["foam"]
    assert figure["dams.foam.time_s"].value == pytest.approx(figure["purge.time_s"].value)
    assert {k: figure[f"dams.{k}.out_count"].value for k in kinds} == {
        "foam": 2, "film": 0, "plug": 2, "inflatable": 2, "none": 0,
    }  # fmt: skip
    assert figure["purge.out_count"].value == 2
    assert figure["dams.film.limit_K"].standing == "published" and figure["dams.foam.limit_K"].standing == "practice"


def test_without_dams_the_run_as_stated_is_the_whole(planned):
    figure = planned(dam_kind="none", dam_span_m="8 m").figures
    assert figure["dams.none.volume_m3"].value == pytest.approx(figure["purge.volume_m3"].value)
    assert figure["dams.foam.volume_m3"].value < figure["dams.none.volume_m3"].value


def test_a_dam_too_near_thick_hot_metal_is_said_and_told_how_far(planned):
    plan = planned(pipe=HEAVY, longest_run_m="150 mm")
    figure = plan.figures
    assert figure["dams.peak_K"].high > figure["dams.foam.limit_K"].value
    (concern,) = [c for c in plan.concerns if c.name == "concern.dam_hot"]
    assert concern.level in ("warn", "block")
    assert figure["dams.foam.nearest_m"].value > 0.05
    assert figure["dams.film.nearest_m"].value < figure["dams.foam.nearest_m"].value
    assert "concern.dam_hot" not in names(planned(pipe=SMALL))


def test_a_longer_stop_costs_more_and_an_open_arc_most(library, plan):
    joint = declare_joint(facts("J-05", position="5G", pipe=LARGE), library=library)
    short, long = (plan_stop(joint, library=library, figures=plan.figures, stop_s=60 * m) for m in (2, 20))
    for name in ("taped", "open"):
        assert short[f"pause.{name}.oxygen_frac"].value < long[f"pause.{name}.oxygen_frac"].value
        assert short[f"pause.{name}.time_s"].value < long[f"pause.{name}.time_s"].value
        assert long[f"pause.{name}.time_s"].low >= 0.0
    assert long["pause.open.oxygen_frac"].value > long["pause.taped.oxygen_frac"].value
    assert long["pause.open.oxygen_frac"].high <= 0.20946 + 1e-9


def test_without_a_gap_no_arc_floods_and_only_the_taped_stop_is_told(library, planned):
    plan = planned(gap_m="0 mm", land_m="1 mm")
    assert not any(key.startswith("pause.open") for key in plan.figures)
    assert "pause.taped.time_s" in plan.figures


def test_the_figures_are_the_plans_own_and_open_to_their_inputs(plan):
    for key in ("dams.peak_K", "dams.none.time_s", "pause.open.oxygen_frac", "arcs.A.wind_m_s"):
        figure = plan.figures[key]
        assert figure.key == key and figure.formula and figure.inputs
