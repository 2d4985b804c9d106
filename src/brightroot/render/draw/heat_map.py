"""The unrolled joint as a map of heights is drawn: lines of equal temperature, a wash that deepens, the clock along its foot."""

from __future__ import annotations

import itertools
import math
from collections.abc import Mapping, Sequence

import numpy as np

from brightroot.model.picture import HeatMap
from brightroot.render.draw.flat import LEFT, RIGHT, WIDTH, share_of
from brightroot.render.draw.palette import Palette, palette_of
from brightroot.render.draw.said import ENGLISH, say
from brightroot.render.draw.tags import drawing, num, prefix_of, tag, width_of, words
from brightroot.render.draw.thin import thinned

TOP, FOOT = 30.0, 42.0
USUAL, LEAST, MOST = 148.0, 112.0, 236.0  # height of the field: to scale between the two ends
STEPS_C = (40, 60, 80, 100, 150, 200, 300, 400, 600, 800, 1000, 1400)
STEPS_F = (100, 150, 200, 250, 300, 400, 600, 800, 1200, 1600, 2000, 2600)
ZERO_C_K = 273.15
DEEPEST = 0.86  # how much of the hue the hottest wash has
PLAIN_C = 25  # lines closer than this to one with words are left out
FINE = 0.25  # of a unit: no path is truer than that
Point = tuple[float, float]


def heat_map(picture: HeatMap, *, width_px: int = 720, palette: str = "page", said: Mapping[str, str] = ENGLISH) -> str:
    """The map as SVG text, to scale where that gives a height to look at. Paper has lines only: one ink cannot be thinned."""
    colours = palette_of(palette)
    field = _Field(picture)
    most = max(max(row) for row in picture.warm_K) - ZERO_C_K
    steps = [celsius for celsius in _steps(picture) if celsius < most]
    prefix = prefix_of("heat", picture, palette)
    ground = {"x": LEFT, "y": TOP, "width": RIGHT - LEFT, "height": field.bottom - TOP}
    taken: list[tuple[float, float, float]] = []
    return drawing(
        tag("defs", tag("clipPath", tag("rect", **ground), id=f"{prefix}w")),
        tag("rect", **ground, fill=colours.wash, class_="ground"),
        *(_wash(field, step, len(steps), colours) for step in steps if palette != "paper"),
        _frame(picture, field, colours),
        tag("g", *_lines(field, steps, picture, colours), clip_path=f"url(#{prefix}w)"),
        *_read(picture, field, colours, taken),
        *_names(field, picture, colours, taken),
        *_numbers(field, steps, picture, colours, taken),
        _arc(picture, field, colours),
        words(picture.moment, LEFT, 14, fill=colours.ink, font_size=15, font_weight=600),
        prefix=prefix,
        title=f"{picture.title}. {picture.moment}",
        described=_told(picture, most, said),
        box=(WIDTH, field.bottom + FOOT),
        width_px=width_px,
        kind="heat-map",
    )


class _Field:
    """Where on the drawing the numbers lie, from six to six, and the lines through them."""

    def __init__(self, picture: HeatMap) -> None:
        from contourpy import contour_generator

        order = sorted(range(len(picture.at_rad)), key=lambda n: share_of(picture.at_rad[n]))
        shares = [share_of(picture.at_rad[n]) for n in order]
        values = np.array(picture.warm_K)[:, order] - ZERO_C_K
        # the ring goes on over the cut
        shares = [shares[-1] - 1, *shares, shares[0] + 1]
        values = np.column_stack([values[:, -1], values, values[:, 0]])
        self.low_m, self.high_m = min(picture.along_m), max(picture.along_m)
        true = (RIGHT - LEFT) * (self.high_m - self.low_m) / picture.around_m if picture.around_m else USUAL
        self.bottom = TOP + min(max(true, LEAST), MOST)
        y = [self.y(m) for m in picture.along_m]
        x = [LEFT + share * (RIGHT - LEFT) for share in shares]
        self.found = contour_generator(x, y, values, name="serial")
        self.filled = contour_generator(x, y, values, name="serial", fill_type="OuterOffset")

    def y(self, along_m: float) -> float:
        """Down the drawing for a distance along the pipe."""
        return self.bottom - (along_m - self.low_m) / (self.high_m - self.low_m) * (self.bottom - TOP)

    def lines(self, value: float) -> list[list[Point]]:
        """Lines at a temperature; what lies over the cut is clipped away where they are drawn."""
        return [thinned(_rows(line), within=FINE) for line in self.found.lines(value)]

    def areas(self, value: float) -> str:
        """Everything hotter, as one path."""
        points, offsets, *_ = self.filled.filled(value, 1e9)
        pieces = []
        for area, cuts in zip(points, offsets or (), strict=True):
            if area is None or cuts is None:
                continue
            for start, end in itertools.pairwise(cuts):
                ring = [(min(max(x, LEFT), RIGHT), y) for x, y in _rows(area[start:end])]
                pieces.append(_path(thinned(ring, within=FINE)) + " Z")
        return " ".join(pieces)


