"""How a state looks, by shape: whatever carries a state on the ring or the strip is dressed here."""

from __future__ import annotations

from brightroot.render.draw.palette import Palette
from brightroot.render.draw.tags import num, tag, width_of, words

STATES = ("done", "now", "next", "planned", "hold", "doubtful", "refused")
LIGHT_ON_SOLID = ("done",)
PLATED = ("hold", "doubtful", "refused")


def dressed(path: str, *, state: str, palette: Palette, prefix: str, bar: str = "", thick: float = 24.0) -> str:
    """The outline `path` in the dress of its state; `bar` is the line that is laid across what was refused."""
    line = min(1.0, thick / 22)  # thin lanes take thin lines, or the shape drowns
    looks: dict[str, dict[str, object]] = {
        "done": {"fill": palette.ink, "stroke": palette.paper, "stroke_width": 1},
        "now": {"fill": palette.paper, "stroke": palette.heat, "stroke_width": 4 * line, "stroke_linejoin": "round"},
        "next": {
            "fill": palette.paper,
            "stroke": palette.ink,
            "stroke_width": 2 * line,
            "stroke_dasharray": f"{num(10 * line)} {num(5 * line)}",
        },
        "planned": {"fill": "none", "stroke": palette.soft, "stroke_width": "0.7"},
        "hold": {"fill": f"url(#{prefix}hold)", "stroke": palette.gas, "stroke_width": 2 * line},
        "doubtful": {"fill": f"url(#{prefix}doubt)", "stroke": palette.ink, "stroke_width": "1.6"},
        "refused": {"fill": palette.paper, "stroke": palette.ink, "stroke_width": "1.6"},
    }
    body = tag("path", d=path, class_="shape", **looks.get(state, looks["planned"]))
    if state == "refused" and bar:
        body += tag("path", d=bar, class_="bar", fill="none", stroke=palette.ink, stroke_width=4 * line)
    return body


def number_in(state: str, number: int) -> str:
    """What is written on a run: its number, and the question where it is doubtful."""
    return f"{number}?" if state == "doubtful" else str(number)


def numbered(
    number: int, x: float, y: float, *, size: float, state: str, palette: Palette, along_deg: float = 0.0
) -> str:
    """The number at a place: ink on paper, paper on ink, on a plate of its own where the ground is hatched."""
    text = number_in(state, number)
    turn = f"rotate({num(along_deg)} {num(x)} {num(y)})" if along_deg else None
    plate = ""
    if state in PLATED:
        edge = 1.0 if state == "refused" else 3.0  # the bar must be seen on both sides of it
        wide = width_of(text, size) + 2 * edge
        plate = tag(
            "rect",
            x=x - wide / 2,
            y=y - size * 0.6,
            width=wide,
            height=size * 1.2,
            rx=3,
            fill=palette.paper,
            transform=turn,
        )
    fill = palette.paper if state in LIGHT_ON_SOLID else palette.soft if state == "planned" else palette.ink
    weight = None if state == "planned" else 700
    looks = {"fill": fill, "font_weight": weight, "transform": turn}
    return plate + words(text, x, y, font_size=num(size), text_anchor="middle", class_="number", **looks)
