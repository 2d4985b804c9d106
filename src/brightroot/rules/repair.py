"""What to do about a defect: polish, remove, cut out, or ask the engineer; why; how often it was mended; what is due again.

The advice is common practice, no source: whoever may decide decides, and their decision is what is recorded. It never
advises to brush or polish a colour away, and it gives no advice on a surface that was brushed before anybody looked.
"""

from __future__ import annotations

from dataclasses import dataclass

from brightroot.base.clock import apart_rad
from brightroot.model.entry import number_of
from brightroot.model.record import JointRecord, Seen
from brightroot.rules.defects import SAME_PLACE_RAD

MOST_REPAIRS = 2  # at one place before the engineer is asked: common practice, no source
SHALLOW_SHARE = 0.1  # of the wall: what may be blended away where the wall that is left is still enough
PALE = ("silver", "light straw", "dark straw")
BURNT = ("grey", "white")
# removed metal is looked at by penetrant before anything is welded on it
AFTER_REMOVAL = ("penetrant", "visual")


@dataclass(frozen=True, slots=True)
class RepairAdvice:
    """One action with its reason, how often the place was repaired already, and the looks that are due afterwards."""

    action: str  # polish | remove | cut out | ask the engineer
    because: str
    repairs_count: int
    look_again: tuple[str, ...]


def advise_repair(defect: Seen, record: JointRecord, *, wall_m: float) -> RepairAdvice:
    """Advice on one defect as it was found."""
    kind, count = str(defect.data["defect"]), repairs_at(defect, record)
    way = str(defect.data["found_by"])
    again = tuple(dict.fromkeys((way, "visual"))) if way != "visual" else ("visual",)
    if count >= MOST_REPAIRS:
        return RepairAdvice("ask the engineer", "repair.too_often", count, again)
    if kind == "colour":
        return _colour(defect, record, count)
    action, because = _by_kind(kind, defect, wall_m)
    due = tuple(dict.fromkeys((*AFTER_REMOVAL, way))) if action in ("remove", "cut out") else again
    return RepairAdvice(action, because, count, due)


def repairs_at(defect: Seen, record: JointRecord) -> int:
    """How often the place of that defect was repaired: same layer, within about half an hour of the clock."""
    found = {d.event: d for d in record.defects}
    places = [found.get(str(r.data["defect_event"])) for r in record.repairs_made]
    return sum(other is not None and _same_place(defect, other) for other in places)


def _same_place(one: Seen, other: Seen) -> bool:
    here, there = one.data.get("at_rad"), other.data.get("at_rad")
    near = isinstance(here, float) and isinstance(there, float)
    return (
        one.data["in_layer"] == other.data["in_layer"]
        and near
        and apart_rad(one_rad=float(str(here)), other_rad=float(str(there))) <= SAME_PLACE_RAD
    )


def _colour(defect: Seen, record: JointRecord, count: int) -> RepairAdvice:
    """Colour is oxide on the surface and a sign of what lies under it: it is never a thing to be brushed off."""
    number = defect.data.get("run_count")
    run = record.run(int(str(number))) if number else None
    if run is None or not run.tint or run.tint == "not seen":
        because = "repair.brushed_unseen" if run is not None and run.brushed_s is not None else "repair.look_first"
        return RepairAdvice("ask the engineer", because, count, ("visual",))
    if run.tint in PALE:
        return RepairAdvice("ask the engineer", "repair.pale", count, ("visual",))
    if run.tint in BURNT:
        return RepairAdvice("cut out", "repair.burnt", count, AFTER_REMOVAL)
    return RepairAdvice("ask the engineer", "repair.dark", count, ("hardness", "visual"))


def _by_kind(kind: str, defect: Seen, wall_m: float) -> tuple[str, str]:
    depth = number_of(defect.data, "depth_m")
    root = defect.data["in_layer"] == "root"
    if kind in ("crack", "hard spot"):
        return "ask the engineer", f"repair.{kind.replace(' ', '_')}"
    if kind == "burn-through":
        return "cut out", "repair.burn_through"
    if kind in ("lack of fusion", "incomplete penetration", "concavity"):
        deep = depth is None or depth > wall_m / 2
        return ("cut out", "repair.root_deep") if root and deep else ("remove", "repair.not_fused")
    if kind in ("reinforcement", "protrusion"):
        return ("polish", "repair.too_high") if not root else ("ask the engineer", "repair.inside")
    if kind in ("undercut", "porosity", "arc strike"):
        shallow = depth is not None and depth <= SHALLOW_SHARE * wall_m
        return ("polish", "repair.shallow") if shallow else ("remove", "repair.not_shallow")
    return "remove", "repair.inside_metal"
