"""The small shapes that stand where something was read, seen or measured. The shape says which; never a colour."""

from __future__ import annotations

from brightroot.render.draw.palette import Palette
from brightroot.render.draw.tags import num, tag

REACH = 7.0  # no shape reaches further from its middle
ROUND = "M-5.5,0 A5.5,5.5 0 1 1 5.5,0 A5.5,5.5 0 1 1 -5.5,0 Z"
PATHS = {
    "temperature": "M0,-6.5 L6,4.5 H-6 Z",
    "gap": "M-5,-6 V6 M5,-6 V6 M-5,0 H5",  # two faces and what lies between
    "stop": "M-5,-5 H5 V5 H-5 Z",
    "defect": "M0,-7 L7,0 L0,7 L-7,0 Z",
    "oxygen": ROUND,
    "photo": ROUND,
}
FILLED = ("photo", "temperature")


def symbol(kind: str, *, x: float, y: float, state: str, palette: Palette) -> str:
    """Temperature a filled triangle, gap two faces, photo a dot, oxygen a ring with a core, stop a square, defect a lozenge."""
    colour = {"temperature": palette.heat, "oxygen": palette.gas}.get(kind, palette.ink)
    planned = state == "planned"
    shape = tag(
        "path",
        d=PATHS.get(kind, PATHS["stop"]),
        fill=colour if kind in FILLED and not planned else palette.paper,
        stroke=colour,
        stroke_width=1 if planned else 2,
        stroke_linejoin="round",
    )
    if kind == "oxygen":
        shape += tag("circle", r=2, fill=colour)
    if kind == "defect" or state == "doubtful":
        against = palette.paper if kind in FILLED and not planned else colour
        shape += tag("path", d="M0,-3.5 V0.8 M0,2.4 V4", stroke=against, stroke_width=2, fill="none")
    if state == "refused":
        shape += tag("path", d="M-9,0 H9", stroke=palette.ink, stroke_width=3)
    return tag("g", shape, transform=f"translate({num(x)} {num(y)})", class_=f"symbol symbol-{kind}")
