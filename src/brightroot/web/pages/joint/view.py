"""The joint and its plan: what it takes, said in the first line, and every figure behind it."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from brightroot.app.pictures import face_of
from brightroot.app.ports import Place
from brightroot.app.work_live import look
from brightroot.model.joint import POSITIONS
from brightroot.model.plan import Plan
from brightroot.render.drawing import drawing
from brightroot.web.settings import Settings
from brightroot.web.shown import Shown, slug

ROUTE = "/joints/{id}"
TITLE = "web.joint.title"
PURGE = (
    "time_s", "argon_m3", "volumes_1", "volume_m3", "vent_target_frac", "in_leak_budget_m3_s", "vent_needed_m", "pressure_Pa",
    "closing_flow_m3_s",
)  # fmt: skip
PASS = ("current_A", "travel_m_s", "heat_input_J_m", "rod_length_m", "rods_count", "face_film_m", "root_film_m")
RUN = ("length_m", "arc_time_s", "reading_peak_K", "hold_s", "wait_s", "hot_length_outer_m")
TOTALS = (
    "time.total_s", "time.arc_s", "time.between_s", "time.tape_s", "gas.argon_m3", "gas.cylinders_count",
    "gas.usable_argon_m3", "groove.deposit_kg", "groove.area_m2", "heat.shield_length_m",
)  # fmt: skip
HEAVY = ("block", "warn", "note")


def view(place: Place, settings: Settings, *, id: str) -> dict[str, Any]:
    """The plan laid out for one person."""
    now = look(place, id)
    plan = now.plan
    shown = Shown(settings)
    family = place.library.families[place.library.alloys[plan.joint.end_a.alloy].family]
    return {
        "plan": plan,
        "advice": now.advice[0],
        "headline": _headline(plan, shown),
        "facts": tuple(_facts(place, plan, shown)),
        "words_rows": tuple(row for row in plan.set_up if row.says),
        "figure_rows": tuple(row for row in plan.set_up if row.figure),
        "concerns": sorted(plan.concerns, key=lambda concern: HEAVY.index(concern.level)),
        "cautions": family.cautions,
        "order": f"order.{slug(POSITIONS[plan.joint.position].order)}",
        "arcs": sorted(plan.arcs, key=lambda arc: arc.order),
        "purge_keys": tuple(f"purge.{name}" for name in PURGE if f"purge.{name}" in plan.figures),
        "pass_names": PASS,
        "run_names": RUN,
        "totals": tuple(key for key in TOTALS if key in plan.figures),
        "ring": drawing(settings.language, palette="page").face(face_of(now, shown.speech)),
    }


def _headline(plan: Plan, shown: Shown) -> dict[str, str]:
    time, gas = plan.figures["time.total_s"], plan.figures["gas.argon_m3"]
    passes, runs = len(plan.passes), len(plan.runs)
    said = shown.say
    spelled = said(f"web.count.{passes}") if 2 <= passes <= 9 else str(passes)
    return {
        "passes": said("web.joint.pass_one") if passes == 1 else said("web.joint.pass_some", count=spelled),
        "runs": said("web.joint.run_one") if runs == 1 else said("web.joint.run_some", count=runs),
        "time": _minutes(time.value),
        "argon": shown.gas(gas.value),
        "spread": said(
            "web.joint.spread",
            time_low=_minutes(time.low),
            time_high=_minutes(time.high),
            gas_low=shown.gas(gas.low),
            gas_high=shown.gas(gas.high),
        ),
    }


def _minutes(seconds: float) -> str:
    """Whole minutes, and hours with them from two hours on."""
    minutes = round(seconds / 60)
    return f"{minutes} min" if minutes < 120 else f"{minutes // 60} h {minutes % 60:02d}"


def _facts(place: Place, plan: Plan, shown: Shown) -> Iterable[tuple[str, str]]:
    joint = plan.joint
    ends = (joint.end_a, joint.end_b)
    sizes = [end.size or f"{end.outer_diameter_m.as_entered} x {end.wall_m.as_entered}" for end in ends]
    yield "metal", " / ".join(dict.fromkeys(place.library.alloys[end.alloy].name for end in ends))
    yield "pipe", " / ".join(dict.fromkeys(sizes))
    yield "position", shown.say(f"fact_choice.{joint.position}")
    yield "included_angle_rad", joint.groove.included_angle_rad.as_entered
    yield "land_m", joint.groove.land_m.as_entered
    yield "gap_m", joint.groove.gap_m.as_entered
    yield "filler", plan.filler
    yield "dam_kind", f"{shown.choice(joint.purge.dam_kind)}, {joint.purge.dam_span_m.as_entered}"
    yield "vent_diameter_m", joint.purge.vent_diameter_m.as_entered
    missing = shown.say("web.not_recorded")
    yield "procedure", joint.procedure.name or missing
    yield "tint_criterion", joint.procedure.tint_criterion or missing
    if joint.procedure.hold_points:
        yield "hold_points", "; ".join(joint.procedure.hold_points)
    if joint.drawing:
        yield "drawing", joint.drawing
