"""What holds of every plan, whatever the joint: finite, ordered, sourced, repeatable, the same in both unit systems."""

import json
import math

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from brightroot.app.declare_joint import declare_joint
from brightroot.base.formula import FORMULAS
from brightroot.base.source import Standing
from brightroot.library.load import load_library
from brightroot.model.codec import canonical, from_data, to_data
from brightroot.model.plan import Plan
from brightroot.planner.passes import plan_passes
from brightroot.planner.plan import make_plan

FEW = settings(max_examples=6, deadline=None, derandomize=True, suppress_health_check=list(HealthCheck))
LIBRARY = load_library()
BASE = {
    "id": "P-1", "metal": "Gr 2", "pipe": "33.4 x 3.38 mm", "position": "5G", "included_angle_rad": "60°",
    "land_m": "0.5 mm", "gap_m": "2.4 mm", "dam_span_m": "300 mm", "vent_diameter_m": "8 mm", "longest_run_m": "500 mm",
}  # fmt: skip


def joint_of(**changes):
    return declare_joint(BASE | changes, library=LIBRARY)


def plan_of(**changes):
    return make_plan(joint_of(**changes), library=LIBRARY)


@pytest.fixture(scope="session")
def plans():
    """A few plans that differ in everything that changes the shape of a plan."""
    made = [plan_of(position=p) for p in ("1G", "2G", "5G", "6G")]
    made += [plan_of(metal=m, filler="") for m in ("R60702", "316L", "625", "Gr 5")]
    made += [plan_of(pipe=f"60.3 x {wall} mm", land_m="0.5 mm") for wall in (1, 2, 4, 12)]
    made += [plan_of(gap_m="0 mm", included_angle_rad="0°", land_m="0 mm"), plan_of(dam_kind="none", dam_span_m="6 m")]
    made += [plan_of(bore_b_m="20 mm", pipe_b="33.4 x 4.55 mm"), plan_of(travel_max_m_s="6 mm/min")]
    return made


def test_every_position_metal_and_wall_plans(plans):
    for plan in plans:
        assert plan.passes[0].name == "root" and plan.runs and len(plan.tacks) >= 3
        around = math.tau * len([r for p in plan.passes for r in range(p.beads)])
        assert sum(abs(run.sweep_rad) for run in plan.runs) == pytest.approx(around)
        assert [run.number for run in plan.runs] == list(range(1, len(plan.runs) + 1))


def test_every_figure_is_finite_and_ordered(plans):
    for plan in plans:
        for key, figure in plan.figures.items():
            ends = (figure.low, figure.value, figure.high)
            assert all(math.isfinite(x) for x in ends), key
            assert figure.low <= figure.value <= figure.high, (key, ends)
            assert plan.figures[figure.key] == figure, key


def test_every_figure_names_a_registered_formula_with_a_kept_source(plans):
    for plan in plans:
        for key, figure in plan.figures.items():
            if figure.formula:
                assert figure.formula in FORMULAS, key
                assert FORMULAS[figure.formula].source in LIBRARY.sources, key
            else:
                assert figure.inputs or key == "heat.half_length_m" or key.endswith(".length_m"), key


def test_every_input_opens_to_where_it_came_from(plans):
    for plan in plans:
        for key, figure in plan.figures.items():
            for row in figure.inputs:
                assert isinstance(row.standing, Standing)
                if row.origin == "typed":
                    assert row.ref.strip(), (key, row)
                elif row.origin == "exact":
                    assert row.ref == "" and row.low == row.value == row.high, (key, row)
                else:
                    known = row.ref in plan.figures or row.ref in LIBRARY.sources or row.ref in FORMULAS
                    assert known, (key, row)


def test_every_step_and_concern_points_into_the_plan(plans):
    for plan in plans:
        numbers = {run.number for run in plan.runs}
        assert {step.run for step in plan.steps} - {0} == numbers
        for concern in plan.concerns:
            assert concern.level in ("note", "warn", "block")
            assert set(concern.figures) <= set(plan.figures), concern
        for row in plan.set_up:
            assert not row.figure or row.figure in plan.figures


def test_a_plan_reads_back_equal_from_its_bytes(plans):
    for plan in plans:
        stored = canonical(to_data(plan))
        again = from_data(json.loads(stored), Plan)
        assert again == plan
        assert canonical(to_data(again)) == stored


def test_the_same_joint_gives_the_same_bytes(plans):
    assert canonical(to_data(plan_of(position="5G"))) == canonical(to_data(plans[2]))


@FEW
@given(
    gap_mm=st.floats(0.0, 3.0), more_mm=st.floats(0.05, 0.2), angle=st.integers(0, 100),
    wall_mm=st.floats(1.0, 6.0), land=st.floats(0.0, 1.0),
)  # fmt: skip
def test_a_wider_gap_takes_more_metal(gap_mm, more_mm, angle, wall_mm, land):
    def grams(gap):
        joint = joint_of(
            gap_m=f"{gap:.4f} mm", included_angle_rad=f"{angle}°", land_m=f"{land * wall_mm:.4f} mm",
            pipe=f"60.3 x {wall_mm:.4f} mm",
        ) if land * wall_mm <= 5 else None  # fmt: skip
        if joint is None:
            return None
        _, figures = plan_passes(joint, library=LIBRARY)
        bare = figures.get("groove.bare_deposit_kg")  # a shut square groove has none
        return bare.value if bare else 0.0, figures["groove.deposit_kg"].value

    one, other = grams(gap_mm), grams(gap_mm + more_mm)
    if one and other:
        assert other[0] > one[0] and other[1] > one[1]


@FEW
@given(
    od_mm=st.sampled_from([21.3, 33.4, 48.3]), wall_mm=st.floats(1.0, 4.0), gap_mm=st.floats(0.0, 3.0),
    position=st.sampled_from(["1G", "2G", "5G", "6G"]),
)  # fmt: skip
def test_metric_and_inch_entry_give_one_plan(od_mm, wall_mm, gap_mm, position):
    def entered(unit, per_mm):
        sizes = {"gap_m": gap_mm, "dam_span_m": 300.0, "vent_diameter_m": 8.0, "land_m": 0.5, "longest_run_m": 500.0}
        typed = {name: f"{value * per_mm:.9f} {unit}" for name, value in sizes.items()}
        pipe = f"{od_mm * per_mm:.9f} {unit} OD x {wall_mm * per_mm:.9f} {unit}"
        return plan_of(**typed, pipe=pipe, position=position)

    metric, inch = entered("mm", 1.0), entered("in", 1 / 25.4)
    assert set(metric.figures) == set(inch.figures)
    assert [(r.number, r.arc) for r in metric.runs] == [(r.number, r.arc) for r in inch.runs]
    for key, figure in metric.figures.items():
        other = inch.figures[key]
        for one, two in zip((figure.low, figure.value, figure.high), (other.low, other.value, other.high), strict=True):
            assert two == pytest.approx(one, rel=1e-3, abs=1e-9), key
