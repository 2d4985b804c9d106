"""The demo's joints: an invented pump gallery, worked by a stand-in. Every reading in it is simulated."""

from __future__ import annotations

from dataclasses import replace

from brightroot.app.plan_joint import declare, declare_like
from brightroot.app.ports import Place
from brightroot.app.stand_in import work
from brightroot.app.work_live import Now
from brightroot.live.phases import Phase
from brightroot.store.logs import memory_store

PROCEDURE = {
    "procedure": "WPS-T14",
    "included_angle_rad": "60°",
    "land_m": "0.5 mm",
    "gap_m": "2.4 mm",
    "start_oxygen_frac": "15 ppm",
    "release_K": "204 °C",
    "interpass_max_K": "100 °C",
    "filler": "ERTi-7",
    "longest_run_m": "60 mm",
    "shield_length_m": "100 mm",
}
PURGE = {
    "dam_kind": "foam",
    "feed": "low",
    "vent_diameter_m": "10 mm",
    "backing_flow_m3_s": "15 L/min",
    "supply_oxygen_frac": "3 ppm",
    "cylinder_volume_m3": "50 L",
    "cylinder_pressure_Pa": "200 bar",
    "heel_pressure_Pa": "5 bar",
}
LARGE = {"metal": "Gr 7", "pipe": "168.3 x 3.40 mm", "dam_span_m": "600 mm"}
SMALL = {"metal": "Gr 7", "pipe": "88.9 x 3.05 mm", "dam_span_m": "400 mm"}


def facts(name: str, *, position: str, pipe: dict[str, str], **more: str) -> dict[str, str]:
    """The facts of one of the gallery's joints."""
    return {"id": name, "position": position, **pipe, **PURGE, **PROCEDURE, **more}


def furnish(place: Place) -> None:
    """Fourteen joints: J-01 finished, J-05 in the middle of its root, the rest planned. Does nothing twice."""
    if place.store.joints():
        return
    by, now_s = "W-07", place.now_s()
    print("Making the demo joints (simulated, about ten seconds) …", flush=True)
    gate = replace(place, now_s=lambda: now_s - 2 * 86400)  # declared before they were worked
    declare(gate, facts("J-01", position="1G", pipe=LARGE), by=by)
    declare_like(gate, "J-01", ("J-02", "J-03", "J-04"), by=by)
    declare(gate, facts("J-05", position="5G", pipe=LARGE), by=by)
    declare_like(gate, "J-05", ("J-06", "J-07", "J-08"), by=by)
    declare(gate, facts("J-09", position="5G", pipe=LARGE, closing="yes", dam_kind="film", dam_span_m="300 mm"), by=by)
    declare(gate, facts("J-10", position="5G", pipe=SMALL), by=by)
    declare_like(gate, "J-10", ("J-11", "J-12", "J-14"), by=by)
    declare(gate, facts("J-13", position="5G", pipe=SMALL, closing="yes", dam_kind="film", dam_span_m="300 mm"), by=by)
    work(place, "J-01", start_s=now_s - 86400, by=by)
    work(place, "J-05", start_s=place.now_s() - _until_third_hold_s(place, by=by), by=by, until=_third_hold)


def _until_third_hold_s(place: Place, *, by: str) -> float:
    """How long the stand-in takes, tried on a scratch log, so that the demo opens while the shield is being held."""
    scratch = replace(place, store=memory_store(), now_s=lambda: 0.0)
    declare(scratch, facts("J-05", position="5G", pipe=LARGE), by=by)
    return work(scratch, "J-05", start_s=0.0, by=by, until=_third_hold)


def _third_hold(now: Now) -> bool:
    return now.state.phase is Phase.HOLDING and len(now.state.record.runs) == 3
