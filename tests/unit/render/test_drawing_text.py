"""What people typed reaches a drawing only as text: on the shapes, in their hints and in the description."""

import math
import random
import xml.etree.ElementTree as ET
from collections import Counter
from itertools import combinations

import pytest

from brightroot.model.picture import Chart, Face, RingMark, RingRun, Series
from brightroot.render.draw.chart import chart
from brightroot.render.draw.clock_face import clock_face
from brightroot.render.draw.said import ENGLISH
from brightroot.render.draw.strip import strip
from brightroot.render.draw.tags import width_of
from brightroot.render.drawing import drawing
from brightroot.render.words import LANGUAGES, words

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


READINGS = {
    "temperature": ("72 °C", "212 °F", "104 °C"),
    "gap": ("2.4 mm", "0.094 in"),
    "defect": ("undercut", "porosity"),
    "oxygen": ("12 ppm", "1 400 ppm"),
    "stop": ("stop",),
    "photo": ("",),
}


def anywhere(seed, marks):
    """A joint with readings wherever chance puts them, at three and nine o'clock too."""
    chance = random.Random(seed)
    found = [RingMark("tack", math.tau * k / 4, "done", f"T{k + 1}") for k in range(4)]
    for k in range(marks):
        kind = chance.choice(list(READINGS))
        at = (math.pi / 2, 3 * math.pi / 2)[k] if k < 2 else chance.uniform(0, math.tau)
        found.append(RingMark(kind, at, "done", chance.choice(READINGS[kind])))
    arcs = tuple((name, math.pi / 2 * k, math.pi / 2, chance.random() < 0.3) for k, name in enumerate("ABCD"))
    runs = tuple(RingRun(k + 1, "root", k, 0.9, "done") for k in range(5))
    return Face(
        "J-05", "twelve is up", "from the side", ("root", "cap"), runs, tuple(found), arcs, chance.choice((0, 1.1))
    )


def box(text):
    size = float(text.get("font-size"))
    wide = width_of(text.text, size) * 0.97
    x, y = float(text.get("x")), float(text.get("y"))
    start = x - {"middle": wide / 2, "end": wide}.get(text.get("text-anchor"), 0.0)
    return start, y - size * 0.74, start + wide, y + size * 0.2


@pytest.mark.parametrize("marks", [3, 12, 16])
@pytest.mark.parametrize("draw", [clock_face, strip])
def test_no_reading_is_cut_short_covered_or_off_the_sheet(draw, marks):
    """`1 400 p…` or half of `212` would be another reading."""
    for seed in range(25):
        one = anywhere(seed, marks)
        root = ET.fromstring(draw(one))
        texts = [t for t in root.iter("{http://www.w3.org/2000/svg}text") if not t.get("transform")]
        lost = Counter(m.text for m in one.marks if m.text) - Counter(t.text for t in texts)
        assert lost == Counter()
        left, top, wide, high = (float(v) for v in root.get("viewBox").split())
        boxes = [(t.text, box(t)) for t in texts]
        off = [
            n for n, (a, b, c, d) in boxes if a < left - 1 or b < top - 1 or c > left + wide + 1 or d > top + high + 1
        ]
        assert off == []
        over = [
            (m, n)
            for (m, p), (n, q) in combinations(boxes, 2)
            if min(p[2], q[2]) - max(p[0], q[0]) > 1 and min(p[3], q[3]) - max(p[1], q[1]) > 1
        ]
        assert over == []


def test_a_very_long_word_is_shortened_but_the_ring_stays_large():
    mark = RingMark("defect", math.pi / 2, "doubtful", "lack of fusion along the whole of the sidewall")
    root = ET.fromstring(clock_face(Face("J", "up", "side", ("root",), (), (mark,), ())))
    assert float(root.get("viewBox").split()[2]) <= 480 + 180
    assert any((t.text or "").endswith("…") for t in root.iter("{http://www.w3.org/2000/svg}text"))
    assert mark.text in root.findtext("{http://www.w3.org/2000/svg}desc")


COOLING = Chart(
    "Enfriamiento",
    "segundos",
    "°C",
    (
        Series("límite entre pasadas", "limit", ((0, 100), (120, 100))),
        Series("modelo", "model", tuple((s, 20 + 480 * math.exp(-s / 27)) for s in range(0, 121, 5))),
        Series("leído", "measured", ((31, 196.0), (62, 92.0))),
    ),
)


@pytest.mark.parametrize("width", [340, 720])
def test_a_charts_names_are_whole_at_every_width(width):
    root = ET.fromstring(chart(COOLING, width_px=width))
    labels = [t for t in root.iter("{http://www.w3.org/2000/svg}text") if t.get("class") == "label"]
    assert {t.text for t in labels} == {s.name for s in COOLING.series}
    boxes = [box(t) for t in labels]
    assert all(left >= 0 and right <= width for left, _, right, _ in boxes)
    assert not any(p[0] < q[2] and q[0] < p[2] and p[1] < q[3] and q[1] < p[3] for p, q in combinations(boxes, 2))


def test_a_page_gets_a_chart_for_each_width_and_paper_gets_one():
    pair = ET.fromstring(f"<both>{drawing('es', palette='page').chart(COOLING)}</both>")
    assert [one.get("class") for one in pair] == ["drawing chart wide", "drawing chart narrow"]
    ids = [e.get("id") for e in pair.iter() if e.get("id")]
    assert len(ids) == len(set(ids))
    assert ET.fromstring(drawing("es").chart(COOLING)).get("class") == "drawing chart wide"


def test_every_word_a_drawing_says_is_said_in_both_languages():
    unsaid = {language: [n for n in ENGLISH if not words(language).has(f"draw.{n}")] for language in LANGUAGES}
    assert unsaid == {language: [] for language in LANGUAGES}
    assert {n: drawing("en").said[n] for n in ENGLISH} == dict(ENGLISH)
    assert "abierto" in drawing("es", palette="page").face(face())


@pytest.mark.parametrize(
    ("text", "ems"),
    [("2.6 mm", 4.20), ("1 400 ppm", 5.95), ("212 °F", 3.62), ("0.094 in", 4.57), ("límite de inicio", 8.34)],
)
def test_room_is_kept_for_the_heaviest_letters(text, ems):
    """Measured in a browser with a wide sans at weight 700, the sun theme's own; less room cut `2.6 mm` to `.6 mm`."""
    assert ems <= width_of(text, 1.0) <= 1.15 * ems
