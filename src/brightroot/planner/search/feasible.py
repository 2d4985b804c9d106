"""Limits that no plan can meet: which, by how much, and the nearest that one could."""

from __future__ import annotations

from dataclasses import dataclass, replace

from brightroot.base.errors import Refused, gathered
from brightroot.base.show import show
from brightroot.planner.choose import chosen, family_cells
from brightroot.planner.purge import plan_purge
from brightroot.planner.search.search import Progress, Stuck, search
from brightroot.planner.search.task import Effort, Found, Limits, Task
from brightroot.planner.search.tasks import Setting, setting_of
from brightroot.planner.search.ways import root_arcs

OVER_AIR_DK = 2.0  # a pipe comes no nearer to the air in hours
STEPS = 12
LEAST_HOT_M, MOST_SHIELD_1, MOST_INTERPASS_1 = 0.012, 30.0, 8.0


@dataclass(frozen=True, slots=True)
class Shortfall:
    """A limit that cannot be kept: the field that states it, what it is, what would just do, both as numbers of `name`."""

    field: str
    name: str  # numeric name, for its unit
    limit: float
    nearest: float

    @property
    def by(self) -> float:
        """How far the limit is from what would do."""
        return abs(self.nearest - self.limit)


def searched(setting: Setting, *, effort: Effort | None = None, progress: Progress = lambda done, of: None) -> Found:
    """The best plan. Raises Refused naming each limit that no plan keeps, by how much, and the nearest that one does."""
    short = shortfalls(setting)
    if short:
        raise refused_by(short)
    try:
        return search(setting.task, effort=effort, progress=progress)
    except Stuck as stuck:
        raise refused_by(_found_short(setting, stuck)) from stuck


def refused_by(short: tuple[Shortfall, ...]) -> Refused:
    """The shortfalls as one refusal."""
    made = []
    for one in short:
        limit, nearest = (show(x, name=one.name, system="metric", both=False) for x in (one.limit, one.nearest))
        by = show(
            one.by,
            name=one.name.replace("_K", "_dK") if one.name.endswith("_K") else one.name,
            system="metric",
            both=False,
        )
        params = {"limit": limit, "nearest": nearest, "by": by}
        made.append(Refused(one.field, nearest, limit, reason=f"refused.limit.{one.field}", params=params))
    return gathered(made)


def shortfalls(setting: Setting) -> tuple[Shortfall, ...]:
    """What can be told without a search: interpass under the air's temperature, ways over the heat input, air in an open arc."""
    task, joint, cells = setting.task, setting.joint, family_cells(setting.joint, setting.library)
    found = []
    air = task.ring.ambient_K
    if task.limits.interpass_K is not None and task.limits.interpass_K <= air:
        found.append(Shortfall("interpass_max_K", "interpass_max_K", task.limits.interpass_K, air + OVER_AIR_DK))
    heat = joint.procedure.heat_input_max_J_m
    if heat is not None and any(not layer.ways for layer in task.layers):
        found.append(Shortfall("heat_input_max_J_m", "heat_input_J_m", heat.value, _least_heat_input(setting)))
    flow = chosen(joint.purge.backing_flow_m3_s, cells["backing_flow_m3_s"])
    arcs = root_arcs(joint, setting.library, setting.arcs)[0]
    figures, _ = plan_purge(joint, library=setting.library, arcs=arcs)
    needed = max((f.value for arc in arcs if (f := figures.get(f"arcs.{arc.name}.backing_flow_m3_s"))), default=0.0)
    if needed > flow.value * (1 + 1e-9) and joint.purge.backing_flow_m3_s is not None:
        found.append(Shortfall("backing_flow_m3_s", "backing_flow_m3_s", flow.value, needed))
    return tuple(found)


def _least_heat_input(setting: Setting) -> float:
    open_ways = setting_of(setting.joint, library=setting.library, without=("heat_input",)).task
    return max(min(way.heat_input_J_m for way in layer.ways) for layer in open_ways.layers)


def _found_short(setting: Setting, stuck: Stuck) -> tuple[Shortfall, ...]:
    """Which limit a search died of: the one that, loosened alone, lets a plan through, and by how little."""
    task = setting.task
    shield, limit, air = task.limits.hot_length_m, task.limits.interpass_K, task.ring.ambient_K
    if shield is not None:
        # a shield shorter than its own allowance covers nothing: anything over that is looked at
        least = _loosened(task, "hot_length_m", max(shield, LEAST_HOT_M), MOST_SHIELD_1)
        if least is not None:
            allowance = family_cells(setting.joint, setting.library)["shield_allowance_m"].value
            return (Shortfall("shield_length_m", "shield_length_m", shield + allowance, least + allowance),)
    if limit is not None:
        least = _loosened(task, "interpass_K", limit - air, MOST_INTERPASS_1, add=air)
        if least is not None:
            return (Shortfall("interpass_max_K", "interpass_max_K", limit, least + air),)
    raise Refused(
        field="limits", wanted="limits that the rest can keep", got=f"layer {stuck.layer + 1}", reason="refused.stuck"
    ) from stuck


def _loosened(task: Task, name: str, value: float, most_1: float, *, add: float = 0.0) -> float | None:
    """The least value, up to so many times the limit, with which a plan comes through."""

    def comes_through(to: float) -> bool:
        limits: Limits = replace(task.limits, **{name: to + add})  # type: ignore[arg-type]
        try:
            search(replace(task, limits=limits), effort=Effort(1, 1, 99, 2))
        except Stuck:
            return False
        return True

    low, high = value, value * 1.25
    while not comes_through(high):
        if high > value * most_1:
            return None
        low, high = high, high * 1.25
    for _ in range(STEPS):
        if high - low < 0.01 * high:
            break
        middle = 0.5 * (low + high)
        low, high = (low, middle) if comes_through(middle) else (middle, high)
    return high
