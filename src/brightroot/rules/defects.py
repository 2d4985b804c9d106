"""Facts of defects, of what radiographs and hardness testers showed, and of what became of each place.

A defect stands until it is repaired and looked at again, or accepted by somebody with the right to. A repair without a
second look proves nothing, and neither does a report that could not be read.
"""

from __future__ import annotations

from collections.abc import Callable

from brightroot.base.clock import apart_rad, show_clock
from brightroot.model.entry import number_of, reading_of
from brightroot.model.record import JointRecord, Seen
from brightroot.rules.fact import Fact

# found by eye; what a clause on visual examination calls them
LOOKED = {"porosity": "surface porosity", "protrusion": "internal protrusion"}
BY_EYE = ("visual", "camera", "penetrant")
# no clause here gives them a size: somebody has to decide each
TO_DECIDE = ("tungsten inclusion", "rounded indication", "burn-through", "arc strike", "colour", "hard spot")
RADIOGRAPHED = ("linear indication", "tungsten inclusion")
SAME_PLACE_RAD = 0.26  # about half an hour of the clock
SCALES = ("HV", "HRB", "HK")
MAY_ACCEPT = ("engineer", "owner")


def defect_facts(record: JointRecord) -> tuple[Fact, ...]:
    """Everything that clauses on radiographs, hardness, bends and repairs ask."""
    return (
        *_radiographs(record),
        *(fact for scale in SCALES for fact in _hardness(record, scale)),
        Fact("bends_tested", bool(record.bends), from_events=tuple(b.event for b in record.bends)),
        Fact("bend_opening_m", each=tuple(_opening(row) for row in record.bends), asks="ask.bend"),
        Fact("defects_to_decide_count", float(len(_to_decide(record)))),
        Fact(
            "defect_decided", each=tuple(_decided(row, record) for row in _to_decide(record)), asks="ask.decide_defect"
        ),
        Fact("repairs_made_count", float(len(record.repairs_made))),
        Fact(
            "repair_decided", each=tuple(_before(row, record) for row in record.repairs_made), asks="ask.decide_defect"
        ),
        Fact("repair_looked_at", each=tuple(_after(row, record) for row in record.repairs_made), asks="ask.look_again"),
        Fact("repairs_at_place_count", each=tuple(_count(row, record) for row in record.repairs_made)),
    )


def repaired(record: JointRecord) -> frozenset[str]:
    """Entries whose place was repaired: they say no more what is there."""
    return frozenset(str(row.data["defect_event"]) for row in record.repairs_made)


def last_repair_s(record: JointRecord) -> float:
    """When metal was last taken off or laid again by a repair."""
    return max((row.at_s for row in record.repairs_made), default=float("-inf"))


def found_by_eye(record: JointRecord, item: str) -> list[Seen]:
    """Defects of that item that were seen and still stand."""
    gone = repaired(record)
    return [
        row
        for row in record.defects
        if LOOKED.get(str(row.data["defect"]), row.data["defect"]) == item
        and row.data["found_by"] in BY_EYE
        and row.event not in gone
    ]


def _radiographs(record: JointRecord) -> tuple[Fact, ...]:
    reports = [row for row in record.nde if row.data["nde"] == "radiography"]
    told = Fact("radiographed", bool(reports), from_events=tuple(r.event for r in reports))
    gone = repaired(record)
    found = [
        d for d in record.defects
        if d.data["found_by"] == "radiography" and d.data["defect"] in RADIOGRAPHED and d.event not in gone
    ]  # fmt: skip
    last = reports[-1] if reports else None
    current = last is not None and last.at_s >= last_repair_s(record)
    sure = current and last is not None and (
        last.data["finding"] == "nothing reportable" or (last.data["finding"] == "indications" and bool(found))
    )  # fmt: skip
    events = tuple(row.event for row in (found or reports[-1:]))
    lengths, widths = ([number_of(d.data, n) for d in found] for n in ("length_m", "width_m"))
    return (
        told,
        _largest("linear_length_m", lengths, events, sure),
        _largest("linear_width_m", widths, events, sure),
        _total("linear_total_m", lengths, events, sure),
    )


def _largest(name: str, sizes: list[float | None], events: tuple[str, ...], sure: bool) -> Fact:
    known = [s for s in sizes if s is not None]
    worst = max(known, default=0.0)
    if not sure or len(known) < len(sizes):
        return Fact(name, None, from_events=events, low=worst if known else None, asks="ask.radiograph")
    return Fact(name, worst, "" if sizes else "nothing reportable", events)


def _total(name: str, sizes: list[float | None], events: tuple[str, ...], sure: bool) -> Fact:
    """All together is the most that any stretch can hold, the longest single one the least."""
    known = [s for s in sizes if s is not None]
    longest = max(known, default=None)
    if not sure or len(known) < len(sizes):
        return Fact(name, None, from_events=events, low=longest, asks="ask.radiograph")
    return Fact(name, sum(known), "" if sizes else "nothing reportable", events, low=longest or 0.0, high=sum(known))


