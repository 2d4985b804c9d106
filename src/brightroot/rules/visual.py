"""Facts of the finished weld as looked at and measured.

`none` counts when it speaks for the whole way round (no clock position) and was said after the last arc or repair. What
was seen stands until its entry is withdrawn or its place repaired: a better look alone does not undo a worse one.
"""

from __future__ import annotations

from dataclasses import dataclass

from brightroot.model.entry import number_of, reading_of
from brightroot.model.joint import Joint
from brightroot.model.plan import Plan
from brightroot.model.record import JointRecord, Seen
from brightroot.rules.defects import found_by_eye, last_repair_s, repaired
from brightroot.rules.fact import Fact
from brightroot.rules.moments import last_arc_s, last_root_arc_s

INSIDE = ("incomplete penetration", "internal protrusion", "concavity")
SAME_PLACE_RAD = 0.01


@dataclass(frozen=True, slots=True)
class _Looks:
    """The entries of one item: what was found, the looks all round that found nothing, and whether any is current."""

    found: tuple[Seen, ...]
    clear: tuple[Seen, ...]
    current: bool


def visual_facts(record: JointRecord, plan: Plan | None, joint: Joint | None) -> tuple[Fact, ...]:
    """One fact for each thing that a visual examination reports."""
    concavity = _looks(record, plan, "concavity", "concavity_m")
    reinforcement = _looks(record, plan, "reinforcement")
    penetration = _looks(record, plan, "incomplete penetration")
    return (
        _words("crack", _looks(record, plan, "crack")),
        _words("lack_of_fusion", _looks(record, plan, "lack of fusion")),
        _words("surface_porosity", _looks(record, plan, "surface porosity")),
        _depth("incomplete_penetration_depth_m", penetration),
        _length("incomplete_penetration_length_m", penetration),
        _depth("undercut_depth_m", _looks(record, plan, "undercut")),
        _depth("reinforcement_height_m", reinforcement),
        _depth("protrusion_height_m", _looks(record, plan, "internal protrusion", "protrusion_m")),
        _depth("concavity_depth_m", concavity),
        _thickness(joint, concavity, reinforcement),
        _depth("hi_lo_m", _looks(record, plan, "hi-lo")),
    )


def _looks(record: JointRecord, plan: Plan | None, item: str, root_name: str = "") -> _Looks:
    off_s = last_root_arc_s(record, plan) if item in INSIDE else last_arc_s(record.runs)
    gone = repaired(record)
    rows = [row for row in record.visual if row.data.get("item") == item and row.event not in gone]
    found = [row for row in rows if row.data.get("seen") == "seen"] + found_by_eye(record, item)
    if root_name:
        found += [look for look in record.roots if root_name in look.data]
    clear = [row for row in rows if row.data.get("seen") == "none" and "at_rad" not in row.data]
    if off_s is None:
        return _Looks(tuple(found), (), False)
    off_s = max(off_s, last_repair_s(record))
    clear = [row for row in clear if row.at_s >= off_s]
    return _Looks(tuple(found), tuple(clear), bool(clear) or any(row.at_s >= off_s for row in found))


def _words(name: str, looks: _Looks) -> Fact:
    if looks.found:
        return Fact(name, "seen", from_events=tuple(row.event for row in looks.found))
    if looks.clear:
        return Fact(name, "none", from_events=tuple(row.event for row in looks.clear))
    return Fact(name, asks="ask.look_all_round")


def _size(row: Seen, *names: str) -> tuple[float, str] | None:
    for name in names:
        value = number_of(row.data, name)
        if value is not None:
            reading = reading_of(row.data, name)
            return value, reading.as_entered if reading else ""
    return None


def _depth(name: str, looks: _Looks) -> Fact:
    """The worst depth measured. One that was seen and not measured leaves the worst open above what is known."""
    sizes = [(_size(row, "depth_m", "protrusion_m", "concavity_m"), row) for row in looks.found]
    known = sorted((s for s, _ in sizes if s is not None), reverse=True)
    events = tuple(row.event for row in (looks.found or looks.clear))
    if not looks.found:
        asks = "" if looks.clear else "ask.look_all_round"
        return Fact(name, None if asks else 0.0, "" if asks else "none", events, asks=asks)
    worst, text = known[0] if known else (None, "")
    if len(known) < len(sizes):
        return Fact(name, None, text or "seen", events, low=worst, asks="ask.measure_depth")
    if not looks.current:
        return Fact(name, None, text, events, low=worst, asks="ask.look_again")
    return Fact(name, worst, text, events)


def _length(name: str, looks: _Looks) -> Fact:
    """Total length all round, which is the most, and the longest single one, the least, that any stretch can hold."""
    sizes = [_size(row, "length_m") for row in looks.found]
    known = [size[0] for size in sizes if size is not None]
    events = tuple(row.event for row in (looks.found or looks.clear))
    if not looks.found:
        asks = "" if looks.clear else "ask.look_all_round"
        return Fact(name, None if asks else 0.0, "" if asks else "none", events, asks=asks)
    longest = max(known, default=None)
    if len(known) < len(sizes) or not looks.current:
        return Fact(name, None, "seen", events, low=longest, asks="ask.measure_length")
    return Fact(name, sum(known), "", events, low=longest, high=sum(known))


def _thickness(joint: Joint | None, concavity: _Looks, reinforcement: _Looks) -> Fact:
    """Wall plus reinforcement less concavity at the thinnest place where both were measured."""
    name, depth = "joint_thickness_m", _depth("concavity_depth_m", concavity)
    if joint is None or depth.number is None:
        return Fact(name, from_events=depth.from_events, asks=depth.asks or "ask.joint")
    wall_m = min(joint.end_a.wall_m.value, joint.end_b.wall_m.value)
    if depth.number == 0:
        return Fact(name, wall_m, "no concavity", depth.from_events)
    pairs = [_beside(row, reinforcement) for row in concavity.found]
    heights = [height for height, _ in pairs if height is not None]
    events = (*depth.from_events, *(event for _, event in pairs if event))
    if len(heights) < len(pairs):
        return Fact(name, None, depth.entered, events, asks="ask.reinforcement_there")
    thinnest = min(h - s[0] for h, s in zip(heights, map(_hollow, concavity.found)) if s is not None)
    return Fact(name, wall_m + thinnest, "", events)


def _hollow(row: Seen) -> tuple[float, str] | None:
    return _size(row, "depth_m", "concavity_m")


def _beside(row: Seen, reinforcement: _Looks) -> tuple[float | None, str]:
    """The reinforcement measured at the same clock position, and its event."""
    at_rad = row.data.get("at_rad")
    for other in reinforcement.found:
        there, size = other.data.get("at_rad"), _size(other, "depth_m")
        same = isinstance(at_rad, float) and isinstance(there, float) and abs(at_rad - there) <= SAME_PLACE_RAD
        if same and size is not None:
            return size[0], other.event
    return None, ""