def _rows(points: object) -> list[Point]:
    return [(float(x), float(y)) for x, y in points]  # type: ignore[attr-defined]


def _steps(picture: HeatMap) -> list[float]:
    """In °C, round in the person's own unit."""
    return [(f - 32) / 1.8 for f in STEPS_F] if picture.us else [float(c) for c in STEPS_C]


def _degrees(celsius: float, picture: HeatMap) -> str:
    return f"{celsius * 1.8 + 32:.0f}" if picture.us else f"{celsius:.0f}"


def _path(points: Sequence[Point]) -> str:
    return "M" + " L".join(f"{num(x)},{num(y)}" for x, y in points)


def _wash(field: _Field, step: float, count: int, colours: Palette) -> str:
    shape = field.areas(step)
    if not shape:
        return ""
    # each deeper area lies on the ones before it, so each adds the same share of what is left
    own = 1 - (1 - DEEPEST) ** (1 / max(count, 1))
    return tag("path", d=shape, fill=colours.heat, fill_opacity=f"{own:.3f}", fill_rule="evenodd", class_="wash")


def _alone(step: float, picture: HeatMap) -> bool:
    return all(abs(step + ZERO_C_K - value) > PLAIN_C for value, _ in picture.lines)


def _lines(field: _Field, steps: list[float], picture: HeatMap, colours: Palette) -> list[str]:
    """Thin lines at the steps, heavy ones at the temperatures that the work turns on."""
    thin = [(step, 0.8, "line") for step in steps if _alone(step, picture)]
    heavy = [(value - ZERO_C_K, 2.2, "line named") for value, _ in picture.lines]
    return [
        tag("path", d=" ".join(_path(line) for line in lines), stroke=colours.ink, stroke_width=f"{width}", fill="none",
            stroke_opacity="0.5" if width < 1 else None, class_=kind)
        for value, width, kind in (*thin, *heavy) if (lines := field.lines(value))
    ]  # fmt: skip


def _free(x: float, y: float, half: float, field: _Field, taken: Sequence[tuple[float, float, float]]) -> bool:
    inside = LEFT + half + 3 <= x <= RIGHT - half - 3 and TOP + 9 <= y <= field.bottom - 9
    return inside and all(abs(y - other) >= 15 or abs(x - at) >= half + wide + 4 for at, other, wide in taken)


def _names(
    field: _Field, picture: HeatMap, colours: Palette, taken: list[tuple[float, float, float]]
) -> list[str]:  # fmt: skip
    """The words of the heavy lines, just outside each where there is room, tied to it by a hair."""
    parts = []
    for value, name in sorted(picture.lines):
        seen = [(x, y) for line in field.lines(value - ZERO_C_K) for x, y in line if LEFT <= x <= RIGHT]
        if not seen:
            continue
        half = width_of(name, 13) / 2
        right, left = max(seen), min(seen)
        ends = [(right, 1.0), (left, -1.0)]
        spots = [
            (end, end[0] + way * (half + 16), end[1] + dy)
            for end, way in ends
            for dy in (0.0, -20.0, 20.0, -40.0, 40.0)
        ]
        spots += [
            ((x, y), x, y + dy)
            for x, y in (min(seen, key=lambda p: p[1]), max(seen, key=lambda p: p[1]))
            for dy in (-14.0, 14.0)
        ]
        found = next((spot for spot in spots if _free(*spot[1:], half, field, taken)), None)
        if found is None:
            continue
        (x0, y0), x, y = found
        taken.append((x, y, half))
        near = x - half - 2 if x > x0 + 4 else x + half + 2 if x < x0 - 4 else x
        parts.append(
            tag("path", d=f"M{num(x0)},{num(y0)} L{num(near)},{num(y)}", stroke=colours.ink, stroke_width="0.8")
        )
        parts.append(words(name, x, y, text_anchor="middle", fill=colours.ink, font_size=13, font_weight=600, stroke=colours.paper,
                           stroke_width=4, paint_order="stroke", class_="name"))  # fmt: skip
    return parts


