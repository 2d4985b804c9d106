"""What is searched, in plain numbers: layers, the ways of making each, limits, hands and gas. No library, no names of metals."""

from __future__ import annotations

from dataclasses import dataclass

from brightroot.physics.heat.ring import Ring

LABELS, LEAST_BEAM, WIDE_BEAM, MOST_BEAM = 600, 5, 16, 60
TIME, ARGON, RESTARTS = "time", "argon", "restarts"
OBJECTIVES = (TIME, ARGON, RESTARTS)
# every rule that can be dropped to see what it costs
RULES = ("order", "interpass", "hot_length", "heat_input", "longest_run", "purge", "current", "travel", "hold")


@dataclass(frozen=True, slots=True)
class Stretch:
    """One run that may be made: where, in which opened arc, after which other one of its layer, over how many tacks."""

    arc: str
    from_rad: float
    sweep_rad: float
    after: int = -1
    tacks: int = 0


@dataclass(frozen=True, slots=True)
class Way:
    """One way of making a layer: its runs, the current and the travel that go together."""

    stretches: tuple[Stretch, ...]
    current_A: float
    power_W: float
    travel_m_s: float
    heat_input_J_m: float
    opened: tuple[tuple[str, float, float], ...] = ()  # of a root: name, begin and sweep of each arc that is opened


@dataclass(frozen=True, slots=True)
class Layer:
    """One bead all the way round."""

    number: int  # of the pass that it belongs to
    name: str
    ways: tuple[Way, ...]
    first: tuple[str, ...] = ()  # arcs of the root that come first, in this order
    in_turn: bool = False  # the arcs in the order of their stretches, as a rolled pipe comes to the top
    taped: bool = False  # arcs are opened one at a time
    last: tuple[int, ...] = ()  # stretches that wait for all others


@dataclass(frozen=True, slots=True)
class Limits:
    """What is kept at every step. None: the rule was dropped."""

    interpass_K: float | None
    release_K: float
    reading_m: float
    hot_length_m: float | None = None  # metal over release that the shield covers
    hold: bool = True  # the shield stays until the metal is under release


@dataclass(frozen=True, slots=True)
class Hands:
    """Seconds of the welder's hands, and the gas that flows meanwhile."""

    move_s: float
    tape_s: float  # cut and feather a tack, wipe, tape; or tape an arc again that is left half made
    shielded_m3_s: float  # torch and trail, while the arc burns and the metal is held
    backing_m3_s: float
    before_s: float = 0.0  # purge
    before_m3: float = 0.0


@dataclass(frozen=True, slots=True)
class Task:
    """A whole joint."""

    ring: Ring
    layers: tuple[Layer, ...]
    limits: Limits
    hands: Hands
    objective: str = TIME
    hand: str = "right"  # of the welder: between two ways that take the same, the side of the hand comes first


@dataclass(frozen=True, slots=True)
class Effort:
    """How much is tried: labels kept in a layer and between layers, ways followed to the end, children looked at for each kept."""

    beam: int
    kept: int
    ways: int
    children: int = 3

    @staticmethod
    def of(task: Task) -> Effort:
        """As much as half a second of one core allows: a small joint is searched almost whole."""
        runs = sum(max((len(way.stretches) for way in layer.ways), default=0) for layer in task.layers)
        beam = min(max(LABELS // max(runs, 1), LEAST_BEAM), MOST_BEAM)
        return Effort(beam, beam, 3 if beam < WIDE_BEAM else 99, 3)

    def times(self, factor: int) -> Effort:
        """The same with so many times the labels and every way."""
        return Effort(self.beam * factor, self.kept * factor, 99, self.children)


@dataclass(frozen=True, slots=True)
class FoundRun:
    """One run as found, times from the first arc."""

    layer: int  # index in the task
    way: int
    stretch: int
    start_s: float
    duration_s: float
    pause_s: float  # since the last arc went out; 0 before the first
    least_pause_s: float  # what hands and hold alone would have taken
    hold_s: float
    hot_length_m: float
    strike_K: float  # at the reading's place when it was struck
    binds: str  # hands | hold | interpass | hot_length | tape

    @property
    def stop_s(self) -> float:
        """When its arc went out."""
        return self.start_s + self.duration_s


@dataclass(frozen=True, slots=True)
class Found:
    """The best way that was found. `time_s` is from the start of the purge until the last bead is cold."""

    runs: tuple[FoundRun, ...]
    time_s: float
    argon_m3: float
    restarts: int
    cost: float
    looked_at: int  # labels
