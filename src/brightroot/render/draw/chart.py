"""A curve over time: what the model expects as a band, what was read as points, what the limit is as a line."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from brightroot.model.picture import Chart, Series
from brightroot.render.draw.axis import Axis, power_axis, straight_axis, written
from brightroot.render.draw.palette import Palette, palette_of
from brightroot.render.draw.said import ENGLISH, say
from brightroot.render.draw.spread import spread_line
from brightroot.render.draw.tags import drawing, num, prefix_of, shorten, tag, width_of, words

SIZE = 13.0
NARROW = 500  # under this the lines' names stand inside the field: a margin would cut them


@dataclass(frozen=True, slots=True)
class Plot:
    """The field of a chart: its axes, its edges, its colours."""

    x_axis: Axis
    y_axis: Axis
    left: float
    right: float
    top: float
    bottom: float
    width: float
    palette: Palette
    prefix: str

    def x(self, value: float) -> float:
        return self.left + self.x_axis.share(value) * (self.right - self.left)

    def y(self, value: float) -> float:
        share = min(1.0, max(0.0, self.y_axis.share(value)))  # a log axis has no zero; its foot stands for it
        return self.bottom - share * (self.bottom - self.top)


def chart(
    chart: Chart,
    *,
    width_px: int = 720,
    height_px: int = 300,
    palette: str = "page",
    said: Mapping[str, str] = ENGLISH,
) -> str:
    """A chart as SVG text. Points that are not numbers are left out, never drawn somewhere."""
    series = tuple(_known(s, log=chart.log_y) for s in chart.series)
    plot = _plot(chart, series, width=width_px, height=height_px, palette=palette)
    empty = not any(s.points or s.band for s in series)
    clocks = [s for s in series if s.kind == "clock"]
    nothing = words(say(said, "no_points"), (plot.left + plot.right) / 2, (plot.top + plot.bottom) / 2,
                    text_anchor="middle", fill=plot.palette.soft) if empty else ""  # fmt: skip
    return drawing(
        _window(plot),
        _axes(chart, plot),
        *(_band(s, plot) for s in series),
        *(_line(s, plot, clocks.index(s) if s in clocks else 0) for s in series),
        *_marks(chart, plot),
        *_names(series, plot),
        nothing,
        prefix=plot.prefix,
        title=chart.title,
        described=_told(chart, series, said),
        box=(float(width_px), float(height_px)),
        width_px=width_px,
        kind="chart narrow" if width_px < NARROW else "chart wide",
    )


def _known(series: Series, *, log: bool) -> Series:
    def fine(*values: float) -> bool:
        return all(math.isfinite(v) for v in values) and not (log and values[-1] <= 0)

    points = tuple(p for p in series.points if fine(*p))
    band = tuple(b for b in series.band if fine(*b))
    return Series(series.name, series.kind, points, band)


def _plot(chart: Chart, series: tuple[Series, ...], *, width: int, height: int, palette: str) -> Plot:
    xs = [p[0] for s in series for p in s.points] + [b[0] for s in series for b in s.band]
    xs += [x for x, _ in chart.marks if math.isfinite(x)]
    ys = [p[1] for s in series for p in s.points] + [v for s in series for b in s.band for v in b[1:]]
    y_axis = power_axis(ys) if chart.log_y else straight_axis(ys)
    x_axis = straight_axis(xs, most_ticks=8)
    if xs:
        x_axis = Axis(x_axis.low, max(*xs, x_axis.low + 1e-9), tuple(t for t in x_axis.ticks if t <= max(xs)))
    names = max((width_of(s.name, SIZE) for s in series if s.points or s.band), default=0.0)
    left = 14 + max(width_of(written(t), SIZE) for t in y_axis.ticks)
    top = 46.0 if chart.marks else 30.0
    right = width - (20.0 if width < NARROW else min(names + 16, width * 0.3))
    prefix = prefix_of("chart", chart, width, height, palette)
    return Plot(x_axis, y_axis, left, right, top, height - 44.0, float(width), palette_of(palette), prefix)


def _window(plot: Plot) -> str:
    field = tag(
        "rect", x=plot.left, y=plot.top - 2, width=plot.right - plot.left + 4, height=plot.bottom - plot.top + 4
    )
    return tag("defs", tag("clipPath", field, id=f"{plot.prefix}field"))


def _axes(chart: Chart, plot: Plot) -> str:
    p = plot.palette
    middle = (plot.left + plot.right) / 2
    parts = [_rule(plot.left, plot.bottom, plot.right, plot.bottom, stroke=p.soft)]
    for value in plot.y_axis.ticks:
        y = plot.y(value)
        parts.append(_rule(plot.left, y, plot.right, y, stroke=p.faint, stroke_dasharray="1 3"))
        parts.append(words(written(value), plot.left - 6, y, font_size=13, text_anchor="end", fill=p.soft))
    for value in plot.x_axis.ticks:
        x = plot.x(value)
        parts.append(_rule(x, plot.bottom, x, plot.bottom + 5, stroke=p.soft))
        parts.append(words(written(value), x, plot.bottom + 15, font_size=13, text_anchor="middle", fill=p.soft))
    parts.append(words(chart.y_label, 4.0, 11.0, font_size=13, fill=p.soft))
    parts.append(words(chart.x_label, middle, plot.bottom + 34, font_size=13, text_anchor="middle", fill=p.soft))
    return tag("g", *parts, class_="axes")


def _rule(x1: float, y1: float, x2: float, y2: float, **looks: object) -> str:
    return tag("line", x1=x1, y1=y1, x2=x2, y2=y2, stroke_width="0.8", **looks)


def _band(series: Series, plot: Plot) -> str:
    """Low to high as a pale field between two thin lines: seen in grey, and in one ink."""
    if len(series.band) < 2:
        return ""
    upper = [f"{num(plot.x(x))},{num(plot.y(high))}" for x, _, high in series.band]
    lower = [f"{num(plot.x(x))},{num(plot.y(low))}" for x, low, _ in series.band]
    field = tag(
        "path",
        d="M" + " L".join([*upper, *reversed(lower)]) + " Z",
        fill=plot.palette.soft,
        fill_opacity=plot.palette.veil,
    )
    edges = tag("path", d=f"M{' L'.join(upper)} M{' L'.join(lower)}", fill="none", stroke=plot.palette.soft,
                stroke_width="0.7", stroke_dasharray="2 2")  # fmt: skip
    return tag("g", field, edges, class_="series-band", clip_path=f"url(#{plot.prefix}field)")


def _line(series: Series, plot: Plot, nth: int = 0) -> str:
    """Model a thin line, limit a heavy dashed one, floor a dotted one, measured a line through its points."""
    if not series.points:
        return ""
    p = plot.palette
    places = [(plot.x(x), plot.y(y)) for x, y in series.points]
    if series.kind == "clock":  # one over its line, the next under it
        places = [(x, y + (9 if nth % 2 else -9)) for x, y in places]
    if series.kind in OWN_SHAPES:
        return tag("g", *OWN_SHAPES[series.kind](places, plot), class_=f"series series-{series.kind}")
    path = "M" + " L".join(f"{num(x)},{num(y)}" for x, y in places)
    looks: dict[str, dict[str, object]] = {
        "model": {"stroke": p.soft, "stroke_width": "1.6"},
        "limit": {"stroke": p.ink, "stroke_width": "2.4", "stroke_dasharray": "10 5"},
        "floor": {"stroke": p.soft, "stroke_width": "1.6", "stroke_dasharray": "2 4"},
        "measured": {"stroke": p.ink, "stroke_width": 1},
    }
    line = tag("path", d=path, fill="none", stroke_linejoin="round", clip_path=f"url(#{plot.prefix}field)",
               **looks.get(series.kind, looks["model"]))  # fmt: skip
    if series.kind != "measured":
        return tag("g", line, class_=f"series series-{series.kind}")
    radius = 4 if len(places) <= 40 else 2
    dots = [tag("circle", cx=x, cy=y, r=radius, fill=p.ink, stroke=p.paper, stroke_width=1) for x, y in places]
    return tag("g", line, *dots, class_="series series-measured")


def _clock(places: Places, plot: Plot) -> list[str]:
    """Early to late as a whisker, the likely moment as a diamond on it."""
    (early, y), (likely, _), (late, _) = places[0], places[len(places) // 2], places[-1]
    early, late = max(plot.left, early), min(plot.right, late)
    bar = f"M{num(early)},{num(y)} H{num(late)} M{num(early)},{num(y - 6)} v12 M{num(late)},{num(y - 6)} v12"
    shape = f"M{num(likely)},{num(y - 7)} l6,7 l-6,7 l-6,-7 Z"
    p = plot.palette
    return [
        tag("path", d=bar, fill="none", stroke=p.ink, stroke_width=2),
        tag("path", d=shape, fill=p.paper, stroke=p.ink, stroke_width=2),
    ]


def _beyond(places: Places, plot: Plot) -> list[str]:
    """An arrow upward from the most that the display can show."""
    paths = [f"M{num(x)},{num(y)} v-12 m-4,5 l4,-5 l4,5" for x, y in places]
    return [tag("path", d=d, fill="none", stroke=plot.palette.ink, stroke_width="1.6") for d in paths]


Places = list[tuple[float, float]]
OWN_SHAPES = {"clock": _clock, "beyond": _beyond}


def _marks(chart: Chart, plot: Plot) -> list[str]:
    """What happened at a moment: an upright line and its words on top, kept apart."""
    known = [(x, text) for x, text in chart.marks if math.isfinite(x)]
    sizes = [width_of(text, SIZE) + 10 for _, text in known]
    middles = spread_line([plot.x(x) for x, _ in known], sizes, low=plot.left - 20, high=plot.right + 60)
    parts = []
    for (at, text), x in zip(known, middles):
        line = tag("path", d=f"M{num(plot.x(at))},{num(plot.bottom)} V{num(plot.top)} L{num(x)},{num(plot.top - 8)}",
                   stroke=plot.palette.soft, stroke_width=1, fill="none")  # fmt: skip
        said = words(text, x, plot.top - 16, font_size=13, text_anchor="middle", fill=plot.palette.ink, class_="label")
        parts.append(tag("g", line, said, class_="mark"))
    return parts


def _names(series: tuple[Series, ...], plot: Plot) -> list[str]:
    """Each line's name where the line ends, moved only as far as the names must be apart."""
    if plot.width < NARROW:
        return _names_inside(series, plot)
    ending = [(s, s.points[-1] if s.points else (s.band[-1][0], s.band[-1][2])) for s in series if s.points or s.band]
    ys = spread_line([plot.y(y) for _, (_, y) in ending], [17.0] * len(ending), low=plot.top - 8, high=plot.bottom + 8)
    parts = []
    for (one, (at, value)), y in zip(ending, ys):
        x, true = plot.x(at), plot.y(value)
        ink = plot.palette.soft if one.kind == "model" else plot.palette.ink
        if abs(true - y) > 4 or plot.right - x > 6:
            parts.append(tag("path", d=f"M{num(x + 5)},{num(true)} L{num(plot.right + 6)},{num(y)}",
                             stroke=plot.palette.faint, stroke_width="0.8", fill="none", class_="leader"))  # fmt: skip
        text = shorten(one.name, room=plot.width - plot.right - 12, size=SIZE)
        parts.append(words(text, plot.right + 9, y, font_size=13, fill=ink, font_weight=None if one.kind == "model" else 700,
                           class_="label"))  # fmt: skip
    return parts


