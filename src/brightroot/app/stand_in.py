"""A stand-in at the pipe: it does what the advice says and records invented readings. For the demo, practice and tests.

Nothing it writes is evidence; whatever it works on must be called simulated wherever it is shown.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping

import numpy as np

from brightroot.app.ports import Place
from brightroot.app.work_live import Now, look, record
from brightroot.base.clock import show_clock
from brightroot.base.instant import utc_of
from brightroot.live.estimators.heat_made import made_of, ring_of
from brightroot.model.advice import Advice
from brightroot.physics.heat.green import temperature_K

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
# of the purge's likely time: when the stand-in looks at the monitor
LOOKS = (0.3, 0.4, 0.5, 0.58, 0.66, 0.74, 0.82, 0.9, 0.95, 1.0, 1.05, 1.1)
MONITOR_TO_FRAC = 1000e-6  # above it the stand-in's monitor shows no number
AIR_FRAC = 0.20946
LAG_S, DELAY_S = 8.0, 4.0  # of the stand-in's monitor and its hose
SEED = 20261125
TRUE_POWER_1 = 0.93  # the stand-in's arc gives the metal a little less than the plan reckons
SCATTER_dK = 1.5  # of its thermometer


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
        at_s += _seconds(advice, now, at_s)
        record(place, joint_id, advice.event, facts_for(advice, now, at_s), by=by, at_utc=utc_of(at_s))
    return at_s


def _seconds(advice: Advice, now: Now, at_s: float) -> float:
    """Waits and holds last until the countdown's late end; an arc as long as its forecast; the rest as practised."""
    if advice.event == "arc.stopped" and advice.number:
        return advice.number.value
    late = (
        advice.until_s[2] - at_s + 1
        if advice.until_s and advice.event in ("shield.lifted", "temperature.read")
        else 0.0
    )
    look_s = _next_look_s(advice, now, at_s) if advice.event == "oxygen.read" else 0.0
    return max(late, look_s, float(SECONDS.get(advice.event, 8)))


def _next_look_s(advice: Advice, now: Now, at_s: float) -> float:
    """Seconds to the next look at a falling purge; none once the likely time is over."""
    began_s = now.state.record.purge_started_s
    if advice.until_s is None or began_s is None:
        return 0.0
    likely_s = advice.until_s[1] - began_s
    return next((began_s + share * likely_s - at_s for share in LOOKS if began_s + share * likely_s > at_s + 4), 0.0)


def _oxygen(advice: Advice, now: Now, at_s: float) -> Mapping[str, str]:
    """An invented purge: mixed from air down to nine tenths of the vent's target at the likely time, as a slow monitor shows it."""
    target_frac = now.plan.figures["purge.vent_target_frac"].value
    floor_frac, likely_s = 0.45 * target_frac, now.plan.figures["purge.time_s"].value
    rate_s = math.log((AIR_FRAC - floor_frac) / (0.43 * target_frac)) / likely_s
    elapsed_s = max(0.0, at_s - (now.state.record.purge_started_s or at_s) - DELAY_S)
    lag_s = LAG_S if abs(rate_s * LAG_S - 1) > 0.02 else 1.05 * LAG_S
    share = 1 / (1 - rate_s * lag_s)
    fallen = share * math.exp(-rate_s * elapsed_s) + (1 - share) * math.exp(-elapsed_s / lag_s)
    oxygen_frac = floor_frac + (AIR_FRAC - floor_frac) * fallen
    if oxygen_frac > MONITOR_TO_FRAC:
        return {"state": "over range"}
    scattered_frac = oxygen_frac * (1 + 0.03 * math.sin(1.7 * at_s))
    return {"oxygen_frac": f"{scattered_frac * 1e6:.{1 if scattered_frac < 100e-6 else 0}f} ppm"}


def _read_C(advice: Advice, now: Now, at_s: float) -> float:
    """What a contact thermometer shows: all arcs so far by Green's function (plans and forecasts march volumes), with scatter."""
    plan, record = now.plan, now.state.record
    made = made_of(plan, record)
    ring, run = ring_of(plan), plan.run(advice.run)
    kelvin = ring.ambient_K
    if made:
        place = run.from_rad if run else made[-1].arc.to_rad
        seen = temperature_K(
            ring=ring, runs=[one.arc for one in made], theta_rad=[place], side="outside", time_s=[at_s],
            z_m=plan.figures["set_up.reading_distance_m"].value,
        )  # fmt: skip
        kelvin += TRUE_POWER_1 * (float(seen.ravel()[0]) - kelvin)
    scatter = np.random.default_rng((SEED, made[-1].number if made else 0, len(record.temperatures)))
    return kelvin - 273.15 + SCATTER_dK * float(scatter.standard_normal())


def facts_for(advice: Advice, now: Now, at_s: float | None = None) -> Mapping[str, str]:
    """What a careful pair of hands would type for the advised event; readings are invented, or reckoned."""
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
    elif advice.event == "instrument.checked":
        facts["oxygen_frac"] = CHECKED[known["against"]]
    elif advice.event == "oxygen.read":
        facts |= _oxygen(advice, now, now.now_s if at_s is None else at_s)
    elif advice.event == "temperature.read":
        run = plan.run(advice.run)
        facts["temperature_K"] = f"{_read_C(advice, now, now.now_s if at_s is None else at_s):.0f} °C"
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


CHECKED = {"air": "20.9 %", "cylinder argon": "4 ppm", "hose end": "5 ppm"}
_FACTS: Mapping[str, Mapping[str, str]] = {
    "surface.prepared": {"solvent": "acetone", "dry": "yes"},
    "heat_lot.recorded": {"heat": "H-4471"},
    "filler.issued": {"lot": "F-2209"},
    "gas.connected": {
        "circuit": "all",
        "fill": "G-2231",
        "supply_oxygen_frac": "3 ppm",
        "dew_point_K": "-62 °C",
        "cylinder_volume_m3": "50 L",
        "cylinder_pressure_Pa": "200 bar",
    },
    "gas.proved": {"circuit": "all", "fill": "G-2231", "puddle": "bright"},
    "cylinder.changed": {
        "circuit": "all",
        "fill": "G-2232",
        "cylinder_volume_m3": "50 L",
        "cylinder_pressure_Pa": "200 bar",
    },
    "air.read": {"room_oxygen_frac": "20.9 %", "monitor": "area monitor", "stamp": "E-04"},
    "air.seconded": {"stamp": "F-02"},
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
    "air.read": ("place",),
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
