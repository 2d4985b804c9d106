import re
import xml.etree.ElementTree as ET

import pytest

from brightroot.model.picture import HeatCourse, HeatLimit, HeatLine
from brightroot.render.draw.heat_course import heat_course
from brightroot.render.draw.thin import thinned
from brightroot.render.drawing import drawing


def falling(name, high, made=True, shift=0.0):
    rows = []
    for n in range(40):
        value = 20 + high / (1 + n / 8) + shift
        rows.append((n * 5.0, value * 0.9, value, value * 1.1))
    return HeatLine(name, tuple(rows), made)


COURSE = HeatCourse(
    "after run 3", "seconds", "°C", (falling("hottest", 700.0), falling("read", 150.0, made=False)),
    (HeatLimit(204.0, "release 204 °C: hold 24 s (18–33)", (18.0, 24.0, 33.0)), HeatLimit(100.0, "interpass 100 °C")),
    ((0.0, 20.0, "1", True), (80.0, 100.0, "2", False)), ((60.0, 88.0),), "as read",
)  # fmt: skip


def texts(svg):
    return [t.text for t in ET.fromstring(svg).iter() if t.tag.endswith("text")]


@pytest.mark.parametrize("width", [340, 720])
@pytest.mark.parametrize("palette", ["page", "paper"])
def test_everything_is_named(width, palette):
    svg = heat_course(COURSE, width_px=width, palette=palette)
    said = texts(svg)
    for name in ("release 204 °C: hold 24 s", "interpass 100 °C", "hottest", "read", "as read", "1", "2"):
        assert any(text.startswith(name) for text in said), name
    assert "style=" not in svg and ("narrow" in svg) == (width < 500)


def test_made_is_solid_and_planned_dashed():
    svg = heat_course(COURSE)
    made, planned = (re.search(rf'<path [^>]*class="{kind}"/>', svg)[0] for kind in ("made", "planned"))
    assert "stroke-dasharray" not in made and "stroke-dasharray" in planned
    assert svg.count('class="burn made"') == 1 and svg.count('class="burn planned"') == 1


def test_a_limit_that_is_met_has_its_bar_and_one_that_is_not_has_none():
    groups = [g for g in ET.fromstring(heat_course(COURSE)).iter() if g.get("class") == "limit"]
    assert [len(list(g)) for g in groups] == [4, 1]


def test_names_do_not_lie_on_each_other():
    places = [(float(t.get("x")), float(t.get("y"))) for t in ET.fromstring(heat_course(COURSE)).iter()
              if t.tag.endswith("text") and t.get("class") == "label"]  # fmt: skip
    assert len(places) == 5
    for n, (x, y) in enumerate(places):
        assert all(abs(y - v) > 11 or abs(x - u) > 60 for u, v in places[n + 1 :])


def test_the_moment_waits_hidden_with_its_axis():
    moment = next(p for p in ET.fromstring(heat_course(COURSE)).iter() if p.get("class") == "moment")
    assert moment.get("visibility") == "hidden"
    assert float(moment.get("data-left")) < float(moment.get("data-right"))
    assert (moment.get("data-low"), moment.get("data-high")) == ("0", "195")


def test_an_empty_course_is_still_a_drawing():
    svg = heat_course(HeatCourse("nothing", "s", "°C", (), ()))
    assert ET.fromstring(svg).tag.endswith("svg")


def test_paper_and_page_come_from_the_same_code():
    assert drawing("en").heat_course(COURSE) == heat_course(COURSE, palette="paper", said=drawing("en").said)
    assert drawing("en", palette="page").heat_course(COURSE).count("<svg") == 2


def test_thinning_stays_within_its_bound():
    line = [(x / 10, (x / 10) ** 2 / 20) for x in range(200)]
    few = thinned(line, within=0.05)
    assert few[0] == line[0] and few[-1] == line[-1] and len(few) < 40
    for x, y in line:
        at = next(n for n in range(1, len(few)) if few[n][0] >= x)
        (x0, y0), (x1, y1) = few[at - 1], few[at]
        steep = (y1 - y0) / (x1 - x0)
        assert abs(y0 + steep * (x - x0) - y) / (1 + steep**2) ** 0.5 < 0.051


def test_a_closed_line_stays_closed():
    ring = [(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0), (0.0, 0.0)]
    assert thinned(ring, within=0.1) == ring
