"""Clock positions on the joint: radians clockwise from twelve, seen from the welding side.

On fixed pipe twelve is up; on rolled or vertical pipe it is the datum mark on the pipe.
"""

from __future__ import annotations

import math
import re

from brightroot.base.errors import Refused

TURN_RAD = 2 * math.pi


def read_clock(text: str, *, field: str) -> float:
    """`4:30`, `6`, `6 o'clock`, `135°` as radians clockwise from twelve.

    >>> round(read_clock("3:00", field="at_rad"), 4), round(read_clock("180°", field="at_rad"), 4)
    (1.5708, 3.1416)
    """
    clean = text.strip().lower().removesuffix("o'clock").removesuffix("h").strip()
    degrees = re.fullmatch(r"(\d+(?:[.,]\d+)?)\s*(?:°|deg)", clean)
    hours = re.fullmatch(r"(\d{1,2})(?::([0-5]\d))?", clean)
    if degrees and float(degrees[1].replace(",", ".")) <= 360:
        return math.radians(float(degrees[1].replace(",", "."))) % TURN_RAD
    if hours and int(hours[1]) <= 12:
        return (int(hours[1]) % 12 + int(hours[2] or 0) / 60) / 12 * TURN_RAD
    raise Refused(field=field, wanted="a clock position like 4:30, 6 or 135°", got=text, reason="refused.clock")


def show_clock(at_rad: float) -> str:
    """The clock position to the nearest five minutes, the way it is called across a joint.

    >>> show_clock(math.pi), show_clock(math.radians(135))
    ('6:00', '4:30')
    """
    minutes = round((at_rad % TURN_RAD) / TURN_RAD * 144) * 5 % 720
    return f"{minutes // 60 or 12}:{minutes % 60:02d}"


def apart_rad(*, one_rad: float, other_rad: float) -> float:
    """The shorter way round between two clock positions.

    >>> round(apart_rad(one_rad=0.1, other_rad=TURN_RAD - 0.1), 6)
    0.2
    """
    gap = abs(one_rad - other_rad) % TURN_RAD
    return min(gap, TURN_RAD - gap)


def beside_rad(*, from_rad: float, sweep_rad: float, at_rad: float) -> float:
    """How far a clock position lies outside a stretch (its sweep signed); nought inside.

    >>> beside_rad(from_rad=3.0, sweep_rad=-1.0, at_rad=1.5), beside_rad(from_rad=3.0, sweep_rad=-1.0, at_rad=2.5)
    (0.5, 0.0)
    """
    start_rad = from_rad if sweep_rad >= 0 else from_rad + sweep_rad
    past = (at_rad - start_rad) % TURN_RAD - abs(sweep_rad)
    return 0.0 if past <= 0 else min(past, TURN_RAD - abs(sweep_rad) - past)
