"""What a drawing shows, before it is drawn: the joint as a ring, its unrolled strip, and curves over time."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class RingRun:
    """A run on its band: `state` is done | now | next | planned | hold | doubtful | refused."""

    number: int
    band: str  # root | hot | fill | cap
    from_rad: float
    sweep_rad: float
    state: str
    tint: str = ""
    label: str = ""


@dataclass(frozen=True, slots=True)
class RingMark:
    """A tack, reading, photo, defect or gap where it is on the joint. `kind` decides its shape, never a colour."""

    kind: str  # tack | temperature | gap | photo | stop | defect | oxygen
    at_rad: float
    state: str = "done"
    text: str = ""
    value: float | None = None


@dataclass(frozen=True, slots=True)
class Face:
    """The clock face: bands from the inside out, runs and marks on them, and how it is to be read."""

    title: str
    datum: str  # up | datum mark
    view: str  # from the welding side | from above …
    bands: tuple[str, ...]
    runs: tuple[RingRun, ...]
    marks: tuple[RingMark, ...]
    arcs: tuple[tuple[str, float, float, bool], ...]  # name, from_rad, sweep_rad, open now
    turned_rad: float = 0.0  # how far the pipe has been rolled
    centre: str = ""  # a few words in the middle


@dataclass(frozen=True, slots=True)
class Series:
    """One line of a chart. Points are (x, y); `band` gives (x, low, high).

    `kind`: measured | model | limit | floor (where a line would settle) | clock (early, likely and late end of one
    moment) | beyond (looks that only say that it is more than that).
    """

    name: str
    kind: str
    points: tuple[tuple[float, float], ...] = ()
    band: tuple[tuple[float, float, float], ...] = ()


@dataclass(frozen=True, slots=True)
class Chart:
    """A chart with its axes in shown units and an alternative table of the same numbers."""

    title: str
    x_label: str
    y_label: str
    series: tuple[Series, ...]
    log_y: bool = False
    marks: tuple[tuple[float, str], ...] = ()
    y_digits: int = 0


@dataclass(frozen=True, slots=True)
class HeatMap:
    """How hot a face of the joint is at one moment, unrolled: rows along the pipe, columns round it from six to six.

    `warm_K` is rows × columns at `along_m` and `at_rad`. Each of `lines` is a temperature worth a line, with its words.
    """

    title: str
    moment: str
    along_m: tuple[float, ...]
    at_rad: tuple[float, ...]
    warm_K: tuple[tuple[float, ...], ...]
    lines: tuple[tuple[float, str], ...]
    arc_at_rad: float | None = None  # where the arc went off
    around_m: float = 0.0  # once round the outside; 0 where the map need not be to scale
    read: tuple[float, float, str] | None = None  # where it is read: angle, metres from the weld, and words
    us: bool = False  # °F and inches on the drawing


@dataclass(frozen=True, slots=True)
class HeatLine:
    """A temperature over time: rows of (x, low, value, high) in shown units. Made is solid, planned dashed."""

    name: str
    rows: tuple[tuple[float, float, float, float], ...]
    made: bool


@dataclass(frozen=True, slots=True)
class HeatLimit:
    """A temperature that something waits for, its words, and when it is met: early, likely, late (x), or never."""

    value: float
    name: str
    met: tuple[float, float, float] | None = None


@dataclass(frozen=True, slots=True)
class HeatCourse:
    """Temperatures over time in shown units, with arcs along the foot as (on, off, number, made) and readings as (x, value).

    Both axes begin at their lowest number; `x_label` says what the first moment is.
    """

    title: str
    x_label: str
    y_label: str
    lines: tuple[HeatLine, ...]
    limits: tuple[HeatLimit, ...]
    arcs: tuple[tuple[float, float, str, bool], ...] = ()
    read: tuple[tuple[float, float], ...] = ()
    read_name: str = ""
