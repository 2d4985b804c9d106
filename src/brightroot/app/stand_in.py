"""A stand-in at the pipe: it does what the advice says and records invented readings. For the demo, practice and tests.

Nothing it writes is evidence; whatever it works on must be called simulated wherever it is shown.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

from brightroot.app.ports import Place
from brightroot.app.work_live import Now, look, record
from brightroot.base.clock import show_clock
from brightroot.base.instant import utc_of
from brightroot.model.advice import Advice

# seconds that each kind of step takes a practised pair of hands; invented
SECONDS = {
    "surface.prepared": 240,
    "fit_up.measured": 20,
    "dam.placed": 90,
    "tape.closed": 120,
    "tack.made": 60,
    "tack.cut": 60,
}
STAMPS = {"inspector": "E-04", "welder": "W-07"}


def work(
    place: Place,
    joint_id: str,
    *,
    start_s: float,
    by: str,
    until: Callable[[Now], bool] = lambda now: False,
    most: int = 2000,
) -> float:
    """Follow the advice from `start_s` until nothing is left or `until` says so; the time at which it stopped."""
    at_s = start_s
    for _ in range(most):
        now = look(place, joint_id, at_s=at_s)
        advice = now.advice[0]
        if not advice.event or until(now):
            return at_s
        at_s += _seconds(advice, at_s)
        record(place, joint_id, advice.event, facts_for(advice, now), by=by, at_utc=utc_of(at_s))
    return at_s


def _seconds(advice: Advice, at_s: float) -> float:
    """Waits and holds last until the countdown's late end; an arc as long as its forecast; the rest as practised."""
    if advice.event == "arc.stopped" and advice.number:
        return advice.number.value
    late = (
        advice.until_s[2] - at_s + 1
        if advice.until_s and advice.event in ("shield.lifted", "temperature.read")
        else 0.0
    )
    likely = advice.until_s[1] - at_s if advice.until_s and advice.event == "oxygen.read" else 0.0
    return max(late, likely, float(SECONDS.get(advice.event, 8)))


def facts_for(advice: Advice, now: Now) -> Mapping[str, str]:
    """What a careful pair of hands would type for the advised event; readings are invented just inside their limits."""
    known = dict(advice.params)
    plan = now.plan
    figure = plan.figures
    made = _FACTS.get(advice.event, {})
    facts = (
        {**made, **{k: v for k, v in known.items() if k in _NAMES[advice.event]}}
        if advice.event in _NAMES
        else dict(made)
    )
    if advice.event == "filler.issued":
        facts["filler"] = plan.filler
    elif advice.event == "fit_up.measured":
        facts["gap_m"] = plan.joint.groove.gap_m.as_entered
    elif advice.event == "dam.placed":
        facts["dam_kind"] = plan.joint.purge.dam_kind
    elif advice.event == "dam.removed" and plan.joint.purge.dam_kind == "film":
        facts["how"] = "flushed"  # nobody can pull a film out of a closed line
    elif advice.event == "purge.started":
        facts["flow_m3_s"] = f"{figure['set_up.backing_flow_m3_s'].value * 60000:.1f} L/min"
    elif advice.event == "flow.changed":
        facts["flow_m3_s"] = f"{figure['purge.closing_flow_m3_s'].low * 60000:.1f} L/min"
    elif advice.event == "oxygen.read":
        facts["oxygen_frac"] = f"{figure['set_up.start_oxygen_frac'].value * 0.7e6:.1f} ppm"
    elif advice.event == "temperature.read":
        run = plan.run(advice.run)
        facts["temperature_K"] = f"{figure['set_up.interpass_max_K'].value - 12 - 273.15:.0f} °C"
        facts["at_rad"] = show_clock(run.from_rad if run else 0.0)
        facts["distance_m"] = f"{figure['set_up.reading_distance_m'].value * 1000:.1f} mm"
    elif advice.event == "tack.made":
        tack = next(t for t in plan.tacks if t.name == known["tack"])
        facts["at_rad"] = show_clock(tack.at_rad)
    elif advice.event == "visual.measured" and known.get("item") == "reinforcement":
        facts |= {"seen": "seen", "depth_m": "1.0 mm"}
    elif advice.event in ("joint.signed", "hold_point.released"):
        facts["stamp"] = STAMPS.get(known.get("role", "inspector"), "E-04")
    return facts


_FACTS: Mapping[str, Mapping[str, str]] = {
    "surface.prepared": {"solvent": "acetone", "dry": "yes"},
    "heat_lot.recorded": {"heat": "H-4471"},
    "filler.issued": {"lot": "F-2209"},
    "gas.connected": {"circuit": "all", "fill": "G-2231", "supply_oxygen_frac": "3 ppm"},
    "instrument.checked": {"instrument": "oxygen monitor", "tag": "M-06", "result": "good"},
    "fit_up.measured": {"hi_lo_m": "0.4 mm"},
    "tape.closed": {"arc": "all"},
    "oxygen.read": {"place": "vent", "state": "reading"},
    "tack.made": {"purged": "yes", "shape": "bridged", "tint": "silver"},
    "temperature.read": {"side": "outside", "method": "contact"},
    "bead.looked_at": {"tint": "silver", "arrangement": "uniform"},
    "root.looked_at": {"tint": "silver", "arrangement": "uniform", "protrusion_m": "0.8 mm", "concavity_m": "0 mm"},
    "dam.removed": {"how": "pulled"},
    "weld.stamped": {"stamp": "W-07"},
    "visual.measured": {"seen": "none", "stamp": "E-04"},
    "flow.changed": {"circuit": "backing"},
}
# which of an advice's params are facts of its event
_NAMES: Mapping[str, tuple[str, ...]] = {
    **dict.fromkeys(("arc.started", "arc.stopped", "shield.lifted", "bead.looked_at"), ("run_count",)),
    "surface.prepared": ("work",),
    "heat_lot.recorded": ("end",),
    "instrument.checked": ("against",),
    "dam.placed": ("end",),
    "dam.removed": ("end",),
    "fit_up.measured": ("at_rad",),
    "hold_point.released": ("hold_point",),
    "tape.opened": ("arc",),
    "tack.made": ("tack",),
    "tack.cut": ("tack",),
    "tack.feathered": ("tack",),
    "visual.measured": ("item",),
    "joint.signed": ("role",),
}
