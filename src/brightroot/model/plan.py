"""How the joint will be made. Every number is a key into `figures`, so every number opens to where it came from."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from brightroot.base.formula import Estimate
from brightroot.model.joint import Joint


@dataclass(frozen=True, slots=True)
class Arc:
    """A stretch of the clock that is opened, welded and closed as one; clockwise from `from_rad`."""

    name: str
    from_rad: float
    sweep_rad: float
    order: int


@dataclass(frozen=True, slots=True)
class PlannedTack:
    """A tack: where, and before which run it is cut out (0: it stays and is feathered)."""

    name: str
    at_rad: float
    cut_before_run: int


@dataclass(frozen=True, slots=True)
class PlannedPass:
    """One layer: root, hot, fill or cap. Figures at `passes.<number>.…`."""

    number: int
    name: str
    beads: int
    rod_diameter_m: float
    figures: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PlannedRun:
    """Arc-on to arc-off: which pass and arc, from where, how far (signed). Figures at `runs.<number>.…`."""

    number: int
    pass_number: int
    pass_name: str
    arc: str
    from_rad: float
    sweep_rad: float


@dataclass(frozen=True, slots=True)
class SetUpRow:
    """One line of the set-up card: a message id with either words or the key of a figure."""

    name: str
    figure: str = ""
    says: str = ""
    params: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Step:
    """One thing to do, in order: the verb (a message id), the event that records it, the caution that goes with it."""

    name: str
    event: str
    run: int = 0
    arc: str = ""
    tack: str = ""
    what: str = ""  # which of several: the end of a dam, the place of a reading, the work on a surface
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Concern:
    """Something the plan wants the person to know before starting: `level` is note | warn | block."""

    level: str
    name: str
    figures: tuple[str, ...] = ()
    params: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Plan:
    """The whole way from pipe to signature, pinned to a library digest and a program version."""

    joint: Joint
    library_digest: str
    made_with: str
    filler: str
    arcs: tuple[Arc, ...]
    tacks: tuple[PlannedTack, ...]
    passes: tuple[PlannedPass, ...]
    runs: tuple[PlannedRun, ...]
    set_up: tuple[SetUpRow, ...]
    steps: tuple[Step, ...]
    concerns: tuple[Concern, ...]
    figures: Mapping[str, Estimate]

    def run(self, number: int) -> PlannedRun | None:
        """The run of that number, or None."""
        return next((r for r in self.runs if r.number == number), None)
