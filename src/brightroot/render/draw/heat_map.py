"""The unrolled joint as a map of heights is drawn: lines of equal temperature, a wash that deepens, the clock along its foot."""

from __future__ import annotations

import itertools
import math
from collections.abc import Mapping

import numpy as np

from brightroot.model.picture import HeatMap
from brightroot.render.draw.flat import LEFT, RIGHT, WIDTH, share_of
from brightroot.render.draw.palette import Palette, palette_of
from brightroot.render.draw.said import ENGLISH, say
from brightroot.render.draw.tags import drawing, num, prefix_of, tag, width_of, words

TOP, BOTTOM, FOOT = 30.0, 178.0, 46.0
STEPS_C = (40, 60, 80, 100, 150, 200, 300, 400, 600, 800, 1000, 1400)
ZERO_C_K = 273.15
DEEPEST = 0.82  # how much of the hue the hottest wash has
CLIP = "heat-map-field"  # the same rectangle on every map, so one name does
PLAIN_C = 25  # lines closer than this to one with words are left out


def heat_map(picture: HeatMap, *, width_px: int = 720, palette: str = "page", said: Mapping[str, str] = ENGLISH) -> str:
    """The map as SVG text. Paper has lines only: one ink cannot be thinned."""
    colours = palette_of(palette)
    field = _Field(picture)
    most = max(max(row) for row in picture.warm_K) - ZERO_C_K
    steps = [float(step) for step in STEPS_C if step < most]
    prefix = prefix_of("heat", picture, palette)
    return drawing(
        tag("defs", tag("clipPath", tag("rect", x=LEFT, y=TOP, width=RIGHT - LEFT, height=BOTTOM - TOP), id=CLIP)),
        tag("rect", x=LEFT, y=TOP, width=RIGHT - LEFT, height=BOTTOM - TOP, fill=colours.wash, class_="ground"),
        *(_wash(field, step, n, len(steps), colours) for n, step in enumerate(steps) if palette != "paper"),
        _plain(field, steps, picture, colours),
        _named(field, picture, colours),
        _frame(picture, colours),
        _arc(picture, colours),
        words(picture.moment, LEFT, 14, fill=colours.ink, font_size=15),
        prefix=prefix,
        title=f"{picture.title}. {picture.moment}",
        described=_told(picture, most, said),
        box=(WIDTH, BOTTOM + FOOT),
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
        high, low = max(picture.along_m), min(picture.along_m)
        y = [BOTTOM - (m - low) / (high - low) * (BOTTOM - TOP) for m in picture.along_m]
        x = [LEFT + share * (RIGHT - LEFT) for share in shares]
        self.found = contour_generator(x, y, values, name="serial")
        self.filled = contour_generator(x, y, values, name="serial", fill_type="OuterOffset")

    def lines(self, value: float) -> list[list[tuple[float, float]]]:
        """Lines at a temperature; what lies over the cut is clipped away where they are drawn."""
        return [_rows(line) for line in self.found.lines(value)]

    def areas(self, value: float) -> str:
        """Everything hotter, as one path."""
        points, offsets, *_ = self.filled.filled(value, 1e9)
        pieces = []
        for area, cuts in zip(points, offsets or (), strict=True):
            if area is None or cuts is None:
                continue
            for start, end in itertools.pairwise(cuts):
                ring = [(min(max(x, LEFT), RIGHT), y) for x, y in _rows(area[start:end])]
                pieces.append(_path(ring) + " Z")
        return " ".join(pieces)


def _rows(points: object) -> list[tuple[float, float]]:
    return [(float(x), float(y)) for x, y in points]  # type: ignore[attr-defined]


def _path(points: list[tuple[float, float]]) -> str:
    return "M" + " L".join(f"{num(x)},{num(y)}" for x, y in points)


def _wash(field: _Field, step: float, n: int, count: int, colours: Palette) -> str:
    shape = field.areas(step)
    if not shape:
        return ""
    # each deeper area lies on the ones before it, so each adds the same share of what is left
    own = 1 - (1 - DEEPEST) ** (1 / max(count, 1))
    return tag(
        "path", d=shape, fill=colours.heat, fill_opacity=f"{own:.3f}", fill_rule="evenodd", class_=f"wash wash-{n}"
    )


def _alone(step: float, picture: HeatMap) -> bool:
    return all(abs(step + ZERO_C_K - value) > PLAIN_C for value, _ in picture.lines)


def _plain(field: _Field, steps: list[float], picture: HeatMap, colours: Palette) -> str:
    """Thin lines, their numbers small at their feet where no other number stands."""
    parts: list[str] = []
    taken: list[tuple[float, float]] = []
    for value in (step for step in steps if _alone(step, picture)):
        lines = field.lines(value)
        d = " ".join(_path(line) for line in lines)
        parts.append(
            tag("path", d=d, stroke=colours.ink, stroke_width=0.8, stroke_opacity="0.55", fill="none", class_="line")
        )
        seen = [(x, y) for line in lines for x, y in line if LEFT + 14 < x < RIGHT - 14 and y < BOTTOM - 8]
        x, y = max(seen, key=lambda point: point[1], default=(0.0, 0.0))
        if seen and all(abs(x - other) > 30 or abs(y - below) > 13 for other, below in taken):
            taken.append((x, y))
            parts.append(words(f"{value:.0f}", x, y - 1, text_anchor="middle", fill=colours.soft, font_size=10,
                               stroke=colours.paper, stroke_width=2.5, paint_order="stroke", class_="step"))  # fmt: skip
    return tag("g", *parts, clip_path=f"url(#{CLIP})")


def _named(field: _Field, picture: HeatMap, colours: Palette) -> str:
    """The lines that the work turns on, each with its words over its top, none on another."""
    parts: list[str] = []
    taken: list[float] = []
    for value, name in sorted(picture.lines):
        lines = field.lines(value - ZERO_C_K)
        if not lines:
            continue
        parts.append(tag("path", d=" ".join(_path(line) for line in lines), stroke=colours.ink, stroke_width=2, fill="none",
                         clip_path=f"url(#{CLIP})", class_="line named"))  # fmt: skip
        seen = [(x, y) for line in lines for x, y in line if LEFT <= x <= RIGHT]
        x, y = min(seen, key=lambda point: point[1], default=(LEFT, TOP))
        half = width_of(name, 13) / 2
        y = max(TOP + 10, y - 10)
        while any(abs(y - other) < 15 for other in taken):
            y += 5
        taken.append(y)
        parts.append(words(name, min(max(x, LEFT + half + 4), RIGHT - half - 4), y, text_anchor="middle", fill=colours.ink,
                           font_size=13, stroke=colours.paper, stroke_width=4, paint_order="stroke", class_="name"))  # fmt: skip
    return "".join(parts)


def _frame(picture: HeatMap, colours: Palette) -> str:
    parts = [tag("rect", x=LEFT, y=TOP, width=RIGHT - LEFT, height=BOTTOM - TOP, fill="none", stroke=colours.faint)]
    low, high = min(picture.along_m) * 1000, max(picture.along_m) * 1000
    for mm in (low, 0.0, high):
        y = BOTTOM - (mm - low) / (high - low) * (BOTTOM - TOP)
        parts.append(words(f"{abs(mm):.0f}", LEFT - 6, y, text_anchor="end", fill=colours.soft, font_size=12))
    middle = BOTTOM + low / (high - low) * (BOTTOM - TOP)
    parts.append(
        tag(
            "path",
            d=f"M{num(LEFT)},{num(middle)} H{num(RIGHT)}",
            stroke=colours.soft,
            stroke_dasharray="1 4",
            class_="weld",
        )
    )
    for hour in (6, 7, 8, 9, 10, 11, 12, 1, 2, 3, 4, 5, 6.001):
        share = ((hour % 12) - 6) / 12 % 1 if hour != 6.001 else 1.0
        x = LEFT + share * (RIGHT - LEFT)
        parts.append(tag("path", d=f"M{num(x)},{num(BOTTOM)} v5", stroke=colours.soft))
        parts.append(words(f"{int(hour)}", x, BOTTOM + 15, text_anchor="middle", fill=colours.soft, font_size=13))
    parts.append(words("mm", LEFT - 6, TOP - 12, text_anchor="end", fill=colours.soft, font_size=12))
    return "".join(parts)


def _arc(picture: HeatMap, colours: Palette) -> str:
    """A wedge at the foot under where the arc went off."""
    if picture.arc_at_rad is None:
        return ""
    x = LEFT + share_of(picture.arc_at_rad) * (RIGHT - LEFT)
    return tag("path", d=f"M{num(x)},{num(BOTTOM + 1)} l-7,-11 h14 Z", fill=colours.ink, class_="arc-off")


def _told(picture: HeatMap, most: float, said: Mapping[str, str]) -> str:
    lines = "; ".join(name for _, name in picture.lines)
    row = max(range(len(picture.warm_K)), key=lambda n: max(picture.warm_K[n]))
    column = max(range(len(picture.at_rad)), key=lambda n: picture.warm_K[row][n])
    hour = (picture.at_rad[column] / math.tau * 12) % 12
    return f"{picture.moment}: {most:.0f} °C, {say(said, 'clockwise')}, {hour:.0f} h. {lines}."
