"""Film colours as a drill core: thickness downward to scale, each nanometre a bar as long as it is light, hatches beside."""

from __future__ import annotations

from collections.abc import Mapping

from brightroot.model.tint_picture import TintCore, TintShade, TintStretch
from brightroot.render.draw.palette import Palette, palette_of
from brightroot.render.draw.said import ENGLISH
from brightroot.render.draw.tags import drawing, lines_of, num, prefix_of, shorten, tag, width_of, words

PER_NM = 2.75
TOP, LEFT = 26.0, 34.0
HATCH = 26.0
LONGEST = 96.0  # of a bar: a perfect white
WIDE_LONGEST = 250.0
NARROW = 500
SIZE = 14.0


def tint_core(core: TintCore, *, width_px: int = 560, palette: str = "page", said: Mapping[str, str] = ENGLISH) -> str:
    """The sequence as SVG text. The colours are light, so they stay what they are on every theme and on paper."""
    colours = palette_of(palette)
    longest = LONGEST if width_px < NARROW else WIDE_LONGEST
    last_nm = core.shades[-1].film_nm
    height = TOP + last_nm * PER_NM + 30
    prefix = prefix_of("tint", core, width_px, palette)
    bars_at = LEFT + HATCH + 4
    return drawing(
        *(_bar(shade, bars_at, longest) for shade in core.shades),
        *(_stretch(one, n, core, colours, bars_at + longest + 10, width_px) for n, one in enumerate(core.stretches)),
        words(core.unit_label, LEFT - 8, TOP - 14, font_size=12, text_anchor="end", fill=colours.soft),
        words(core.length_label, bars_at, height - 12, font_size=12, fill=colours.soft),
        prefix=prefix,
        title=core.title,
        described=". ".join(
            f"{one.name}: {one.told}" + (f", {one.note}" if one.note else "") for one in core.stretches
        ),
        box=(float(width_px), height),
        width_px=width_px,
        kind="chart narrow tint-core" if width_px < NARROW else "chart wide tint-core",
    )


def _bar(shade: TintShade, left: float, longest: float) -> str:
    """A hair taller than its step, so that no seam shows."""
    return tag(
        "rect", x=left, y=TOP + (shade.film_nm - 0.5) * PER_NM, width=longest * shade.lightness_1 / 100,
        height=PER_NM + 0.9, fill=f"#{shade.red:02x}{shade.green:02x}{shade.blue:02x}",
    )  # fmt: skip


def _stretch(
    one: TintStretch, nth: int, core: TintCore, colours: Palette, words_at: float, width_px: int
) -> str:  # fmt: skip
    top = TOP + one.low_nm * PER_NM
    bottom = TOP + (core.shades[-1].film_nm + 0.5 if one.high_nm is None else one.high_nm) * PER_NM
    frame = tag("rect", x=LEFT, y=top, width=HATCH, height=bottom - top, fill=colours.paper, stroke=colours.ink,
                stroke_width="1")  # fmt: skip
    rule = tag("path", d=f"M{num(LEFT)},{num(top)} H{num(width_px - 4)}", stroke=colours.ink, stroke_width="0.8")
    number = words(f"{one.low_nm:.0f}", LEFT - 8, top, font_size=12, text_anchor="end", fill=colours.soft)
    return tag(
        "g",
        frame,
        _hatched(nth, top, bottom, colours),
        rule,
        number,
        *_said(one, top, bottom, colours, words_at, width_px),
    )


def _said(
    one: TintStretch, top: float, bottom: float, colours: Palette, left: float, width_px: int
) -> list[str]:  # fmt: skip
    """The name, its nanometres, and what it is taken for, on as many lines as the stretch is high."""
    room = width_px - left - 4
    whole = f"{one.name}, {one.told}"
    heads = [whole] if width_of(whole, SIZE) <= room else [shorten(one.name, room=room, size=SIZE), one.told]
    lines = [(line, 14, 600, colours.ink) for line in heads]
    lines += [(line, 12, 400, colours.soft) for line in (lines_of(one.note, room=room, size=12) if one.note else [])]
    # where there is no room for the nanometres, the numbers down the left still tell them
    kept = lines[: max(1, min(len(lines), int((bottom - top - 2) / 16)))]
    first = (top + bottom) / 2 - (len(kept) - 1) * 8
    return [
        words(line, left, first + n * 16, font_size=size, font_weight=weight, fill=fill)
        for n, (line, size, weight, fill) in enumerate(kept)
    ]


def _hatched(nth: int, top: float, bottom: float, colours: Palette) -> str:
    """More lines, thicker film: one way in the first order, crossed from the sixth stretch on."""
    gap = max(2.6, 13.0 - 2.1 * nth) if nth < 6 else max(3.4, 9.0 - 1.8 * (nth - 6))
    paths = []
    start = top + gap / 2
    while nth > 0 and start < bottom - 1:
        paths.append(f"M{num(LEFT + 1)},{num(start)} H{num(LEFT + HATCH - 1)}")
        start += gap
    across = LEFT + gap / 2
    while nth >= 6 and across < LEFT + HATCH - 1:
        paths.append(f"M{num(across)},{num(top + 1)} V{num(bottom - 1)}")
        across += gap
    if not paths:
        return ""
    return tag("path", d=" ".join(paths), stroke=colours.ink, stroke_width="1.1", fill="none", class_="hatch")
