"""The same joint cut at six o'clock and laid flat: root at the bottom, cap on top, six to six from left to right."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from brightroot.model.picture import Face, RingMark, RingRun
from brightroot.render.draw.dress import dressed, number_in, numbered
from brightroot.render.draw.flat import LEFT, RIGHT, ROW, WIDTH, Flat, flat_of, pieces_of, share_of, symbols_x
from brightroot.render.draw.marks import symbol
from brightroot.render.draw.palette import hatches
from brightroot.render.draw.said import ENGLISH, say
from brightroot.render.draw.spread import clearest
from brightroot.render.draw.tags import drawing, hint, num, shorten, tag, width_of, words
from brightroot.render.draw.told import told, told_mark, told_run


def strip(face: Face, *, width_px: int = 720, palette: str = "page", said: Mapping[str, str] = ENGLISH) -> str:
    """The unrolled joint as SVG text."""
    marks = [m for m in face.marks if m.kind != "tack"]
    rows = _rows(face, marks, said)
    flat = flat_of(face, palette=palette, said=said, top=len(rows) * ROW + (34 if rows or marks else 12))
    height = flat.bottom + 62
    return drawing(
        hatches(flat.palette, prefix=flat.prefix),
        *(_band(name, top, bottom, flat) for name, top, bottom in flat.bands),
        _axis(face, flat),
        *(_tape(arc, flat) for arc in face.arcs),
        *(_run(run, flat.lane_of[k], face, flat) for k, run in enumerate(face.runs)),
        *(_tack(m, flat) for m in face.marks if m.kind == "tack"),
        *_marks(marks, flat),
        *_labels(rows, flat),
        prefix=flat.prefix,
        title=face.title,
        described=told(face, said),
        box=(WIDTH, height),
        width_px=width_px,
        kind="strip",
    )


def _band(name: str, top: float, bottom: float, flat: Flat) -> str:
    ground = tag("rect", x=LEFT, y=top, width=RIGHT - LEFT, height=bottom - top, fill=flat.palette.wash, class_="band")
    text = shorten(say(flat.said, name), room=LEFT - 12, size=14)
    return ground + words(text, LEFT - 8, (top + bottom) / 2, text_anchor="end", fill=flat.palette.soft)


def _tape(arc: tuple[str, float, float, bool], flat: Flat) -> str:
    _, from_rad, sweep_rad, is_open = arc
    y = flat.bands[-1][1] - 7
    parts = []
    for a, b in pieces_of(from_rad, sweep_rad):
        x1, x2 = sorted((flat.x(a), flat.x(b)))
        if not is_open:
            parts.append(
                tag(
                    "path",
                    d=f"M{num(x1 + 2)},{num(y)} H{num(x2 - 2)}",
                    stroke=flat.palette.faint,
                    stroke_width=3,
                    class_="tape",
                )
            )
            continue
        count = max(2, round((x2 - x1) / 9))
        strokes = [f"M{num(x1 + (x2 - x1) * (k + 0.5) / count)},{num(y - 4)} v8" for k in range(count)]
        strokes += [f"M{num(x)},{num(y - 7)} v14" for x in (x1, x2)]
        parts.append(
            tag("path", d=" ".join(strokes), stroke=flat.palette.gas, stroke_width=2, fill="none", class_="open")
        )
    return "".join(parts)


def _run(run: RingRun, lane: tuple[float, float], face: Face, flat: Flat) -> str:
    top, bottom = lane
    pieces = pieces_of(run.from_rad, run.sweep_rad)
    body = ""
    for k, (a, b) in enumerate(pieces):
        head = k == len(pieces) - 1
        half = min(abs(flat.x(b) - flat.x(a)) / 2, (bottom - top) * 1.6)
        middle = flat.x(a + (b - a) * 0.48)
        bar = f"M{num(middle - half)},{num(bottom)} L{num(middle + half)},{num(top)}"
        shape = _shape(flat.x(a), flat.x(b), top + 1.5, bottom - 1.5, head=head, notched=run.state == "now")
        body += dressed(shape, state=run.state, palette=flat.palette, prefix=flat.prefix, bar=bar, thick=bottom - top)
    body += _number(run, max(pieces, key=lambda p: abs(p[1] - p[0])), lane, face, flat)
    return tag("g", hint(told_run(run, flat.said)), body, class_=f"run run-{run.state}", data_run=run.number)


def _shape(x1: float, x2: float, top: float, bottom: float, *, head: bool, notched: bool) -> str:
    """Flat where it starts, pointed where it goes to; a piece that runs on over the cut stays flat."""
    sign = 1 if x2 >= x1 else -1
    trim = min(1.2, abs(x2 - x1) * 0.1)
    x1, x2 = x1 + sign * trim, x2 - sign * (trim if head else 0)
    point = sign * min((bottom - top) * 0.5, abs(x2 - x1) * 0.35) if head else 0.0
    ends, mid = (x2, x2 - point) if notched else (x2 - point, x2)
    middle = (top + bottom) / 2
    return f"M{num(x1)},{num(bottom)} V{num(top)} H{num(ends)} L{num(mid)},{num(middle)} L{num(ends)},{num(bottom)} Z"


def _number(run: RingRun, piece: tuple[float, float], lane: tuple[float, float], face: Face, flat: Flat) -> str:
    text = number_in(run.state, run.number)
    size = min(13.0, (lane[1] - lane[0]) * 0.66)
    wide = width_of(text, size)
    x1, x2 = flat.x(piece[0]), flat.x(piece[1])
    if size < 7.5 or wide + 6 > abs(x2 - x1):
        return ""
    tacks = [flat.x(share_of(m.at_rad)) for m in face.marks if m.kind == "tack"] if run.band == "root" else []

    def room(share: float) -> float:
        return min((abs(x1 + (x2 - x1) * share - t) for t in tacks), default=math.inf)

    x = x1 + (x2 - x1) * clearest(room=room, need=wide / 2 + 9)
    y = (lane[0] + lane[1]) / 2
    return numbered(run.number, x, y, size=size, state=run.state, palette=flat.palette)


def _tack(mark: RingMark, flat: Flat) -> str:
    """A notch across the root, its name under it."""
    _, top, bottom = flat.bands[0]
    x = flat.x(share_of(mark.at_rad))
    shape = f"M{num(x - 5.5)},{num(top - 1)} H{num(x + 5.5)} L{num(x + 3.2)},{num(bottom + 4)} H{num(x - 3.2)} Z"
    body = tag("path", d=shape, fill=flat.palette.paper, stroke=flat.palette.paper, stroke_width=4)
    body += dressed(
        shape,
        state=mark.state,
        palette=flat.palette,
        prefix=flat.prefix,
        bar=f"M{num(x)},{num(top - 3)} V{num(bottom + 6)}",
    )
    name = words(
        mark.text,
        x,
        bottom + 13,
        font_size=12,
        text_anchor="middle",
        fill=flat.palette.soft,
        class_="tack-name",
        stroke=flat.palette.paper,
        stroke_width=4,
        paint_order="stroke",
    )
    return tag(
        "g",
        hint(told_mark(mark, flat.said)),
        body,
        name if mark.text else "",
        class_=f"mark tack tack-{mark.state}",
    )


def _marks(marks: list[RingMark], flat: Flat) -> list[str]:
    parts = []
    y = flat.top - 12
    for mark, x in zip(marks, symbols_x(marks)):
        true = flat.x(share_of(mark.at_rad))
        line = tag("path", d=f"M{num(true)},{num(flat.bands[-1][1] + 2)} V{num(flat.top + 2)} L{num(x)},{num(y)}",
                   stroke=flat.palette.soft, stroke_width=1, fill="none")  # fmt: skip
        shape = symbol(mark.kind, x=x, y=y, state=mark.state, palette=flat.palette)
        parts.append(tag("g", hint(told_mark(mark, flat.said)), line, shape, class_=f"mark mark-{mark.kind}"))
    return parts


@dataclass(frozen=True, slots=True)
class Label:
    """Words over the strip: whose symbol they stand over, and whether they say that an arc is open."""

    x: float
    text: str
    opening: bool

    @property
    def half(self) -> float:
        return width_of(self.text, 14) / 2

    @property
    def middle(self) -> float:
        """Where the words stand: over their symbol, unless the sheet's edge is nearer than half of them."""
        return min(max(self.x, self.half + 3), WIDTH - self.half - 3)