def _names_inside(series: tuple[Series, ...], plot: Plot) -> list[str]:
    """On a phone's width: over its line at the right, or beside its last point for what was read. Paper round each."""
    drawn = [s for s in series if s.points or s.band]
    lines = [s for s in drawn if s.kind not in ("measured", "clock", "beyond") or not s.points]
    ends = [plot.y(s.points[-1][1] if s.points else s.band[-1][2]) for s in lines]
    ys = spread_line([y - 10 for y in ends], [17.0] * len(lines), low=plot.top, high=plot.bottom - 2)
    parts = [_name_inside(s.name, s.kind, plot.right - 4, y, "end", plot) for s, y in zip(lines, ys)]
    taken = [_place(s.name, plot.right - 4, y, "end") for s, y in zip(lines, ys)]
    taken += [(plot.left, plot.right, y - 1.5, y + 1.5) for s, y in zip(lines, ends) if s.kind == "limit"]
    for one in (s for s in drawn if s not in lines):
        x, y = plot.x(one.points[-1][0]), plot.y(one.points[-1][1])
        beside, at = (("start", x + 9),) if x + 10 + width_of(one.name, SIZE) < plot.right else (), ("end", x - 9)
        offsets = (0.0, -13.0, 13.0, -20.0, 20.0, -28.0, 28.0, -38.0, 38.0, -50.0, 50.0)
        free = [
            (anchor, side, y + dy)
            for anchor, side in (*beside, at)
            for dy in offsets
            if plot.top <= y + dy <= plot.bottom - 8
        ] or [("end", x - 9, y)]
        anchor, side, best = min(free, key=lambda f: _covered(_place(one.name, f[1], f[2], f[0]), taken))
        taken.append(_place(one.name, side, best, anchor))
        parts.append(_name_inside(one.name, one.kind, side, best, anchor, plot))
    return parts


