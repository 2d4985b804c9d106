"""Colours by role, and the hatches. A page takes its theme's colours; paper has one ink."""

from __future__ import annotations

from dataclasses import dataclass

from brightroot.base.errors import Refused
from brightroot.render.draw.tags import tag


@dataclass(frozen=True, slots=True)
class Palette:
    """What a colour is for. Nothing is told by colour alone, so paper may give every role the same ink."""

    ink: str  # recorded and sealed
    soft: str  # words beside the thing
    faint: str  # hairlines that carry no meaning alone
    wash: str  # the ground a band lies on
    paper: str  # what is behind
    gas: str  # argon
    heat: str  # the arc and what it warms
    veil: str  # how much a range covers what is under it; ink cannot be thinned, so none on paper


PALETTES = {
    "page": Palette(
        ink="var(--ink, #1b2430)",
        soft="var(--ink-soft, #4b5563)",
        faint="var(--line, #8a94a3)",
        wash="var(--wash, #eef0f3)",
        paper="var(--paper, #ffffff)",
        gas="var(--gas, #6d3fc4)",
        heat="var(--heat, #b45309)",
        veil="0.14",
    ),
    "paper": Palette(
        ink="#000000",
        soft="#000000",
        faint="#000000",
        wash="#ffffff",
        paper="#ffffff",
        gas="#000000",
        heat="#000000",
        veil="0",
    ),
}


def palette_of(name: str) -> Palette:
    """The palette of that name."""
    if name not in PALETTES:
        raise Refused(field="palette", wanted="one of page, paper", got=name, near=tuple(PALETTES))
    return PALETTES[name]


def hatches(palette: Palette, *, prefix: str) -> str:
    """The two hatches as patterns: one way for hold, both ways for doubtful."""
    one = tag("path", d="M-2,2 l4,-4 M0,8 l8,-8 M6,10 l4,-4", stroke=palette.gas, stroke_width=2, fill="none")
    both = tag("path", d="M0,0 l7,7 M7,0 l-7,7", stroke=palette.ink, stroke_width=1, fill="none")
    return tag("defs", _pattern(f"{prefix}hold", 8, one, palette), _pattern(f"{prefix}doubt", 7, both, palette))


def _pattern(name: str, size: int, lines: str, palette: Palette) -> str:
    ground = tag("rect", width=size, height=size, fill=palette.paper)
    return tag("pattern", ground, lines, id=name, width=size, height=size, patternUnits="userSpaceOnUse")
