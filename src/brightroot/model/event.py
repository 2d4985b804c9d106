"""The log's events: one table of kinds. Forms, the CLI, checking and the reference page are all made from it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from brightroot.model.event_field import Field as Field
from brightroot.model.event_field import Kind as Kind
from brightroot.model.event_field import choice as _choice
from brightroot.model.event_field import maybe as _maybe
from brightroot.model.event_material import MATERIAL_KINDS

TINTS = (
    "silver",
    "light straw",
    "dark straw",
    "bronze",
    "purple",
    "dark blue",
    "light blue",
    "grey",
    "white",
    "not seen",
)
ARRANGEMENTS = ("uniform", "edge band", "thin parallel lines", "spots")
SIDES = ("a", "b")


@dataclass(frozen=True, slots=True)
class Event:
    """One entry of a joint's log. `data` holds plain values and Readings as data; `prev` chains the stored bytes."""

    joint: str
    device: str
    epoch: str
    seq: int
    at_utc: str
    by: str
    kind: str
    data: Mapping[str, Any] = field(default_factory=dict)
    version: int = 1
    corrects: str = ""
    prev: str = ""

    @property
    def id(self) -> str:
        """Its key within the joint's log.

        >>> Event("J-05", "bench", "1", 7, "2026-03-02T10:42:00Z", "W-07", "tape.opened").id
        'bench.1.7'
        """
        return f"{self.device}.{self.epoch}.{self.seq}"


_AT = Field("at_rad", "clock")
_RUN = Field("run_count", "count")

