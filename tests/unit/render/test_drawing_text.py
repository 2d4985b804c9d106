"""What people typed reaches a drawing only as text: on the shapes, in their hints and in the description."""

import xml.etree.ElementTree as ET

import pytest

from brightroot.model.picture import Face, RingMark, RingRun
from brightroot.render.draw.clock_face import clock_face
from brightroot.render.draw.strip import strip

NASTY = "</title><script>alert(1)</script> & < > \" '"


def face():
    marks = [
        RingMark(kind, 1.0 + k, "done", NASTY) for k, kind in enumerate(("tack", "defect", "temperature", "photo"))
    ]
    run = RingRun(1, "root", 0.0, 1.0, "done", tint=NASTY)
    return Face(NASTY, NASTY, NASTY, (NASTY, "root"), (run,), tuple(marks), ((NASTY, 0.0, 1.5, True),), 0.0, NASTY)


@pytest.mark.parametrize("palette", ["page", "paper"])
@pytest.mark.parametrize("draw", [clock_face, strip])
def test_typed_text_never_becomes_markup(draw, palette):
    made = draw(face(), palette=palette)
    names = {element.tag.rpartition("}")[2] for element in ET.fromstring(made).iter()}
    assert "script" not in made.replace("&lt;script", "").replace("&lt;/script", "")
    assert names <= {"svg", "title", "desc", "defs", "pattern", "g", "path", "line", "circle", "rect", "text"}


@pytest.mark.parametrize("draw", [clock_face, strip])
def test_every_mark_tells_what_it_is_when_pointed_at(draw):
    root = ET.fromstring(draw(face()))
    hints = [t.text or "" for t in root.iter("{http://www.w3.org/2000/svg}title")]
    assert sum(NASTY in h for h in hints) == 1 + 1 + 4  # the drawing, its run, its four marks
