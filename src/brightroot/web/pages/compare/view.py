"""Compare: the joint as declared beside what it would be with something else."""

from __future__ import annotations

from typing import Any

from brightroot.app.compare import Comparison, Side, compare
from brightroot.app.fastest_pictures import side_by_side, side_name
from brightroot.app.plan_joint import facts_of_joint, plan_of
from brightroot.app.ports import Place
from brightroot.base.errors import Refused
from brightroot.model.facts import FACTS_BY_NAME
from brightroot.render.drawing import drawing
from brightroot.web.settings import Settings
from brightroot.web.shown import Shown

ROUTE = "/joints/{id}/compare"
TITLE = "compare.title"
# what is worth comparing, in the order of the question
CHOICES = (
    "gap_m", "pipe", "included_angle_rad", "land_m", "dam_span_m", "backing_flow_m3_s", "supply_oxygen_frac", "shield_length_m",
    "interpass_max_K", "longest_run_m", "release_K", "ambient_K", "position",
)  # fmt: skip
COLUMNS, CHANGES = 3, 2


def view(
    place: Place, settings: Settings, *, id: str,
    a1: str = "", v1: str = "", a2: str = "", v2: str = "", b1: str = "", w1: str = "", b2: str = "", w2: str = "",
    c1: str = "", x1: str = "", c2: str = "", x2: str = "",
) -> dict[str, Any]:  # fmt: skip
    """Three columns with two changes each, from the address; without any the form alone."""
    typed = (((a1, v1), (a2, v2)), ((b1, w1), (b2, w2)), ((c1, x1), (c2, x2)))
    shown = Shown(settings)
    plan = plan_of(place, id)
    variants = [changes for column in typed if (changes := {n: v for n, v in column if n and v.strip()})]
    facts = facts_of_joint(place, id)
    context: dict[str, Any] = {
        "plan": plan, "typed": typed, "pickable": tuple((name, FACTS_BY_NAME[name].example) for name in CHOICES), "told": None,
        "names": (("a1", "v1", "a2", "v2"), ("b1", "w1", "b2", "w2"), ("c1", "x1", "c2", "x2")), "facts": facts, "refusal": "",
    }  # fmt: skip
    if not variants:
        return context
    try:
        told = compare(place, id, variants)
    except Refused as refused:
        return {**context, "refusal": shown.refused(refused)}
    return {
        **context, "told": told, "columns": tuple(side_name(side, shown.speech) for side in told.sides),
        "rows": tuple(row for row in told.rows if row.moved), "fast": tuple(_fast(side, shown) for side in told.sides),
        "face": drawing(settings.language, palette="page").face(side_by_side(told, shown.speech)),
        "headline": _headline(told, shown),
    }  # fmt: skip


def _fast(side: Side, shown: Shown) -> tuple[str, str, str, str]:
    """Time, argon, runs of the fastest way; or why there is none."""
    if side.found is None:
        return (shown.refused(side.refused) if side.refused else shown.say("compare.none"), "", "", "")
    return (
        shown.time(side.found.time_s),
        shown.gas(side.found.argon_m3),
        str(side.found.restarts),
        str(len(side.plan.runs)),
    )


def _headline(told: Comparison, shown: Shown) -> str:
    """The joint as it is against the column that differs most."""
    own, *others = (side.plan.figures["time.total_s"].value for side in told.sides)
    most = max(range(len(others)), key=lambda k: abs(others[k] - own))
    what = side_name(told.sides[most + 1], shown.speech)
    return shown.say("compare.answer", time=shown.time(own), other=shown.time(others[most]), what=what)
