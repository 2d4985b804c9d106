"""A joint's log folded to facts: what has been done, where, when and by whom. Made only by `records/`."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from brightroot.model.joint import Joint


@dataclass(frozen=True, slots=True)
class OxygenRead:
    """One look at the monitor. `oxygen_frac` is None where the display gave no number."""

    event: str
    at_s: float
    state: str
    oxygen_frac: float | None
    place: str
    flow_m3_s: float | None  # backing flow at that moment


@dataclass(frozen=True, slots=True)
class TemperatureRead:
    """One temperature reading, with the seconds since the last arc-off (None before the first arc)."""

    event: str
    at_s: float
    temperature_K: float
    at_rad: float
    distance_m: float | None
    side: str
    method: str
    after_arc_off_s: float | None
    as_entered: str
    emissivity_set_1: float | None = None  # what an infrared instrument was set to, where somebody noted it


@dataclass(frozen=True, slots=True)
class TackRecord:
    """A tack as an object: bridged or full, purged or not, its colour, whether cut and feathered."""

    name: str
    event: str
    at_rad: float
    purged: bool
    shape: str
    tint: str
    cut: bool = False
    feathered: bool = False


@dataclass(frozen=True, slots=True)
class RunRecord:
    """A run as made: arc on, arc off, shield lifted, what was seen of it. None: not recorded."""

    number: int
    started_event: str
    started_s: float
    current_A: float | None = None
    voltage_V: float | None = None
    stopped_event: str = ""
    stopped_s: float | None = None
    stopped_at_rad: float | None = None
    lifted_event: str = ""
    lifted_s: float | None = None
    tint: str = ""
    tint_event: str = ""
    tint_s: float | None = None  # when that colour was seen
    arrangement: str = ""
    brushed_s: float | None = None
    dipped: bool = False
    travel_m_s: float | None = None


@dataclass(frozen=True, slots=True)
class FitUpPoint:
    event: str
    at_rad: float
    gap_m: float
    hi_lo_m: float
    land_m: float | None


@dataclass(frozen=True, slots=True)
class Signature:
    event: str
    at_s: float
    stamp: str
    role: str
    words: str


@dataclass(frozen=True, slots=True)
class Seen:
    """Any other recorded fact, kept whole: its event, time, person, kind and data."""

    event: str
    at_s: float
    by: str
    kind: str
    data: Mapping[str, object] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class JointRecord:
    """Everything the log says of one joint. Tuples are in log order; an empty tuple means nothing recorded."""

    joint: Joint | None = None
    joint_id: str = ""
    plan_sha256: str = ""
    events_count: int = 0
    first_s: float | None = None
    last_s: float | None = None
    oxygen: tuple[OxygenRead, ...] = ()
    temperatures: tuple[TemperatureRead, ...] = ()
    tacks: tuple[TackRecord, ...] = ()
    runs: tuple[RunRecord, ...] = ()
    fit_up: tuple[FitUpPoint, ...] = ()
    dams_in: tuple[str, ...] = ()  # ends with a dam still inside
    dams_placed_count: int = 0
    dams_removed_count: int = 0
    arcs_open: tuple[str, ...] = ()  # arcs without tape
    tape_known: bool = False  # whether any tape event was recorded
    purge_started_s: float | None = None
    purge_ended_s: float | None = None
    post_purge_ended_s: float | None = None
    backing_flow_m3_s: float | None = None
    prepared: tuple[Seen, ...] = ()  # surface.prepared since the last surface.touched
    prepared_s: float | None = None  # when the last of the three steps was done, None if reset or incomplete
    hold_points: tuple[Seen, ...] = ()
    gas: tuple[Seen, ...] = ()
    heats: tuple[Seen, ...] = ()
    fillers: tuple[Seen, ...] = ()
    rods: tuple[Seen, ...] = ()  # rod.looked_at
    flows: tuple[Seen, ...] = ()  # flow.changed, of any circuit
    checks: tuple[Seen, ...] = ()
    photos: tuple[Seen, ...] = ()
    roots: tuple[Seen, ...] = ()  # root.looked_at
    visual: tuple[Seen, ...] = ()
    air: tuple[Seen, ...] = ()
    air_seconded: tuple[Seen, ...] = ()
    spaces: tuple[Seen, ...] = ()  # space.described
    proofs: tuple[Seen, ...] = ()  # gas.proved
    cylinders: tuple[Seen, ...] = ()  # cylinder.read
    departures: tuple[Seen, ...] = ()
    doubts: tuple[Seen, ...] = ()  # draughts, gas faltering, dips, shield lifted … as recorded
    stamps: tuple[Seen, ...] = ()
    signatures: tuple[Signature, ...] = ()
    corrected: tuple[tuple[str, str], ...] = ()  # (old event, the event that corrects or withdraws it)
    withdrawn: tuple[str, ...] = ()
    issued: tuple[Seen, ...] = ()
    compositions: tuple[Seen, ...] = ()  # composition.recorded
    pmi: tuple[Seen, ...] = ()
    tools: tuple[Seen, ...] = ()
    touches: tuple[Seen, ...] = ()  # surface.touched
    defects: tuple[Seen, ...] = ()
    nde: tuple[Seen, ...] = ()  # nde.reported
    hardness: tuple[Seen, ...] = ()
    bends: tuple[Seen, ...] = ()
    repairs_decided: tuple[Seen, ...] = ()
    repairs_made: tuple[Seen, ...] = ()
    waivers: tuple[Seen, ...] = ()  # procedure.waived
    streams: tuple[Seen, ...] = ()  # samples.kept
    concessions: tuple[Seen, ...] = ()  # concession.signed
    arc_on_run: int = 0  # the run whose arc is burning, 0 for none
    purge_course: tuple[
        Seen, ...
    ] = ()  # all that changes a purge's course, in time: gas on, flows, tape, dams, cylinder

    def run(self, number: int) -> RunRecord | None:
        """The run of that number as made, or None."""
        return next((r for r in self.runs if r.number == number), None)

    def tack(self, name: str) -> TackRecord | None:
        """The tack of that name, or None."""
        return next((t for t in self.tacks if t.name == name), None)
