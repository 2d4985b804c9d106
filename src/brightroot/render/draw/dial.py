"""Inside the ring: the clock's ticks and numerals, the names of the tacks, a few words in the middle."""

from __future__ import annotations

import math

from brightroot.base.clock import TURN_RAD
from brightroot.model.picture import Face
from brightroot.render.draw.ring import CENTRE, OUTER, Sheet
from brightroot.render.draw.said import say
from brightroot.render.draw.tags import num, shorten, tag, width_of, words


def dial(face: Face, bore: float, sheet: Sheet) -> str:
    """Ticks at the hours, numerals at the quarters, the names of the tacks between them."""
    parts = []
    for hour in range(12):
        at = hour / 12 * TURN_RAD
        (x1, y1), (x2, y2) = sheet.place(bore - 3, at), sheet.place(bore - (8 if hour % 3 == 0 else 6), at)
        parts.append(
            tag("line", x1=x1, y1=y1, x2=x2, y2=y2, stroke=sheet.palette.soft, stroke_width=2 if hour % 3 == 0 else 1)
        )
    tacks = [(m.at_rad, m.text) for m in face.marks if m.kind == "tack" and m.text]
    radius = bore - 16
    apart = 23 / radius
    if (len(tacks) + 4) * apart > TURN_RAD:
        tacks = []
    quarters = [(hour / 12 * TURN_RAD, str(hour or 12)) for hour in (0, 3, 6, 9)]
    spread = _beside([at for at, _ in tacks], [at for at, _ in quarters], apart)
    for at, text in quarters:
        x, y = sheet.place(radius, at)
        parts.append(
            words(
                text,
                x,
                y,
                font_size=15,
                font_weight=700,
                text_anchor="middle",
                fill=sheet.palette.ink,
                class_="numeral",
            )
        )
    for at, (_, text) in zip(spread, tacks):
        x, y = sheet.place(radius, at)
        parts.append(words(text, x, y, font_size=12, text_anchor="middle", fill=sheet.palette.soft, class_="tack-name"))
    if face.turned_rad:
        parts.append(_datum(sheet))
    return tag("g", *parts, class_="dial")


def _beside(wanted: list[float], fixed: list[float], apart: float) -> list[float]:
    """Each wanted angle, moved clear of the fixed ones, to the side where it already leans; clockwise when undecided."""
    moved = []
    for at in wanted:
        for f in fixed:
            off = (at - f + math.pi) % TURN_RAD - math.pi
            if abs(off) < apart:
                at = f + math.copysign(apart, off if abs(off) > 1e-6 else 1)
        moved.append(at)
    return moved


def _datum(sheet: Sheet) -> str:
    """The mark on the pipe that is called twelve, and where up is now that the pipe has been rolled."""
    a, b, c = sheet.place(OUTER - 4, 0), sheet.place(OUTER + 14, -0.055), sheet.place(OUTER + 14, 0.055)
    path = f"M{num(a[0])},{num(a[1])} L{num(b[0])},{num(b[1])} L{num(c[0])},{num(c[1])} Z"
    notch = tag("path", d=path, fill=sheet.palette.ink, stroke=sheet.palette.paper, stroke_width=2, class_="datum")
    arrow = tag("path", d="M14,30 V8 M8,15 L14,8 L20,15", stroke=sheet.palette.soft, stroke_width=2, fill="none")
    return notch + arrow + words(say(sheet.said, "up"), 26.0, 19.0, font_size=13, fill=sheet.palette.soft, class_="up")


def centre(text: str, bore: float, sheet: Sheet) -> str:
    """A few words in the middle: on one line, or on two where that is larger."""
    if not text:
        return ""
    pieces = text.split()
    splits = [[text]] + [[" ".join(pieces[:k]), " ".join(pieces[k:])] for k in range(1, len(pieces))]

    def size(lines: list[str]) -> float:
        half_diagonal = math.hypot(max(width_of(line, 1) for line in lines) / 2, len(lines) * 1.15 / 2)
        return min(36.0, (bore - 29) / half_diagonal)

    lines = max(splits, key=size)
    fit = max(9.0, size(lines))
    lines = [shorten(line, room=2 * (bore - 26), size=fit) for line in lines]
    top = CENTRE[1] - (len(lines) - 1) * fit * 0.575
    ink = sheet.palette.ink
    said = [
        words(
            line, CENTRE[0], top + k * fit * 1.15, font_size=num(fit), font_weight=700, text_anchor="middle", fill=ink
        )
        for k, line in enumerate(lines)
    ]
    return tag("g", *said, class_="centre")
