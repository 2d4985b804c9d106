import math
import xml.etree.ElementTree as ET

import pytest

from brightroot.model.picture import HeatMap
from brightroot.render.draw.heat_map import heat_map
from brightroot.render.drawing import drawing

ANGLES = tuple(math.tau * n / 48 for n in range(48))
ALONG = tuple(mm / 1000 for mm in range(-50, 51, 5))


def hill(at_rad=0.3, high=400.0):
    """A hill of heat about a place on the weld."""
    rows = []
    for m in ALONG:
        apart = [min(abs(a - at_rad), math.tau - abs(a - at_rad)) * 84 for a in ANGLES]
        rows.append(tuple(293.15 + high * math.exp(-((x / 30) ** 2) - (m / 0.025) ** 2) for x in apart))
    return HeatMap(
        "run 1",
        "5 s after arc-off",
        ALONG,
        ANGLES,
        tuple(rows),
        ((477.15, "release 204 °C"), (366.15, "interpass")),
        at_rad,
    )


@pytest.mark.parametrize("palette", ["page", "paper"])
def test_it_is_one_drawing_with_its_lines_named(palette):
    svg = heat_map(hill(), palette=palette)
    root = ET.fromstring(svg)
    texts = [t.text for t in root.iter() if t.tag.endswith("text")]
    assert "release 204 °C" in texts and "interpass" in texts and "5 s after arc-off" in texts
    assert [t for t in texts if t in map(str, range(1, 13))][:13] == [
        "6",
        "7",
        "8",
        "9",
        "10",
        "11",
        "12",
        "1",
        "2",
        "3",
        "4",
        "5",
        "6",
    ]
    assert "style=" not in svg


def test_paper_has_lines_and_no_wash():
    assert "wash" not in heat_map(hill(), palette="paper")
    assert "wash" in heat_map(hill(), palette="page")


def test_a_line_that_nothing_reaches_has_no_name():
    texts = heat_map(hill(high=60.0))
    assert "release 204" not in texts.partition("<desc")[2].partition("</desc>")[2]


def test_it_tells_where_it_is_hottest():
    assert "420 °C" in heat_map(hill(at_rad=math.tau / 4))


def test_lines_close_over_the_cut():
    """A hill at six, where the strip is cut, shows on both sides."""
    svg = heat_map(hill(at_rad=math.pi))
    xs = [float(pair.split(",")[0].lstrip("ML")) for part in svg.split('class="line named"')[0].split('d="')[-1:]
          for pair in part.split('"')[0].split(" ") if "," in pair]  # fmt: skip
    assert min(xs) <= 58.5 and max(xs) >= 701.5


def test_the_same_code_serves_page_and_paper():
    assert drawing("en").heat_map(hill()) == heat_map(hill(), palette="paper", said=drawing("en").said)
