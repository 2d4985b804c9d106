"""The drawings in one language, for a page or for paper: the same code, another palette."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from brightroot.model.picture import Chart, Face, HeatCourse, HeatMap
from brightroot.model.tint_picture import TintCore
from brightroot.render.draw.chart import chart
from brightroot.render.draw.clock_face import clock_face
from brightroot.render.draw.heat_course import heat_course
from brightroot.render.draw.heat_map import heat_map
from brightroot.render.draw.said import ENGLISH
from brightroot.render.draw.strip import strip
from brightroot.render.draw.tint_core import tint_core
from brightroot.render.words import words


@dataclass(frozen=True, slots=True)
class Drawing:
    """Face, strip and chart as SVG text."""

    palette: str
    said: Mapping[str, str]

    def face(self, face: Face) -> str:
        """The joint as a ring."""
        return clock_face(face, size_px=560, palette=self.palette, said=self.said)

    def strip(self, face: Face) -> str:
        """The joint unrolled."""
        return strip(face, width_px=720, palette=self.palette, said=self.said)

    def chart(self, chart_: Chart) -> str:
        """A chart. A page gets it twice, for a desk and for a phone's width; the sheet of styles shows one of them."""
        wide = chart(chart_, width_px=720, height_px=300, palette=self.palette, said=self.said)
        if self.palette == "paper":
            return wide
        return wide + chart(chart_, width_px=340, height_px=300, palette=self.palette, said=self.said)

    def heat_map(self, picture: HeatMap) -> str:
        """The joint's heat, unrolled, at one moment."""
        return heat_map(picture, width_px=720, palette=self.palette, said=self.said)

    def heat_course(self, course: HeatCourse) -> str:
        """Temperatures over time. A page gets it for a desk and for a phone's width, as a chart."""
        wide = heat_course(course, width_px=720, height_px=320, palette=self.palette, said=self.said)
        if self.palette == "paper":
            return wide
        return wide + heat_course(course, width_px=340, height_px=300, palette=self.palette, said=self.said)

    def tint_core(self, core: TintCore) -> str:
        """The sequence of film colours. A page gets it for a desk and for a phone's width, as a chart."""
        wide = tint_core(core, width_px=560, palette=self.palette, said=self.said)
        if self.palette == "paper":
            return wide
        return wide + tint_core(core, width_px=340, palette=self.palette, said=self.said)


def drawing(language: str, *, palette: str = "paper") -> Drawing:
    """Drawings that set their few words in a language.

    >>> drawing("en").said["open"]
    'open'
    """
    spoken = words(language)
    return Drawing(
        palette, {name: spoken.say(f"draw.{name}") if spoken.has(f"draw.{name}") else ENGLISH[name] for name in ENGLISH}
    )
