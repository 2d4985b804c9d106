"""The joint as a ring seen along its axis, twelve up: what is planned, done and found, where it is."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from brightroot.base.clock import TURN_RAD
from brightroot.model.picture import Face, RingMark, RingRun
from brightroot.render.draw.beside import beside
from brightroot.render.draw.dial import centre, dial
from brightroot.render.draw.dress import dressed, number_in, numbered
from brightroot.render.draw.palette import hatches, palette_of
from brightroot.render.draw.ring import CENTRE, OUTER, TAPE, Lane, Sheet, arc_line, bar_across, ring_lanes, sector
from brightroot.render.draw.said import ENGLISH, say
from brightroot.render.draw.spread import clearest
from brightroot.render.draw.tags import drawing, hint, lines_of, num, prefix_of, tag, width_of, words
from brightroot.render.draw.told import told, told_mark, told_run

FOOT_SIZE, FOOT_STEP = 13.0, 18.0


def clock_face(face: Face, *, size_px: int = 480, palette: str = "page", said: Mapping[str, str] = ENGLISH) -> str:
    """The clock face of a joint as SVG text."""
    sheet = Sheet(palette_of(palette), prefix_of("clock", face, palette), said, face.turned_rad)
    rings, lane_of = ring_lanes(face)
    bore = rings[0][0].inner
    around = beside(face, sheet)
    foot = _foot(face, sheet, room=2 * around.half - 8)
    return drawing(
        hatches(sheet.palette, prefix=sheet.prefix),
        _ground(face, rings, sheet),
        _tape(face, sheet),
        *(_run(run, lane_of[k], face.marks, sheet) for k, run in enumerate(face.runs)),
        *_tacks(face, rings, sheet),
        dial(face, bore, sheet),
        centre(face.centre, bore, sheet),
        *around.drawn,
        *(_foot_line(line, around.bottom + FOOT_STEP * (k + 1), sheet) for k, line in enumerate(foot)),
        prefix=sheet.prefix,
        title=face.title,
        described=told(face, said),
        box=(2 * around.half, around.bottom + FOOT_STEP * (len(foot) + 0.6) - around.top),
        corner=(CENTRE[0] - around.half, around.top),
        width_px=size_px,
        kind="clock-face",
    )


def _ground(face: Face, rings: list[list[Lane]], sheet: Sheet) -> str:
    """The wall of the pipe and the bands on it."""
    parts = []
    for lanes_ in rings:
        inner, outer = lanes_[0].inner, lanes_[-1].outer
        parts.append(tag("circle", cx=CENTRE[0], cy=CENTRE[1], r=(inner + outer) / 2, fill="none",
                         stroke=sheet.palette.wash, stroke_width=outer - inner, class_="band"))  # fmt: skip
    for radius in (rings[0][0].inner - 1, OUTER + 1):
        parts.append(
            tag(
                "circle",
                cx=CENTRE[0],
                cy=CENTRE[1],
                r=radius,
                fill="none",
                stroke=sheet.palette.faint,
                stroke_width="0.8",
            )
        )
    return tag("g", *parts, class_="ground")


def _tape(face: Face, sheet: Sheet) -> str:
    """The tape over the gap, arc by arc; where it is off, argon comes out."""
    parts = []
    for name, from_rad, sweep_rad, is_open in face.arcs:
        pad = min(2.5 / TAPE, abs(sweep_rad) / 8)
        if is_open:
            parts.append(_opening(name, from_rad, sweep_rad, sheet))
            continue
        line = arc_line(TAPE, from_rad + pad, sweep_rad - 2 * pad, sheet=sheet)
        parts.append(tag("path", d=line, fill="none", stroke=sheet.palette.faint, stroke_width=3, class_="tape"))
    return tag("g", *parts, class_="tapes")


def _opening(name: str, from_rad: float, sweep_rad: float, sheet: Sheet) -> str:
    """No tape: two stops at the ends and strokes outward, in the colour of argon."""
    gas = sheet.palette.gas
    count = max(2, round(abs(sweep_rad) * TAPE / 9))
    strokes = []
    for k in range(count):
        at = from_rad + sweep_rad * (k + 0.5) / count
        (x1, y1), (x2, y2) = sheet.place(TAPE - 5, at), sheet.place(TAPE + 4, at)
        strokes.append(f"M{num(x1)},{num(y1)} L{num(x2)},{num(y2)}")
    for at in (from_rad, from_rad + sweep_rad):
        (x1, y1), (x2, y2) = sheet.place(TAPE - 7, at), sheet.place(TAPE + 8, at)
        strokes.append(f"M{num(x1)},{num(y1)} L{num(x2)},{num(y2)}")
    return tag("path", d=" ".join(strokes), fill="none", stroke=gas, stroke_width=2, class_="open")


def _run(run: RingRun, lane: Lane, marks: Sequence[RingMark], sheet: Sheet) -> str:
    shape = sector(lane, run.from_rad, run.sweep_rad, sheet=sheet, notched=run.state == "now")
    bar = bar_across(lane, run.from_rad, run.sweep_rad, sheet=sheet)
    body = dressed(
        shape, state=run.state, palette=sheet.palette, prefix=sheet.prefix, bar=bar, thick=lane.outer - lane.inner
    )
    title = hint(told_run(run, sheet.said))
    return tag("g", title, body, _number(run, lane, marks, sheet), class_=f"run run-{run.state}", data_run=run.number)


def _number(run: RingRun, lane: Lane, marks: Sequence[RingMark], sheet: Sheet) -> str:
    """The run's number where it fits and where no tack sits; on thin lanes it lies along the ring."""
    thick = lane.outer - lane.inner
    size = min(13.0, thick * 0.66)
    wide = width_of(number_in(run.state, run.number), size)
    if size < 7.5 or wide + 8 > abs(run.sweep_rad) * lane.middle:
        return ""
    at = run.from_rad + run.sweep_rad * _free_share(run, lane, marks, wide)
    x, y = sheet.place(lane.middle, at)
    along = math.degrees((at + sheet.turned_rad + math.pi / 2) % math.pi) - 90 if thick < 20 else 0.0
    return numbered(run.number, x, y, size=size, state=run.state, palette=sheet.palette, along_deg=along)