def _rows(face: Face, marks: list[RingMark], said: Mapping[str, str]) -> list[list[Label]]:
    """The labels in as few rows as keep them apart, lowest row first."""
    labels = [Label(x, m.text, False) for m, x in zip(marks, symbols_x(marks)) if m.text]
    for name, from_rad, sweep_rad, is_open in face.arcs:
        if is_open:
            a, b = max(pieces_of(from_rad, sweep_rad), key=lambda p: abs(p[1] - p[0]))
            labels.append(Label(LEFT + (a + b) / 2 * (RIGHT - LEFT), f"{name} {say(said, 'open')}", True))
    labels.sort(key=lambda label: label.middle)
    rows: list[list[Label]] = []
    ends: list[float] = []
    for label in labels:
        half = label.half + 6
        row = next((k for k, end in enumerate(ends) if label.middle - half >= end), len(rows))
        if row == len(rows):
            rows.append([])
            ends.append(-LEFT)
        rows[row].append(label)
        ends[row] = label.middle + half
    return rows


def _labels(rows: list[list[Label]], flat: Flat) -> list[str]:
    """The leaders first, then the words with paper round them, so that no line runs through a reading."""
    leaders, said = [], []
    for k, row in enumerate(rows):
        y = flat.top - 30 - k * ROW
        for label in row:
            if k and not label.opening:
                line = f"M{num(label.x)},{num(flat.top - 22)} V{num(y + 8)}"
                leaders.append(
                    tag("path", d=line, stroke=flat.palette.faint, stroke_width="0.8", fill="none", class_="leader")
                )
            fill, weight = (flat.palette.gas, 700) if label.opening else (flat.palette.ink, None)
            said.append(words(label.text, label.middle, y, font_size=14, text_anchor="middle", fill=fill, font_weight=weight,
                              stroke=flat.palette.paper, stroke_width=3, paint_order="stroke", class_="label"))  # fmt: skip
    return [*leaders, *said]


