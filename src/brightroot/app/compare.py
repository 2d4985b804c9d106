"""Two or more plans side by side: the same joint with other walls, bevels, gaps, gas, dams, shields or limits."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

from brightroot.app.declare_joint import declare_joint
from brightroot.app.plan_joint import facts_of_joint, plan_of
from brightroot.app.ports import Place
from brightroot.base.errors import Refused
from brightroot.base.formula import Estimate
from brightroot.model.facts import FACTS_BY_NAME
from brightroot.model.joint import Joint
from brightroot.model.library import Library
from brightroot.model.plan import Plan
from brightroot.planner.plan import make_plan
from brightroot.planner.search.feasible import searched
from brightroot.planner.search.task import Found
from brightroot.planner.search.tasks import setting_of

MOST = 4
# what a comparison shows, in this order, where a plan has it
FIGURES = (
    "time.total_s", "time.arc_s", "time.between_s", "gas.argon_m3", "gas.cylinders_1", "purge.time_s", "purge.volume_m3",
    "groove.area_m2", "groove.deposit_kg", "heat.shield_length_m", "cap.width_m",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Side:
    """One column: what was changed (as typed), the plan, and the fastest way that a search finds for it."""

    changes: tuple[tuple[str, str], ...]
    plan: Plan
    found: Found | None
    refused: Refused | None = None


@dataclass(frozen=True, slots=True)
class Row:
    """One figure in every plan; None where a plan has none."""

    key: str
    figures: tuple[Estimate | None, ...]
    moved: bool


@dataclass(frozen=True, slots=True)
class Comparison:
    """The columns, the first of them the joint's own plan, and the figures."""

    sides: tuple[Side, ...]
    rows: tuple[Row, ...]


def compare(place: Place, joint_id: str, variants: Sequence[Mapping[str, str]]) -> Comparison:
    """The joint's plan beside one for each variant of its facts. Raises Refused for a fact that does not exist, for no variant, and
    for more than three."""
    if not 1 <= len(variants) < MOST:
        raise Refused(field="variants", wanted=f"one to {MOST - 1} variants", got=str(len(variants)))
    facts = facts_of_joint(place, joint_id)
    sides = [_own(place, joint_id)]
    for variant in variants:
        unknown = [name for name in variant if name not in FACTS_BY_NAME]
        if unknown or not variant:
            near = tuple(sorted(FACTS_BY_NAME))[:6]
            raise Refused(
                field="variants", wanted="facts of a joint, like gap_m=3 mm", got=", ".join(unknown), near=near
            )
        joint = declare_joint({**facts, **variant}, library=place.library)
        plan, found, refused = _planned(joint, place.library)
        sides.append(Side(tuple(variant.items()), plan, found, refused))
    return Comparison(tuple(sides), tuple(_rows(sides)))


def _own(place: Place, joint_id: str) -> Side:
    plan = plan_of(place, joint_id)
    found, refused = _search(plan.joint, place.library)
    return Side((), plan, found, refused)


def _rows(sides: Sequence[Side]) -> list[Row]:
    rows = []
    for key in FIGURES:
        figures = tuple(side.plan.figures.get(key) for side in sides)
        if any(figures):
            values = {figure.value if figure else None for figure in figures}
            rows.append(Row(key, figures, len(values) > 1))
    return rows


@lru_cache(maxsize=32)
def _planned(joint: Joint, library: Library) -> tuple[Plan, Found | None, Refused | None]:
    return make_plan(joint, library=library), *_search(joint, library)


@lru_cache(maxsize=64)
def _search(joint: Joint, library: Library) -> tuple[Found | None, Refused | None]:
    """The fastest way, or why there is none."""
    try:
        return searched(setting_of(joint, library=library)), None
    except Refused as refused:
        return None, refused