def _numbers(
    field: _Field, steps: list[float], picture: HeatMap, colours: Palette, taken: list[tuple[float, float, float]]
) -> list[str]:  # fmt: skip
    """Small numbers on the thin lines, at their feet, where nothing else is written."""
    parts = []
    for value in (step for step in steps if _alone(step, picture)):
        seen = [
            (x, y)
            for line in field.lines(value)
            for x, y in line
            if LEFT + 14 < x < RIGHT - 14 and y < field.bottom - 9
        ]
        x, y = max(seen, key=lambda point: point[1], default=(0.0, 0.0))
        half = width_of(_degrees(value, picture), 10) / 2
        if seen and _free(x, y, half, field, taken):
            taken.append((x, y, half))
            parts.append(words(_degrees(value, picture), x, y, text_anchor="middle", fill=colours.soft, font_size=10,
                               stroke=colours.paper, stroke_width=2.5, paint_order="stroke", class_="step"))  # fmt: skip
    return parts


def _frame(picture: HeatMap, field: _Field, colours: Palette) -> str:
    parts = [
        tag("rect", x=LEFT, y=TOP, width=RIGHT - LEFT, height=field.bottom - TOP, fill="none", stroke=colours.faint)
    ]
    for m in (field.low_m, 0.0, field.high_m):
        parts.append(
            words(
                f"{abs(m) / 0.0254:.1f}" if picture.us else f"{abs(m) * 1000:.0f}",
                LEFT - 6,
                field.y(m),
                text_anchor="end",
                fill=colours.soft,
                font_size=12,
            )
        )
    parts.append(
        tag(
            "path",
            d=f"M{num(LEFT)},{num(field.y(0.0))} H{num(RIGHT)}",
            stroke=colours.soft,
            stroke_dasharray="1 4",
            class_="weld",
        )
    )
    for hour in range(6, 19):
        x = LEFT + (hour - 6) / 12 * (RIGHT - LEFT)
        parts.append(tag("path", d=f"M{num(x)},{num(field.bottom)} v5", stroke=colours.soft))
        parts.append(
            words(f"{(hour - 1) % 12 + 1}", x, field.bottom + 15, text_anchor="middle", fill=colours.soft, font_size=13)
        )
    parts.append(
        words("in" if picture.us else "mm", LEFT - 6, TOP - 12, text_anchor="end", fill=colours.soft, font_size=12)
    )
    return "".join(parts)


def _read(picture: HeatMap, field: _Field, colours: Palette, taken: list[tuple[float, float, float]]) -> list[str]:
    """A small ring where the thermometer is held, with what it would read."""
    if picture.read is None:
        return []
    at_rad, along_m, told = picture.read
    x, y = LEFT + share_of(at_rad) * (RIGHT - LEFT), field.y(along_m)
    half = width_of(told, 13) / 2
    beside = next((x + way * (half + 10) for way in (1, -1) if _free(x + way * (half + 10), y, half, field, taken)), x)
    taken += [(x, y, 6.0), (beside, y, half)]
    return [
        tag("circle", cx=x, cy=y, r=5, fill=colours.paper, stroke=colours.ink, stroke_width=2, class_="read"),
        words(told, beside, y, text_anchor="middle", fill=colours.ink, font_size=13, font_weight=600, stroke=colours.paper,
              stroke_width=4, paint_order="stroke", class_="name"),
    ]  # fmt: skip


def _arc(picture: HeatMap, field: _Field, colours: Palette) -> str:
    """A wedge at the foot under where the arc went off."""
    if picture.arc_at_rad is None:
        return ""
    x = LEFT + share_of(picture.arc_at_rad) * (RIGHT - LEFT)
    return tag("path", d=f"M{num(x)},{num(field.bottom + 1)} l-7,-11 h14 Z", fill=colours.ink, class_="arc-off")


def _told(picture: HeatMap, most: float, said: Mapping[str, str]) -> str:
    lines = "; ".join(name for _, name in picture.lines)
    row = max(range(len(picture.warm_K)), key=lambda n: max(picture.warm_K[n]))
    column = max(range(len(picture.at_rad)), key=lambda n: picture.warm_K[row][n])
    hour = (picture.at_rad[column] / math.tau * 12) % 12
    hottest = f"{_degrees(most, picture)} {'°F' if picture.us else '°C'}"
    return f"{picture.moment}: {hottest}, {say(said, 'clockwise')}, {hour:.0f} h. {lines}."
