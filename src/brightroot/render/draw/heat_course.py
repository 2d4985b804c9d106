"""Temperatures over time: each line in its range, limits and when they are met, arcs along the foot, readings as dots.

Every name stands at the line it names, where there is room, else below with a piece of the line: nothing told by colour alone.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from brightroot.model.picture import HeatCourse, HeatLimit, HeatLine
from brightroot.render.draw.axis import Axis, straight_axis, written
from brightroot.render.draw.palette import Palette, palette_of
from brightroot.render.draw.said import ENGLISH, say
from brightroot.render.draw.tags import drawing, num, prefix_of, shorten, tag, width_of, words

SIZE, ROW = 13.0, 19.0
NARROW = 500
TOP, FOOT, LANE = 26.0, 46.0, 16.0
SHARES = tuple(n / 16 for n in range(17))
CLEAR = 8.5  # less than that between a name and a line, and they touch
Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class _Field:
    """The field: axes, edges, colours."""

    x_axis: Axis
    y_axis: Axis
    left: float
    right: float
    bottom: float
    colours: Palette
    prefix: str

    def x(self, value: float) -> float:
        return self.left + self.x_axis.share(value) * (self.right - self.left)

    def y(self, value: float) -> float:
        return self.bottom - min(1.0, max(0.0, self.y_axis.share(value))) * (self.bottom - TOP)


def heat_course(
    course: HeatCourse,
    *,
    width_px: int = 720,
    height_px: int = 320,
    palette: str = "page",
    said: Mapping[str, str] = ENGLISH,
) -> str:
    """The course as SVG text. `.moment` is an upright line that a page may move; it does not show on its own."""
    field = _field(course, width_px, height_px, palette)
    names, below = _names(course, field)
    window = tag("rect", x=field.left, y=TOP, width=field.right - field.left, height=field.bottom - TOP)
    return drawing(
        tag("defs", tag("clipPath", window, id=f"{field.prefix}w")),
        _axes(course, field),
        *(_range(line, field, width_px) for line in course.lines),
        *(_limit(limit, field) for limit in course.limits),
        *(_line(line, field) for line in course.lines),
        _arcs(course, field),
        *(tag("circle", cx=field.x(x), cy=field.y(y), r=4, fill=field.colours.paper, stroke=field.colours.ink, stroke_width=2,
              class_="reading") for x, y in course.read),
        *names,
        *(_sample(one, text, height_px + ROW * (n + 0.5), field) for n, (one, text) in enumerate(below)),
        _moment(field),
        prefix=field.prefix,
        title=course.title,
        described=_told(course, said),
        box=(float(width_px), height_px + ROW * (len(below) + 0.5 * bool(below))),
        width_px=width_px,
        kind="chart heat-course narrow" if width_px < NARROW else "chart heat-course wide",
    )  # fmt: skip


def _field(course: HeatCourse, width: int, height: int, palette: str) -> _Field:
    xs = [row[0] for line in course.lines for row in line.rows] + [off for _, off, *_ in course.arcs]
    ys = [v for line in course.lines for row in line.rows for v in row[1:]]
    ys += [limit.value for limit in course.limits] + [y for _, y in course.read]
    x_axis, y_axis = straight_axis([0.0, *xs], most_ticks=8), straight_axis([0.0, *ys])
    last = max(xs, default=1.0)
    x_axis = Axis(x_axis.low, last, tuple(t for t in x_axis.ticks if t <= last))
    left = 12 + max(width_of(written(t), SIZE) for t in y_axis.ticks)
    bottom = height - FOOT - (LANE if course.arcs else 0.0)
    prefix = prefix_of("course", course, width, height, palette)
    return _Field(x_axis, y_axis, left, width - 14.0, bottom, palette_of(palette), prefix)


def _axes(course: HeatCourse, field: _Field) -> str:
    p, foot = field.colours, field.bottom + (LANE if course.arcs else 0.0)
    parts = []
    for value in field.y_axis.ticks:
        y = field.y(value)
        parts.append(tag("path", d=f"M{num(field.left)},{num(y)} H{num(field.right)}", stroke=p.faint, stroke_width="0.8",
                         stroke_dasharray="1 3"))  # fmt: skip
        parts.append(words(written(value), field.left - 6, y, font_size=SIZE, text_anchor="end", fill=p.soft))
    parts.append(
        tag("path", d=f"M{num(field.left)},{num(foot)} H{num(field.right)}", stroke=p.soft, stroke_width="0.8")
    )
    for value in field.x_axis.ticks:
        x = field.x(value)
        parts.append(tag("path", d=f"M{num(x)},{num(foot)} v5", stroke=p.soft, stroke_width="0.8"))
        parts.append(words(written(value), x, foot + 15, font_size=SIZE, text_anchor="middle", fill=p.soft))
    middle = (field.left + field.right) / 2
    parts.append(words(course.y_label, 4.0, 11.0, font_size=SIZE, fill=p.soft))
    parts.append(words(course.x_label, middle, foot + 34, font_size=SIZE, text_anchor="middle", fill=p.soft))
    return tag("g", *parts, class_="axes")


def _range(line: HeatLine, field: _Field, width: int) -> str:
    """Low to high, washed with heat between two thin lines; on paper the lines alone."""
    if len(line.rows) < 2:
        return ""
    upper = [f"{num(field.x(x))},{num(field.y(high))}" for x, _, _, high in line.rows]
    lower = [f"{num(field.x(x))},{num(field.y(low))}" for x, low, _, _ in line.rows]
    wash = tag("path", d="M" + " L".join([*upper, *reversed(lower)]) + " Z", fill=field.colours.heat,
               fill_opacity=field.colours.veil, class_="wash")  # fmt: skip
    edge = tag("path", d=f"M{' L'.join(upper)} M{' L'.join(lower)}", fill="none", stroke=field.colours.heat,
               stroke_width="0.8", stroke_opacity="0.7")  # fmt: skip
    return tag("g", wash, edge, class_="range", clip_path=f"url(#{field.prefix}w)")


def _line(line: HeatLine, field: _Field) -> str:
    if len(line.rows) < 2:
        return ""
    d = "M" + " L".join(f"{num(field.x(x))},{num(field.y(value))}" for x, _, value, _ in line.rows)
    return tag("path", d=d, fill="none", stroke=field.colours.ink, stroke_width="1.8", stroke_linejoin="round",
               stroke_dasharray=None if line.made else "6 3", clip_path=f"url(#{field.prefix}w)",
               class_="made" if line.made else "planned")  # fmt: skip


def _limit(limit: HeatLimit, field: _Field) -> str:
    """A heavy dashed line; where it is met, a bar from the early to the late end with a dot at the likely one."""
    ink, y = field.colours.ink, field.y(limit.value)
    parts = [tag("path", d=f"M{num(field.left)},{num(y)} H{num(field.right)}", stroke=ink, stroke_width="1.6",
                 stroke_dasharray="10 5")]  # fmt: skip
    if limit.met is not None:
        early, likely, late = (min(field.x(x), field.right) for x in limit.met)
        parts += [
            tag("path", d=f"M{num(early)},{num(y)} H{num(max(late, early + 1))}", stroke=ink, stroke_width=6),
            tag("path", d=f"M{num(likely)},{num(y)} V{num(field.bottom)}", stroke=ink, stroke_width=1),
            tag("circle", cx=likely, cy=y, r=5, fill=field.colours.paper, stroke=ink, stroke_width="2.4"),
        ]
    return tag("g", *parts, class_="limit")


def _arcs(course: HeatCourse, field: _Field) -> str:
    """Where arcs burn, along the foot: filled where made, an outline where planned; numbers as far as there is room."""
    p, parts, free = field.colours, [], 0.0
    for on, off, number, made in course.arcs:
        x, long = field.x(on), max(2.0, field.x(off) - field.x(on))
        parts.append(tag("rect", x=x, y=field.bottom + 4, width=long, height=LANE - 5, fill=p.heat if made else p.paper,
                         stroke=p.heat, stroke_width="1.2", class_="burn made" if made else "burn planned"))  # fmt: skip
        if x + long > free:
            free = x + long + 6 + width_of(number, 11)
            parts.append(words(number, x + long + 3, field.bottom + 4 + (LANE - 5) / 2, font_size=11, fill=p.soft))
    return tag("g", *parts, class_="arcs")


def _moment(field: _Field) -> str:
    """Hidden until a page moves it: `data-` tells where the axis begins and ends."""
    return tag("path", d=f"M0,{num(TOP)} V{num(field.bottom)}", stroke=field.colours.ink, stroke_width="2.4", visibility="hidden",
               class_="moment", data_left=num(field.left), data_right=num(field.right), data_low=f"{field.x_axis.low:g}",
               data_high=f"{field.x_axis.high:g}")  # fmt: skip


@dataclass(frozen=True, slots=True)
class _Named:
    """A name, the curve it belongs to, how heavy it is set, and how its line is dashed ("-" for a dot)."""

    name: str
    curve: tuple[Point, ...]
    weight: int
    dashes: str = ""


def _named(course: HeatCourse, field: _Field) -> tuple[list[_Named], list[tuple[Point, ...]]]:
    """What is named, and everything that a name keeps clear of."""
    found = []
    for limit in course.limits:
        found.append(
            _Named(limit.name, tuple((x, field.y(limit.value)) for x in (field.left, field.right)), 700, "10 5")
        )
    for line in course.lines:
        curve = tuple((field.x(x), field.y(value)) for x, _, value, _ in line.rows)
        if curve:
            found.append(_Named(line.name, curve, 400, "" if line.made else "6 3"))
    dots = [((field.x(x), field.y(y)),) for x, y in course.read]
    things = [one.curve for one in found] + dots
    return found + [_Named(course.read_name, dot, 400, "-") for dot in dots[-1:]], things


def _names(course: HeatCourse, field: _Field) -> tuple[list[str], list[tuple[_Named, str]]]:
    """Each name by its own line, where it is farthest from all else; where nothing is free, it goes below with a sample."""
    named, things = _named(course, field)
    parts: list[str] = []
    below: list[tuple[_Named, str]] = []
    taken: list[tuple[float, float, float]] = []
    for one in named:
        if not one.name:
            continue
        narrow = field.right - field.left < NARROW - 100
        name = one.name.partition(" (")[0] if narrow else one.name  # the range is drawn, and stands in the table
        text = shorten(name, room=(field.right - field.left) * 0.95, size=SIZE)
        half = width_of(text, SIZE) / 2
        (x, y), clear = _best(one.curve, things, taken, half, field)
        if clear < CLEAR:
            below.append((one, text))
            continue
        taken.append((x, y, half))
        parts.append(words(text, x, y, font_size=SIZE, text_anchor="middle", fill=field.colours.ink, font_weight=one.weight,
                           stroke=field.colours.paper, stroke_width=4, paint_order="stroke", class_="label"))  # fmt: skip
    return parts, below


def _sample(one: _Named, text: str, y: float, field: _Field) -> str:
    """A name below the field, after a piece of its line."""
    ink, x = field.colours.ink, field.left
    if one.dashes == "-":
        piece = tag("circle", cx=x + 12, cy=float(y), r=4, fill=field.colours.paper, stroke=ink, stroke_width=2)
    else:
        piece = tag(
            "path", d=f"M{num(x)},{num(y)} h24", stroke=ink, stroke_width="1.8", stroke_dasharray=one.dashes or None
        )
    return piece + words(text, x + 32, y, font_size=SIZE, fill=ink, font_weight=one.weight, class_="label")


def _best(
    curve: Sequence[Point], things: Sequence[Sequence[Point]], taken: Sequence[tuple[float, float, float]], half: float,
    field: _Field,
) -> tuple[Point, float]:  # fmt: skip
    """Where beside its curve a name stands clearest, and how clear that is."""
    xs, ys = np.array(curve).T
    best, most = (field.left + half, TOP + 10), -math.inf
    low, high = field.left + half + 4, field.right - half - 2
    for share in SHARES:
        x = low + share * max(0.0, high - low)
        if not xs[0] - half <= x <= xs[-1] + half:
            continue
        here = float(np.interp(x, xs, ys))
        for y in (here - 12, here + 13):
            if not TOP + 6 <= y <= field.bottom - 8:
                continue
            far = min([_apart(x, y, half, thing) for thing in things]
                      + [abs(y - other) - 6 if abs(x - at) < half + wide + 6 else 60.0 for at, other, wide in taken])  # fmt: skip
            if min(far, 30.0) > most + 0.5:
                best, most = (x, y), min(far, 30.0)
    return best, most


def _apart(x: float, y: float, half: float, thing: Sequence[tuple[float, float]]) -> float:
    """How far above or below a name the thing passes."""
    xs, ys = np.array(thing).T
    inside = np.concatenate([np.linspace(x - half, x + half, 9), xs])  # its corners too: a peak is narrow
    inside = inside[(np.abs(inside - x) <= half + 3) & (inside >= xs[0] - 6) & (inside <= xs[-1] + 6)]
    return float(np.abs(np.interp(inside, xs, ys) - y).min()) if inside.size else 60.0


def _told(course: HeatCourse, said: Mapping[str, str]) -> str:
    parts = [f"{course.x_label}; {course.y_label}"]
    for line in course.lines:
        if line.rows:
            top = max(line.rows, key=lambda row: row[2])
            parts.append(f"{line.name}: {line.rows[0][2]:.0f}, {top[2]:.0f} ({top[0]:.3g}), {line.rows[-1][2]:.0f} "
                         f"({say(said, 'to')} {line.rows[-1][0]:.3g})")  # fmt: skip
    parts += [limit.name for limit in course.limits]
    return ". ".join(parts) + "."
