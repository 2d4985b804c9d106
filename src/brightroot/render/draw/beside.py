"""What stands beside the ring: everything that was read or seen, its words, and how much of a sheet they need."""

from __future__ import annotations

import math
from dataclasses import dataclass

from brightroot.model.picture import Face, RingMark
from brightroot.render.draw.marks import symbol
from brightroot.render.draw.ring import CENTRE, OUTER, TAPE, Sheet
from brightroot.render.draw.said import say
from brightroot.render.draw.spread import spread_line, spread_round
from brightroot.render.draw.tags import hint, num, shorten, tag, width_of, words
from brightroot.render.draw.told import told_mark

BARE, ROLLED, MOST = 166.0, 240.0, 330.0  # half the sheet: nothing beside the ring, room for `up`, at most
SYMBOL, LABEL, CLEAR = 166.0, 186.0, 176.0
LABEL_SIZE, LABEL_STEP = 14.0, 18.0


@dataclass(frozen=True, slots=True)
class Beside:
    """Symbols and words as drawn; half the width they need, and from where down to where."""

    drawn: list[str]
    half: float
    top: float
    bottom: float


@dataclass(frozen=True, slots=True)
class Label:
    """Words beside the ring, and the clock position they speak of."""

    at_rad: float
    text: str
    fill: str
    weight: int | None
    right: bool


def beside(face: Face, sheet: Sheet) -> Beside:
    """Everything outside the ring, half to the right and half to the left, none on another."""
    spread = _spread(face)
    placed = [placed for right in (True, False) for placed in _placed(_labels(face, spread, sheet, right=right), sheet)]
    drawn = [part for label, x, y in placed for part in _said(label, x, y, sheet)]
    drawn += [_mark(mark, at, sheet) for mark, at in spread]
    spots = [(*sheet.place(SYMBOL, at), 12.0) for _, at in spread]
    spots += [(x, y, width_of(label.text, LABEL_SIZE) + 4) for label, x, y in placed]
    least = ROLLED if sheet.turned_rad else BARE
    return Beside(
        drawn,
        half=max([least, *(abs(x - CENTRE[0]) + reach for x, _, reach in spots)]),
        top=0.0 if sheet.turned_rad else min([CENTRE[1] - BARE, *(y - 12 for _, y, _ in spots)]),
        bottom=max([CENTRE[1] + BARE, *(y + 10 for _, y, _ in spots)]),
    )


def _spread(face: Face) -> list[tuple[RingMark, float]]:
    """The marks beside the ring, each with where its symbol stands."""
    marks = [m for m in face.marks if m.kind != "tack"]
    return list(zip(marks, spread_round([m.at_rad for m in marks], apart_rad=16 / SYMBOL)))


def _labels(face: Face, spread: list[tuple[RingMark, float]], sheet: Sheet, *, right: bool) -> list[Label]:
    """The words of one side, no more of them than there is height for; the rest are told and hinted."""
    found = [Label(at, m.text, sheet.palette.ink, None, right) for m, at in spread if m.text]
    found += [
        Label(from_rad + sweep_rad / 2, f"{name} {say(sheet.said, 'open')}", sheet.palette.gas, 700, right)
        for name, from_rad, sweep_rad, is_open in face.arcs
        if is_open
    ]
    side = [label for label in found if (math.sin(label.at_rad + sheet.turned_rad) >= 0) is right]
    return side[: int(2 * LABEL / LABEL_STEP)]


def _placed(side: list[Label], sheet: Sheet) -> list[tuple[Label, float, float]]:
    """Each label as near as may be to its mark. Only words are ever shortened, and only very long ones."""
    wanted = [sheet.place(LABEL, label.at_rad)[1] for label in side]
    ys = spread_line(wanted, [LABEL_STEP] * len(side), low=CENTRE[1] - LABEL - 18, high=CENTRE[1] + LABEL + 18)
    found = []
    for label, y in zip(side, ys):
        near = max(0.0, abs(y - CENTRE[1]) - LABEL_STEP / 2)
        out = max(10.0, math.sqrt(max(0.0, CLEAR**2 - near**2)))
        text = shorten(label.text, room=MOST - out - 4, size=LABEL_SIZE)
        short = Label(label.at_rad, text, label.fill, label.weight, label.right)
        found.append((short, CENTRE[0] + (out if label.right else -out), y))
    return found


def _said(label: Label, x: float, y: float, sheet: Sheet) -> list[str]:
    """The words, with a leader where they had to move away."""
    from_x, from_y = sheet.place(SYMBOL + 8, label.at_rad)
    anchor = "start" if label.right else "end"
    said = words(
        label.text, x, y, font_size=14, fill=label.fill, font_weight=label.weight, text_anchor=anchor, class_="label"
    )
    if math.hypot(from_x - x, from_y - y) <= 12:
        return [said]
    line = f"M{num(from_x)},{num(from_y)} L{num(x - 2 if label.right else x + 2)},{num(y)}"
    return [tag("path", d=line, stroke=sheet.palette.faint, stroke_width="0.8", fill="none", class_="leader"), said]


def _mark(mark: RingMark, at_rad: float, sheet: Sheet) -> str:
    """A symbol with a line to where it was read."""
    places = [sheet.place(OUTER - 2, mark.at_rad), sheet.place(TAPE + 3, mark.at_rad), sheet.place(SYMBOL, at_rad)]
    line = "M" + " L".join(f"{num(x)},{num(y)}" for x, y in places)
    x, y = places[-1]
    return tag(
        "g",
        hint(told_mark(mark, sheet.said)),
        tag("path", d=line, stroke=sheet.palette.soft, stroke_width=1, fill="none"),
        symbol(mark.kind, x=x, y=y, state=mark.state, palette=sheet.palette),
        class_=f"mark mark-{mark.kind}",
    )