def _axis(face: Face, flat: Flat) -> str:
    """The clock along the bottom, and how the strip is to be read."""
    parts = [
        tag(
            "line",
            x1=LEFT,
            y1=flat.bottom + 3,
            x2=RIGHT,
            y2=flat.bottom + 3,
            stroke=flat.palette.faint,
            stroke_width="0.8",
        )
    ]
    for hour in range(13):
        x = flat.x(hour / 12)
        quarter = hour % 3 == 0
        parts.append(
            tag(
                "line",
                x1=x,
                y1=flat.bottom + 3,
                x2=x,
                y2=flat.bottom + (10 if quarter else 7),
                stroke=flat.palette.soft,
                stroke_width=2 if quarter else 1,
            )
        )
        if quarter:
            parts.append(
                words(
                    str((hour + 5) % 12 + 1),
                    x,
                    flat.bottom + 28,
                    font_size=15,
                    font_weight=700,
                    text_anchor="middle",
                    fill=flat.palette.ink,
                )
            )
    line = f"{face.datum} · {face.view} · {say(flat.said, 'six')}"
    parts.append(
        words(
            shorten(line, room=WIDTH - 8, size=13),
            WIDTH / 2,
            flat.bottom + 50,
            font_size=13,
            text_anchor="middle",
            fill=flat.palette.soft,
        )
    )
    return tag("g", *parts, class_="foot")
