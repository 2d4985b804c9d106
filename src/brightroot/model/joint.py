"""What is to be joined: two pipe ends, groove, position, purge arrangement and the procedure's limits.

Typed numbers are Readings (they keep the text); a field that nobody typed is None and the planner says what it assumed.
"""

from __future__ import annotations

from dataclasses import dataclass

from brightroot.base.units import Reading


@dataclass(frozen=True, slots=True)
class PipeEnd:
    """One side of the joint. `reach_m` is how much straight metal there is for a probe and a shield."""

    alloy: str
    outer_diameter_m: Reading
    wall_m: Reading
    size: str = ""
    fitting: str = "pipe"
    bore_m: Reading | None = None
    reach_m: Reading | None = None

    @property
    def bore(self) -> float:
        """The bore at the joint in metres: as measured (counterbored) or outside diameter less two walls."""
        return self.bore_m.value if self.bore_m else self.outer_diameter_m.value - 2 * self.wall_m.value


@dataclass(frozen=True, slots=True)
class Groove:
    """The preparation between the two ends; the included angle is both bevels together."""

    included_angle_rad: Reading
    land_m: Reading
    gap_m: Reading


@dataclass(frozen=True, slots=True)
class PurgeArrangement:
    """How argon gets in and air gets out: dams, feed, vent, flows and the gas itself."""

    dam_kind: str  # foam | film | plug | inflatable | none
    dam_span_m: Reading  # between the dams, or the whole run where there are none
    feed: str  # low | high | unknown: where the argon enters
    vent_diameter_m: Reading
    backing_flow_m3_s: Reading | None = None
    supply_oxygen_frac: Reading | None = None
    cylinder_volume_m3: Reading | None = None
    cylinder_pressure_Pa: Reading | None = None
    heel_pressure_Pa: Reading | None = None


@dataclass(frozen=True, slots=True)
class Procedure:
    """The limits that the written procedure sets. None: not stated, so the family's default is shown as assumed."""

    name: str = ""
    interpass_max_K: Reading | None = None
    start_oxygen_frac: Reading | None = None
    release_K: Reading | None = None
    current_min_A: Reading | None = None
    current_max_A: Reading | None = None
    travel_min_m_s: Reading | None = None
    travel_max_m_s: Reading | None = None
    heat_input_max_J_m: Reading | None = None
    reading_distance_m: Reading | None = None
    backing_until: str = "whole joint"  # whole joint | hot pass | 3/16 in deposit | root temperature
    tint_criterion: str = ""  # empty: nobody has named one, so production tint is unknown
    hold_points: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Position:
    """A test position as the trade names it: how the axis lies and whether the pipe turns."""

    name: str
    iso: str
    axis: str  # horizontal | vertical | inclined
    rolled: bool
    order: str  # bottom first, opposite next | opposite arcs | as it comes to the top


# ASME IX QW-461.4 test positions beside ISO 6947 main positions (names from memory)
POSITIONS: dict[str, Position] = {
    "1G": Position("1G", "PA", "horizontal", True, "as it comes to the top"),
    "2G": Position("2G", "PC", "vertical", False, "opposite arcs"),
    "5G": Position("5G", "PH", "horizontal", False, "bottom first, opposite next"),
    "6G": Position("6G", "H-L045", "inclined", False, "bottom first, opposite next"),
}
ISO_POSITIONS: dict[str, str] = {"PA": "1G", "PC": "2G", "PH": "5G", "PJ": "5G", "H-L045": "6G", "J-L045": "6G"}

FITTINGS = ("pipe", "elbow", "tee", "reducer", "flange", "valve")
DAM_KINDS = ("foam", "film", "plug", "inflatable", "none")
# joints that are not planned here; named so that the refusal can say so
OTHER_FORMS = ("socket", "fillet", "branch", "lap", "seam", "plate")


@dataclass(frozen=True, slots=True)
class Joint:
    """One girth butt, as declared."""

    id: str
    end_a: PipeEnd
    end_b: PipeEnd
    groove: Groove
    position: str  # a key of POSITIONS
    purge: PurgeArrangement
    procedure: Procedure
    shield_length_m: Reading | None = None
    longest_run_m: Reading | None = None
    filler: str = ""
    ambient_K: Reading | None = None
    drawing: str = ""
    note: str = ""
    closing: bool = False  # it closes the line: nothing can be pulled out afterwards
