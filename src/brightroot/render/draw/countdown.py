"""A wait as a bar: early, likely, late, and how much of it is over. The tone sounds at the late end."""

from __future__ import annotations

import math
from collections.abc import Mapping

from brightroot.base.errors import Refused
from brightroot.base.show import show_time
from brightroot.render.draw.palette import Palette, hatches, palette_of
from brightroot.render.draw.said import ENGLISH, say
from brightroot.render.draw.spread import spread_line
from brightroot.render.draw.tags import drawing, num, prefix_of, tag, width_of, words

WIDTH, HEIGHT = 480.0, 84.0
LEFT, RIGHT, TOP, BOTTOM = 12.0, 452.0, 26.0, 50.0


def countdown(
    *,
    low_s: float,
    value_s: float,
    high_s: float,
    elapsed_s: float = 0.0,
    title: str = "",
    width_px: int = 480,
    palette: str = "page",
    said: Mapping[str, str] = ENGLISH,
) -> str:
    """The wait as SVG text: solid for what is over, hatched from early to late, a bell where the tone sounds.

    Time beyond the late end fills the bar and no more: the wait is over, and the words on the page say since when.
    """
    times = (low_s, value_s, high_s)
    if (
        not all(math.isfinite(t) and t >= 0 for t in (*times, elapsed_s))
        or not low_s <= value_s <= high_s
        or high_s <= 0
    ):
        raise Refused(
            field="hold_s", wanted="early, likely and late in that order, not negative", got=f"{times}, {elapsed_s}"
        )
    colours = palette_of(palette)
    prefix = prefix_of("countdown", times, elapsed_s, palette, title)
    shown = [f"{say(said, name)} {show_time(t)}" for name, t in zip(("early", "likely", "late"), times)]
    return drawing(
        hatches(colours, prefix=prefix),
        *_bar(low_s, high_s, elapsed_s, colours, prefix),
        *_ends(times, shown, colours),
        _bell(colours),
        prefix=prefix,
        title=title or f"{show_time(value_s)} ({show_time(low_s)}–{show_time(high_s)})",
        described=", ".join(shown) + f"; {show_time(elapsed_s)}",
        box=(WIDTH, HEIGHT),
        width_px=width_px,
        kind="countdown",
    )


def _x(seconds: float, high_s: float) -> float:
    return LEFT + min(1.0, seconds / high_s) * (RIGHT - LEFT)


def _bar(low_s: float, high_s: float, elapsed_s: float, colours: Palette, prefix: str) -> list[str]:
    early, now = _x(low_s, high_s), _x(elapsed_s, high_s)
    tall = BOTTOM - TOP
    return [
        tag("rect", x=LEFT, y=TOP, width=RIGHT - LEFT, height=tall, fill=colours.wash),
        tag("rect", x=early, y=TOP, width=RIGHT - early, height=tall, fill=f"url(#{prefix}hold)", class_="range"),
        tag("rect", x=LEFT, y=TOP + 4, width=now - LEFT, height=tall - 8, fill=colours.ink, class_="elapsed"),
        tag(
            "rect", x=LEFT, y=TOP, width=RIGHT - LEFT, height=tall, fill="none", stroke=colours.ink, stroke_width="1.4"
        ),
        tag("path", d=f"M{num(now)},{num(TOP - 4)} V{num(BOTTOM + 4)}", stroke=colours.paper, stroke_width=6),
        tag(
            "path", d=f"M{num(now)},{num(TOP - 6)} V{num(BOTTOM + 6)}", stroke=colours.ink, stroke_width=3, class_="now"
        ),
    ]


def _ends(times: tuple[float, float, float], shown: list[str], colours: Palette) -> list[str]:
    """The three times under the bar, each below its place, none on another."""
    wide = [width_of(text, 14) + 8 for text in shown]
    middles = spread_line([_x(t, times[2]) for t in times], wide, low=0.0, high=WIDTH)
    parts = []
    for k, (t, text, x) in enumerate(zip(times, shown, middles)):
        true = _x(t, times[2])
        parts.append(tag("path", d=f"M{num(true)},{num(BOTTOM)} V{num(BOTTOM + 7)} L{num(x)},{num(BOTTOM + 13)}",
                         stroke=colours.soft, stroke_width=1, fill="none"))  # fmt: skip
        parts.append(words(text, x, BOTTOM + 22, font_size=14, text_anchor="middle", fill=colours.ink if k == 2 else colours.soft,
                           font_weight=700 if k == 2 else None, class_="label"))  # fmt: skip
    return parts


def _bell(colours: Palette) -> str:
    """Where the tone sounds: a source and two waves."""
    x, y = RIGHT + 7, (TOP + BOTTOM) / 2
    waves = f"M{num(x + 4)},{num(y - 5)} a7,7 0 0 1 0,10 M{num(x + 9)},{num(y - 9)} a13,13 0 0 1 0,18"
    source = tag("circle", cx=x, cy=y, r=2.5, fill=colours.ink)
    return source + tag("path", d=waves, fill="none", stroke=colours.ink, stroke_width=2, class_="tone")