def _free_share(run: RingRun, lane: Lane, marks: Sequence[RingMark], wide: float) -> float:
    """How far along the run its number stands: the middle, or the nearest place clear of tacks."""
    tacks = [m.at_rad for m in marks if m.kind == "tack"] if run.band == "root" else []

    def room(share: float) -> float:
        at = run.from_rad + run.sweep_rad * share
        return min((abs((at - t + math.pi) % TURN_RAD - math.pi) for t in tacks), default=math.inf)

    return clearest(room=room, need=(wide / 2 + 9) / lane.middle)


def _tacks(face: Face, rings: list[list[Lane]], sheet: Sheet) -> list[str]:
    """Tacks: notches right across the root."""
    inner, outer = rings[0][0].inner - 4, rings[0][-1].outer + 1
    found = []
    for mark in face.marks:
        if mark.kind != "tack":
            continue
        half_in, half_out = 3.2 / inner, 5.5 / outer
        corners = [(inner, -half_in), (outer, -half_out), (outer, half_out), (inner, half_in)]
        places = [sheet.place(r, mark.at_rad + a) for r, a in corners]
        shape = "M" + " L".join(f"{num(x)},{num(y)}" for x, y in places) + " Z"
        a, b = sheet.place(inner - 2, mark.at_rad), sheet.place(outer + 2, mark.at_rad)
        bar = f"M{num(a[0])},{num(a[1])} L{num(b[0])},{num(b[1])}"
        body = tag("path", d=shape, fill=sheet.palette.paper, stroke=sheet.palette.paper, stroke_width=4)
        body += dressed(shape, state=mark.state, palette=sheet.palette, prefix=sheet.prefix, bar=bar)
        found.append(tag("g", hint(told_mark(mark, sheet.said)), body, class_=f"mark tack tack-{mark.state}"))
    return found


def _foot(face: Face, sheet: Sheet, *, room: float) -> list[str]:
    """How the ring is to be read, whole: which way is up, from where, which way the clock runs, what lies inside."""
    bands = ", ".join(say(sheet.said, b) for b in face.bands)
    said = (face.datum, face.view, say(sheet.said, "clockwise"), f"{say(sheet.said, 'outward')}: {bands}")
    lines: list[str] = []
    for statement in said:
        longer = f"{lines[-1]} · {statement}" if lines else statement
        if lines and width_of(longer, FOOT_SIZE) <= room:
            lines[-1] = longer
        else:
            lines += lines_of(statement, room=room, size=FOOT_SIZE)
    return lines


def _foot_line(line: str, y: float, sheet: Sheet) -> str:
    return words(line, CENTRE[0], y, font_size=13, text_anchor="middle", fill=sheet.palette.soft, class_="foot")