KINDS: dict[str, Kind] = {
    k.name: k
    for k in (
        Kind("joint.declared", "plan", (Field("joint", "data"), Field("facts", "data")), by_hand=False),
        Kind(
            "plan.made",
            "plan",
            (Field("plan_sha256", "text"), Field("library_digest", "text"), Field("summary", "data")),
            by_hand=False,
        ),
        Kind("work.given", "plan", (Field("stamp", "stamp"),)),
        Kind("plan.departed_from", "plan", (Field("what", "text"), Field("why", "text"))),
        Kind("heat_lot.recorded", "prepare", (_choice("end", *SIDES), Field("heat", "text"), _maybe("grade", "text"))),
        Kind(
            "filler.issued",
            "prepare",
            (Field("filler", "text"), Field("lot", "text"), _maybe("rod_diameter_m"), _maybe("edition", "text")),
        ),
        Kind(
            "gas.connected",
            "prepare",
            (
                _choice("circuit", "all", "torch", "trail", "backing"),
                Field("fill", "text"),
                _maybe("gas_name", "text"),
                _maybe("supply_oxygen_frac"),
                _maybe("dew_point_K"),
                _maybe("cylinder_volume_m3"),
                _maybe("cylinder_pressure_Pa"),
            ),
        ),
        Kind(
            "gas.proved",
            "prepare",
            (
                _choice("circuit", "all", "torch", "trail", "backing"),
                Field("fill", "text"),
                _choice("puddle", "bright", "tinted", "dull", "not made"),
                _maybe("supply_oxygen_frac"),
                _maybe("dew_point_K"),
            ),
        ),
        Kind(
            "instrument.checked",
            "prepare",
            (
                _choice("instrument", "oxygen monitor", "thermometer", "flowmeter"),
                Field("tag", "text"),
                _choice("against", "air", "cylinder argon", "hose end", "reference"),
                _choice("result", "good", "bad"),
                _maybe("oxygen_frac"),
                _maybe("lag_s"),
            ),
        ),
        Kind(
            "space.described",
            "prepare",
            (
                Field("room_m3"),
                _choice("air_change", "none", "exhaust", "fresh air in"),
                _maybe("ventilation_m3_s"),
                _maybe("bottom_m2"),
                _maybe("lip_m"),
            ),
        ),
        Kind(
            "surface.prepared",
            "prepare",
            (
                _choice("work", "degreased", "oxide removed", "degreased again"),
                _maybe("solvent", "text"),
                Field("dry", "yes_no", required=False),
            ),
        ),
        Kind("surface.touched", "prepare", (_choice("by_what", "hand", "rain", "tool", "shift change", "other"),)),
        Kind("fit_up.measured", "prepare", (_AT, Field("gap_m"), Field("hi_lo_m"), _maybe("land_m"))),
        Kind("hold_point.released", "prepare", (Field("hold_point", "text"), Field("stamp", "stamp"))),
        Kind(
            "dam.placed",
            "purge",
            (_choice("end", *SIDES), _choice("dam_kind", "foam", "film", "plug", "inflatable"), _maybe("distance_m")),
        ),
        Kind("dam.removed", "purge", (_choice("end", *SIDES), _choice("how", "pulled", "dissolved", "flushed"))),
        Kind("dam.moved", "purge", (_choice("end", *SIDES), _maybe("distance_m"))),
        Kind("tape.opened", "purge", (Field("arc", "text"),)),
        Kind("tape.closed", "purge", (Field("arc", "text"),)),
        Kind("purge.started", "purge", (Field("flow_m3_s"),)),
        Kind("flow.changed", "purge", (_choice("circuit", "backing", "torch", "trail"), Field("flow_m3_s"))),
        Kind(
            "oxygen.read",
            "purge",
            (
                _choice("state", "reading", "over range", "under range", "no digits"),
                _maybe("oxygen_frac"),
                _choice("place", "vent", "weld plane", "hose end", "supply", "air"),
            ),
        ),
        Kind("sample_line.opened", "purge", ()),
        Kind("sample_line.closed", "purge", ()),
        Kind("sample_line.moved", "purge", (_choice("place", "vent", "weld plane", "hose end"),)),
        Kind("purge.ended", "purge", ()),
        Kind(
            "tack.made",
            "weld",
            (
                Field("tack", "text"),
                _AT,
                Field("purged", "yes_no"),
                _choice("shape", "bridged", "full"),
                _choice("tint", *TINTS),
            ),
        ),
        Kind("tack.cut", "weld", (Field("tack", "text"),)),
        Kind("tack.feathered", "weld", (Field("tack", "text"),)),
        Kind("arc.started", "weld", (_RUN, _maybe("current_A"), _maybe("voltage_V"))),
        Kind("arc.stopped", "weld", (_RUN, Field("at_rad", "clock", required=False), _maybe("travel_m_s"))),
        Kind("shield.lifted", "weld", (_RUN,)),
        Kind("rod.looked_at", "weld", (_choice("tip", "bright", "tinted"), Field("cut", "yes_no"))),
        Kind(
            "temperature.read",
            "weld",
            (
                Field("temperature_K"),
                _AT,
                _maybe("distance_m"),
                _choice("side", "outside", "inside"),
                _choice("method", "contact", "infrared", "crayon"),
                _maybe("emissivity_set_1", "share"),
            ),
        ),
        Kind("bead.looked_at", "look", (_RUN, _choice("tint", *TINTS), _choice("arrangement", *ARRANGEMENTS))),
        Kind("bead.brushed", "look", (_RUN,)),
        Kind(
            "root.looked_at",
            "look",
            (
                _choice("tint", *TINTS),
                _choice("arrangement", *ARRANGEMENTS),
                _maybe("protrusion_m"),
                _maybe("concavity_m"),
            ),
        ),
        Kind(
            "photo.taken",
            "look",
            (
                _choice("subject", "fit-up", "tack", "face", "root", "cap", "display"),
                _maybe("run_count", "count"),
                Field("brushed", "yes_no"),
                Field("photo_sha256", "text"),
            ),
        ),
        Kind("tungsten.dipped", "weld", (_RUN,)),
        Kind("draught.felt", "weld", (_maybe("wind_m_s"),)),
        Kind("gas.faltered", "weld", (_choice("circuit", "torch", "trail", "backing"), Field("what", "text"))),
        Kind(
            "cylinder.changed",
            "purge",
            (
                _choice("circuit", "all", "torch", "trail", "backing"),
                Field("fill", "text"),
                _maybe("cylinder_volume_m3"),
                _maybe("cylinder_pressure_Pa"),
            ),
        ),
        Kind(
            "cylinder.read",
            "purge",
            (
                _choice("circuit", "all", "torch", "trail", "backing"),
                Field("cylinder_pressure_Pa"),
                _maybe("cylinder_K"),
                _maybe("cylinder_volume_m3"),
            ),
        ),
        Kind(
            "air.read",
            "finish",
            (
                Field("room_oxygen_frac"),
                _choice("place", "bottom of space", "breathing height"),
                _choice("monitor", "personal monitor", "area monitor", "purge monitor", required=False),
                Field("stamp", "stamp"),
            ),
        ),
        Kind("air.seconded", "finish", (Field("stamp", "stamp"),)),
        Kind("post_purge.ended", "finish", ()),
        Kind(
            "visual.measured",
            "finish",
            (
                _choice(
                    "item",
                    "crack",
                    "lack of fusion",
                    "incomplete penetration",
                    "undercut",
                    "surface porosity",
                    "reinforcement",
                    "internal protrusion",
                    "concavity",
                    "hi-lo",
                ),
                _choice("seen", "none", "seen"),
                _maybe("depth_m"),
                _maybe("length_m"),
                Field("at_rad", "clock", required=False),
                Field("stamp", "stamp"),
            ),
        ),
        Kind("weld.stamped", "finish", (Field("stamp", "stamp"),)),
        Kind(
            "joint.signed",
            "record",
            (
                Field("stamp", "stamp"),
                _choice("role", "welder", "inspector", "second signer", "engineer", "owner"),
                _maybe("words", "text"),
            ),
        ),
        Kind("event.withdrawn", "record", (Field("why", "text"),)),
        Kind(
            "dossier.issued",
            "record",
            (
                Field("head", "text"),
                Field("events_count", "count"),
                Field("library_digest", "text"),
                _maybe("owed_count", "count"),  # 0: nothing was owed; not recorded by older programs
            ),
            by_hand=False,
        ),
        *MATERIAL_KINDS,
    )
}
