"""What the compiled loop takes, each part named once. Only tuples of numbers and arrays, as a compiler likes them."""

from __future__ import annotations

from typing import Any, NamedTuple


class Shape(NamedTuple):
    """The section: by ring, by column, and what conducts between rings over volume where all is metal."""

    radius_m: float
    volume: Any
    along: Any  # what conducts round the pipe, over volume
    beside: Any
    ways: Any  # how many neighbours each ring has
    conducts: Any
    base_links: Any  # before welding, not over volume
    pass_links: Any
    base_share: Any
    pass_share: Any
    first: Any  # of each column, the inner ring
    last: Any
    area_out: Any
    area_in: Any
    sloped: Any
    depth: Any
    beneath: Any  # of each ring, how far from the weld plane
    share_z: Any  # of each column, its share of the arc's power
    weld_columns: Any
    weld_weights: Any


class Table(NamedTuple):
    """Rows of enthalpy: potential as a line (value at zero, slope a row), temperature likewise; the steepest slope so far."""

    rows: Any
    steepest: Any
    scale: float  # rows a J/m³
    even: float  # J/m³ below which nothing melts or transforms


class Air(NamedTuple):
    """What the faces lose to."""

    kelvin: float
    h_out: float
    e_out: float
    h_in: float
    e_in: float
    cold: float  # J/m³ of metal that is laid


class Arc(NamedTuple):
    """The arc, if it is on: from where, how fast, how strong, how wide."""

    on: bool
    from_rad: float
    pace_rad_s: float
    power: float
    sigma: float


class Policy(NamedTuple):
    """How fine to march."""

    base_m: float
    widest: int
    arc_step_s: float
    age_share: float
    longest_s: float
    blur: float


class Looks(NamedTuple):
    """Where to look: angles, which face, four columns each and their weights."""

    angles: Any
    outside: Any
    columns: Any
    by_column: Any


class Grid(NamedTuple):
    """What holds while one grid does: links as `stages` takes them, and faces, columns × cells."""

    edges_rad: Any
    links: Any
    stiff: Any  # by ring
    top: Any
    under: Any
    bottom: Any
    over: Any
    same_out: Any  # of each column, whether one ring is its face all round
    same_in: Any
    rate_out: Any  # face over what metal the ring at it holds
    rate_in: Any
    watt_out: Any  # face of a cell
    watt_in: Any
