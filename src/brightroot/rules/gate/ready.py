"""The preparation clock: degreased, oxide off, degreased again; it runs out, and a touch, rain or a shift sets it back."""

from __future__ import annotations

from brightroot.model.record import JointRecord, Seen
from brightroot.rules.gate.bench import Found
from brightroot.rules.gate.known import Bench

WORKS = ("degreased", "oxide removed", "degreased again")
CUTTING = ("brush", "burr", "file", "disc")


def ready_gate(record: JointRecord, bench: Bench, *, now_s: float, valid_s: float) -> Found:
    """Whether the surfaces are still ready for the first arc. Once metal was laid the clock has done its work.

    `valid_s`: how long prepared surfaces keep, which is common practice where the shop sets nothing of its own.
    """
    if record.runs:
        return Found("ready", "open", "", "gate.ready.welded")
    if not record.prepared:
        return _not_prepared(record)
    last = record.prepared[-1]
    if last.data.get("dry") is False:
        return Found("ready", "shut", "surface.prepared", "gate.ready.wet", from_events=(last.event,))
    if record.prepared_s is None:
        return Found("ready", "unknown", "surface.prepared", "gate.ready.not_whole", from_events=(last.event,))
    wrong = _wrong_tool(record, bench)
    if wrong is not None:
        params = (("tool", str(wrong.data["tool"])), ("kept_for", str(wrong.data["kept_for"])))
        return Found("ready", "shut", "surface.prepared", "gate.ready.tool", params, (wrong.event,))
    left_s = record.prepared_s + valid_s - now_s
    if left_s < 0:
        params = (("age_s", f"{now_s - record.prepared_s}"), ("valid_s", f"{valid_s}"))
        return Found("ready", "shut", "surface.prepared", "gate.ready.expired", params, (last.event,))
    return Found("ready", "open", "", "gate.ready.left", (("left_s", f"{left_s}"),), (last.event,))


def _not_prepared(record: JointRecord) -> Found:
    if not record.touches:
        return Found("ready", "unknown", "surface.prepared", "gate.ready.never")
    touch = record.touches[-1]
    params = (("by_what", str(touch.data["by_what"])),)
    return Found("ready", "shut", "surface.prepared", "gate.ready.touched", params, (touch.event,))


def _wrong_tool(record: JointRecord, bench: Bench) -> Seen | None:
    """A cutting tool of another metal, unless all three works were done again after it: what it smeared in stays."""
    used = [
        r for r in record.tools if r.data["tool"] in CUTTING and r.data["kept_for"] not in (bench.family, "not marked")
    ]
    if not used:
        return None
    works = iter(str(row.data["work"]) for row in record.prepared if row.at_s >= used[-1].at_s)
    # each work is looked for after the one before it
    return None if all(work in works for work in WORKS) else used[-1]
