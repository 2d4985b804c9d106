"""SVG as text: elements, numbers and polar places. Presentation attributes only, so no style rule is ever broken."""

from __future__ import annotations

import math
from hashlib import sha256
from html import escape


def num(value: float) -> str:
    """A coordinate to a tenth of a unit: short, and the same on every machine.

    >>> num(3.04), num(-0.01), num(12.25)
    ('3', '0', '12.2')
    """
    if not math.isfinite(value):
        raise ValueError(f"not a place on a drawing: {value}")
    return f"{value:z.1f}".removesuffix(".0")


def tag(name: str, *inside: str, **attributes: object) -> str:
    """An element. `stroke_width=2` becomes `stroke-width="2"`, `class_` becomes `class`; None is left out.

    >>> tag("line", x1=0.5, class_="tick", fill=None)
    '<line x1="0.5" class="tick"/>'
    """
    parts = "".join(
        f' {key.rstrip("_").replace("_", "-")}="{num(v) if isinstance(v, float) else escape(str(v))}"'
        for key, v in attributes.items()
        if v is not None
    )
    body = "".join(inside)
    return f"<{name}{parts}>{body}</{name}>" if body else f"<{name}{parts}/>"


def words(text: str, x: float, y: float, **attributes: object) -> str:
    """A line of text with its middle, not its baseline, at y: renderers disagree on baselines, never on a number."""
    size = float(str(attributes.setdefault("font_size", 14)))
    return tag("text", escape(text), x=float(x), y=y + size * 0.35, **attributes)


def hint(text: str) -> str:
    """What is told of a shape when it is pointed at. It carries what people typed, so it is always escaped.

    >>> hint("<b>")
    '<title>&lt;b&gt;</title>'
    """
    return tag("title", escape(text))


# ems that letters take in the widest common sans at its boldest: the sun theme is heavy, and a reading must never be cut
WIDTHS = ((" .,:;'|·/-ijlIJí", 0.38), ("frt!()°–", 0.5), ("mMW%@", 1.05), ("wDGHNOQU", 0.86))
EMS = {letter: ems for letters, ems in WIDTHS for letter in letters}


def width_of(text: str, size: float) -> float:
    """The most that a text takes in a common sans, however heavy: for keeping things apart, never for setting type.

    >>> width_of("72 °C", 15) < width_of("172 °C", 15)
    True
    """
    return sum(EMS.get(c, 0.72) for c in text) * size


def shorten(text: str, *, room: float, size: float) -> str:
    """The text, or as much of it as there is room for and an ellipsis.

    >>> shorten("undercut at the toe", room=70, size=14)
    'underc…'
    """
    if width_of(text, size) <= room:
        return text
    kept = text
    while kept and width_of(kept + "…", size) > room:
        kept = kept[:-1]
    return kept.rstrip() + "…"


def lines_of(text: str, *, room: float, size: float) -> list[str]:
    """The text in as many lines as the room makes it; a word longer than a line is shortened.

    >>> lines_of("twelve is up · seen from above", room=135, size=13)
    ['twelve is up ·', 'seen from above']
    """
    lines: list[str] = []
    for word in text.split():
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and width_of(longer, size) <= room:
            lines[-1] = longer
        else:
            lines.append(shorten(word, room=room, size=size))
    return lines


def place(radius: float, at_rad: float, *, centre: tuple[float, float]) -> tuple[float, float]:
    """A clock position as a place: clockwise from twelve, y down."""
    return centre[0] + radius * math.sin(at_rad), centre[1] - radius * math.cos(at_rad)


def prefix_of(*seen: object) -> str:
    """A short name for ids, different for different drawings, the same for the same drawing."""
    return "b" + sha256(repr(seen).encode()).hexdigest()[:8]


def drawing(
    *inside: str,
    prefix: str,
    title: str,
    described: str,
    box: tuple[float, float],
    width_px: int,
    kind: str,
    corner: tuple[float, float] = (0.0, 0.0),
) -> str:
    """The `<svg>`: named and described for those who do not see it."""
    width, height = box
    return tag(
        "svg",
        tag("title", escape(title), id=f"{prefix}t"),
        tag("desc", escape(described), id=f"{prefix}d"),
        *inside,
        xmlns="http://www.w3.org/2000/svg",
        viewBox=f"{num(corner[0])} {num(corner[1])} {num(width)} {num(height)}",
        width=width_px,
        height=round(width_px * height / width),
        role="img",
        aria_labelledby=f"{prefix}t {prefix}d",
        class_=f"drawing {kind}",
        font_family="system-ui, 'Segoe UI', Roboto, 'DejaVu Sans', sans-serif",
        font_size=14,
    )
