"""What the filter is told: the pipe, its gas, the monitor and everything that was read or done, in order of time."""

from __future__ import annotations

from dataclasses import dataclass

from brightroot.base.errors import Refused

STATES = ("reading", "over range", "under range", "no digits")
EVENTS = (
    "tape_opened", "tape_closed", "dam_moved", "cylinder_changed", "sample_line_opened", "sample_line_closed",
)  # fmt: skip
ENDS = ("low", "high", "unknown")
AIR_OXYGEN_FRAC = 0.20946


@dataclass(frozen=True, slots=True)
class Monitor:
    """The oxygen monitor: its place, its own lag behind the gas, its range and how far its numbers scatter."""

    lag_s: float = 8.0
    delay_s: float = 4.0
    low_frac: float = 1e-6
    over_frac: float = AIR_OXYGEN_FRAC
    noise_rel_1: float = 0.04
    noise_abs_frac: float = 1.3e-6
    place: str = "vent"


@dataclass(frozen=True, slots=True)
class Look:
    """One look at the monitor. Out of range it gives no number, only on which side the gas lies."""

    at_s: float
    oxygen_frac: float | None
    state: str = "reading"


@dataclass(frozen=True, slots=True)
class Done:
    """Something done to the purge that changes its course: one of EVENTS."""

    at_s: float
    kind: str


@dataclass(frozen=True, slots=True)
class Purge:
    """One purge. `flows` holds (seconds, flow) from each moment on; looks and events stand in order of time.

    >>> Purge(volume_m3=0.004, flows=((0.0, 1.3e-4),)).flow_at(5.0)
    0.00013
    """

    volume_m3: float
    flows: tuple[tuple[float, float], ...]
    feed: str = "unknown"
    vent: str = "unknown"
    vertical: bool = False
    start_frac: float = AIR_OXYGEN_FRAC
    supply_max_frac: float = 5e-6
    supply_frac: float | None = None  # as measured or told; without it anything up to a little over the grade's limit
    targets_frac: tuple[float, ...] = (20e-6,)
    monitor: Monitor = Monitor()
    looks: tuple[Look, ...] = ()
    events: tuple[Done, ...] = ()

    def __post_init__(self) -> None:
        if not self.flows:
            raise Refused(field="flows", wanted="the flow from the start on", got="none")
        for name, rows in (("flows", [t for t, _ in self.flows]), ("readings", [r.at_s for r in self.looks]),
                           ("events", [e.at_s for e in self.events])):  # fmt: skip
            if rows != sorted(rows):
                raise Refused(field=name, wanted="in order of time", got="one that goes back", reason="refused.case")

    def flow_at(self, at_s: float) -> float:
        """The flow at that moment in m3/s, none before the first."""
        return next((flow for began, flow in reversed(self.flows) if began <= at_s), 0.0)

    def argon_m3(self, at_s: float) -> float:
        """Argon let in until then.

        >>> Purge(volume_m3=0.004, flows=((0.0, 1e-4), (60.0, 0.0))).argon_m3(90.0)
        0.006
        """
        ends = [*(t for t, _ in self.flows[1:]), at_s]
        return sum(flow * max(0.0, min(end, at_s) - began) for (began, flow), end in zip(self.flows, ends, strict=True))

    @property
    def wrong_way(self) -> bool:
        """Argon fed in high or let out low: it falls through what it should push out."""
        return self.feed == "high" or (self.vent == "low" and self.feed != "low")