def _hardness(record: JointRecord, scale: str) -> tuple[Fact, Fact]:
    """How much harder weld and heat-affected zone are than the base metal, on one scale; the scales never mix."""
    rows = [row for row in record.hardness if row.data["scale"] == scale]
    base = [float(str(row.data["hardness_1"])) for row in rows if row.data["zone"] == "base"]
    welded = [row for row in rows if row.data["zone"] != "base"]
    each = tuple(_harder(row, base, scale) for row in welded)
    measured = Fact(f"hardness_measured_{scale}", bool(rows), from_events=tuple(row.event for row in rows))
    return measured, Fact(f"harder_by_{scale}_1", each=each, asks="ask.hardness")


def _harder(row: Seen, base: list[float], scale: str) -> Fact:
    name, value, zone = f"harder_by_{scale}_1", float(str(row.data["hardness_1"])), str(row.data["zone"])
    if not base:
        return Fact(name, from_events=(row.event,), where=zone, asks="ask.hardness")
    mean = sum(base) / len(base)
    text = f"{value:g} {scale}, base {mean:g}"
    return Fact(name, value - mean, text, (row.event,), value - max(base), value - min(base), where=zone)


def _opening(row: Seen) -> Fact:
    found = reading_of(row.data, "opening_m")
    where = f"{row.data['specimen']} bend"
    if found is None:
        return Fact("bend_opening_m", from_events=(row.event,), where=where, asks="ask.bend")
    return Fact("bend_opening_m", found.value, found.as_entered, (row.event,), where=where, unit=found.unit)


def _to_decide(record: JointRecord) -> tuple[Seen, ...]:
    return tuple(row for row in record.defects if row.data["defect"] in TO_DECIDE)


def _decided(row: Seen, record: JointRecord) -> Fact:
    """`repaired`, `accepted` by an engineer or the owner, or nothing yet."""
    where = f"{row.data['defect']} at {_clock(row)}"
    mended = [r for r in record.repairs_made if r.data["defect_event"] == row.event]
    if mended:
        return Fact("defect_decided", "repaired", from_events=(row.event, mended[-1].event), where=where)
    said = [d for d in record.repairs_decided if d.data["defect_event"] == row.event]
    if said and said[-1].data["action"] == "accept" and said[-1].data["role"] in MAY_ACCEPT:
        return Fact("defect_decided", "accepted", from_events=(row.event, said[-1].event), where=where)
    return Fact("defect_decided", from_events=(row.event,), where=where, asks="ask.decide_defect")


def _before(row: Seen, record: JointRecord) -> Fact:
    """Whether somebody had decided on the repair before it was made."""
    said = [
        d for d in record.repairs_decided if d.data["defect_event"] == row.data["defect_event"] and d.at_s <= row.at_s
    ]
    events = (row.event, *(d.event for d in said[-1:]))
    return Fact(
        "repair_decided", bool(said) or None, from_events=events, where=_where(row, record), asks="ask.decide_defect"
    )


def _after(row: Seen, record: JointRecord) -> Fact:
    """Whether the place was looked at again, by the way in which it was found."""
    defect = next((d for d in record.defects if d.event == row.data["defect_event"]), None)
    way = str(defect.data["found_by"]) if defect else "visual"
    again = [r for r in _looks(way, record) if r.at_s > row.at_s]
    events = (row.event, *(r.event for r in again[:1]))
    return Fact(
        "repair_looked_at", bool(again) or None, from_events=events, where=_where(row, record), asks="ask.look_again"
    )


def _looks(way: str, record: JointRecord) -> tuple[Seen, ...]:
    ways: dict[str, Callable[[], tuple[Seen, ...]]] = {
        "radiography": lambda: tuple(r for r in record.nde if r.data["nde"] == "radiography"),
        "ultrasonics": lambda: tuple(r for r in record.nde if r.data["nde"] == "ultrasonics"),
        "penetrant": lambda: tuple(r for r in record.nde if r.data["nde"] == "penetrant"),
        "hardness": lambda: record.hardness,
        "bend": lambda: record.bends,
    }
    return ways.get(way, lambda: (*record.visual, *record.roots))()


def _count(row: Seen, record: JointRecord) -> Fact:
    """How often this place has been repaired by now."""
    place = _place(row, record)
    near = [
        r
        for r in record.repairs_made
        if r.at_s <= row.at_s and place is not None and (other := _place(r, record)) is not None
        and other[0] == place[0] and apart_rad(one_rad=other[1], other_rad=place[1]) <= SAME_PLACE_RAD
    ]  # fmt: skip
    events = tuple(r.event for r in near) or (row.event,)
    return Fact(
        "repairs_at_place_count", float(len(near)) if near else None, from_events=events, where=_where(row, record)
    )


def _place(row: Seen, record: JointRecord) -> tuple[str, float] | None:
    """Layer and clock position of the defect that a repair was made on."""
    defect = next((d for d in record.defects if d.event == row.data["defect_event"]), None)
    at_rad = defect.data.get("at_rad") if defect else None
    return (str(defect.data["in_layer"]), at_rad) if defect and isinstance(at_rad, float) else None


def _where(row: Seen, record: JointRecord) -> str:
    defect = next((d for d in record.defects if d.event == row.data["defect_event"]), None)
    return f"{defect.data['defect']} at {_clock(defect)}" if defect else str(row.data["defect_event"])


def _clock(row: Seen) -> str:
    at_rad = row.data.get("at_rad")
    return show_clock(at_rad) if isinstance(at_rad, float) else "?"
