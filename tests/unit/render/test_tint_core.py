"""The drill core of colours: to scale, light as long, hatches that grow, and words that fit on a phone."""

import re
from xml.etree import ElementTree

import pytest

from brightroot.app.tint_pictures import tint_core
from brightroot.documents.speech import Speech
from brightroot.library.load import load_library
from brightroot.physics.tint.names import TINTS
from brightroot.render.draw.tags import width_of
from brightroot.render.drawing import drawing
from brightroot.render.words import words

OPTICS = load_library().optics


def core(language="en"):
    return tint_core(OPTICS, Speech(words(language).say))


def test_stretches_join_and_cover_the_sequence():
    stretches = core().stretches
    assert [one.low_nm for one in stretches[1:]] == [one.high_nm for one in stretches[:-1]]
    assert len(stretches) == len(TINTS) + 1 and stretches[-1].high_nm is None
    assert {one.name: one.note for one in stretches if one.note} == {
        "pale": "taken for silver", "second yellow": "taken for straw",
    }  # fmt: skip


def test_the_colours_are_those_of_the_optics():
    shades = {round(one.film_nm - 0.5): one for one in core().shades}
    assert min(shades.values(), key=lambda one: one.lightness_1).film_nm == pytest.approx(38, abs=3)  # darkest: purple
    blue, yellow = shades[48], shades[115]
    assert blue.blue > blue.red + 60 and yellow.red > yellow.blue + 60
    assert shades[2].lightness_1 == pytest.approx(80, abs=2)


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("palette", ["page", "paper"])
def test_it_is_drawn_with_names_beside_and_nothing_cut(language, palette):
    text = drawing(language, palette=palette).tint_core(core(language))
    for svg in re.findall(r"<svg.*?</svg>", text):
        root = ElementTree.fromstring(svg)
        width = float(root.attrib["viewBox"].split()[2])
        names = [t.text for t in root.iter() if t.tag.endswith("text") and t.attrib.get("font-weight") == "600"]
        assert len(names) >= len(TINTS) + 1 and not any("…" in name for name in names)
        for t in (t for t in root.iter() if t.tag.endswith("text") and "text-anchor" not in t.attrib):
            assert float(t.attrib["x"]) + width_of(t.text, float(t.attrib["font-size"])) * 0.85 <= width
        hatches = [t for t in root.iter() if t.attrib.get("class") == "hatch"]
        assert len(hatches) == len(TINTS)  # silver has none, each other stretch its own
        assert len({t.attrib["d"].count("M") for t in hatches}) > 5