Box = tuple[float, float, float, float]  # left, right, top, bottom


def _place(name: str, x: float, y: float, anchor: str) -> Box:
    """What a name takes of the drawing, with the paper round it."""
    wide = width_of(name, SIZE)
    left = x - wide if anchor == "end" else x
    return left, left + wide, y - 8.5, y + 8.5


def _covered(box: Box, taken: list[Box]) -> float:
    """How much of a place is taken already; of equal ones the first that was thought of is kept."""
    left, right, top, bottom = box
    return sum(
        max(0.0, min(right, r) - max(left, lft)) * max(0.0, min(bottom, b) - max(top, t)) for lft, r, t, b in taken
    )


def _name_inside(name: str, kind: str, x: float, y: float, anchor: str, plot: Plot) -> str:
    text = shorten(name, room=(plot.right - plot.left) * 0.8, size=SIZE)
    fill, weight = (plot.palette.soft, None) if kind == "model" else (plot.palette.ink, 700)
    return words(text, x, y, font_size=13, fill=fill, font_weight=weight, text_anchor=anchor, class_="label",
                 stroke=plot.palette.paper, stroke_width=4, paint_order="stroke")  # fmt: skip


def _told(chart: Chart, series: tuple[Series, ...], said: Mapping[str, str]) -> str:
    """From where to where each line goes, and what was marked."""
    parts = [f"{chart.x_label}; {chart.y_label}"]
    for one in series:
        if not one.points:
            continue
        (x1, y1), (x2, y2) = one.points[0], one.points[-1]
        parts.append(f"{one.name}: {y1:.4g} ({x1:.3g}) {say(said, 'to')} {y2:.4g} ({x2:.3g})")
    parts += [f"{text} ({x:.3g})" for x, text in chart.marks if math.isfinite(x)]
    return ". ".join(parts) + "."
