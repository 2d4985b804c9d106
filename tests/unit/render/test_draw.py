"""The drawings: whole, told apart without colour, and nothing written on anything else."""

from __future__ import annotations

import math
import re
import xml.etree.ElementTree as ET
from collections.abc import Callable
from dataclasses import replace
from itertools import combinations

import pytest

from brightroot.base.errors import Refused
from brightroot.model.picture import Chart, Face, RingMark, RingRun, Series
from brightroot.render.draw.chart import chart
from brightroot.render.draw.clock_face import clock_face
from brightroot.render.draw.countdown import countdown
from brightroot.render.draw.dress import STATES
from brightroot.render.draw.strip import strip
from brightroot.render.draw.tags import width_of

SVG = "{http://www.w3.org/2000/svg}"
deg = math.radians


def marks() -> tuple[RingMark, ...]:
    tacks = [
        RingMark("tack", deg(a), s, f"T{k}")
        for k, (a, s) in enumerate([(45, "done"), (135, "planned"), (225, "doubtful"), (315, "refused")])
    ]
    read = [(20, "72 °C"), (24, "88 °C"), (28, "104 °C"), (181, "98 °C")]
    others = [
        ("gap", 90, "2.4 mm"),
        ("gap", 0, "2.2 mm"),
        ("gap", 270, "2.6 mm"),
        ("photo", 140, ""),
        ("oxygen", 180, "12 ppm"),
        ("defect", 200, "undercut"),
    ]
    return (
        *tacks,
        *(RingMark("temperature", deg(a), text=t) for a, t in read),
        *(RingMark(kind, deg(a), text=t) for kind, a, t in others),
    )


def face(bands: tuple[str, ...], counts: tuple[int, ...], *, with_marks: bool = True, turned: float = 0.0) -> Face:
    runs, number = [], 0
    for band, count in zip(bands, counts):
        beads = max(1, round(count / 10))
        for k in range(count):
            number += 1
            sweep = math.tau / count * beads
            sign = 1 if k % 2 else -1
            runs.append(
                RingRun(
                    number,
                    band,
                    deg(180) + sweep * k if sign > 0 else deg(180) + sweep * (k + 1),
                    sign * sweep,
                    STATES[number % 7],
                )
            )
    arcs = tuple((name, k * math.pi / 2, math.pi / 2, name == "D") for k, name in enumerate("ABCD"))
    return Face(
        "Joint <J-05> & co",
        "twelve is up",
        "from the welding side",
        bands,
        tuple(runs),
        marks() if with_marks else (),
        arcs,
        turned,
        "J-05",
    )


SAMPLES = {
    "eight": face(("root",), (8,)),
    "twenty-eight": face(("root", "cap"), (8, 20), turned=deg(30)),
    "sixty": face(("root", "hot", "fill", "cap"), (8, 8, 20, 24)),
    "bare": face(("root", "cap"), (8, 8), with_marks=False),
    "all round": Face(
        "J", "datum mark", "from above", ("root", "cap"),
        (RingRun(1, "root", deg(200), -math.tau, "refused"), RingRun(2, "cap", deg(90), math.tau, "now")),
        (RingMark("photo", deg(90), "doubtful"), RingMark("temperature", deg(270), text="211 °C")),
        (("A", 0.0, math.tau, True),), deg(-50), "OD-114 spool 7",
    ),
    "many readings": Face(
        "J", "up", "side", ("root",), (),
        tuple(RingMark("temperature", deg(10 + k % 5), text=f"{70 + k} °C") for k in range(30)), (),
    ),
    "nothing": Face("J", "up", "side", (), (), (), ()),
}  # fmt: skip
BAND = tuple((m, 1e5 * 0.4**m + 5, 2e5 * 0.6**m + 5) for m in range(15))
PURGE = Chart(
    "Purge", "minutes", "ppm",
    (
        Series("model", "model", tuple((m, 2e5 * 0.5**m + 5) for m in range(15)), BAND),
        Series("limit", "limit", ((0, 50), (14, 50))),
        Series("read", "measured", ((1, 90000.0), (2, math.nan), (3, 0.0), (9, 400.0))),
    ),
    log_y=True, marks=((4, "flow raised"), (4.2, "tape on")),
)  # fmt: skip
ALL: dict[str, Callable[[str], str]] = {
    **{f"clock {name}": lambda p, f=f: clock_face(f, palette=p) for name, f in SAMPLES.items()},
    **{f"strip {name}": lambda p, f=f: strip(f, palette=p) for name, f in SAMPLES.items()},
    "purge": lambda p: chart(PURGE, palette=p),
    "narrow": lambda p: chart(PURGE, palette=p, width_px=340, height_px=220),
    "empty": lambda p: chart(Chart("t", "x", "y", ()), palette=p),
    "flat": lambda p: chart(Chart("t", "x", "y", (Series("a", "measured", ((1, 20.0),)),)), palette=p),
    "wait": lambda p: countdown(low_s=18, value_s=24, high_s=33, elapsed_s=12, palette=p),
    "tight wait": lambda p: countdown(low_s=19, value_s=19.5, high_s=20, elapsed_s=900, palette=p),
}


@pytest.mark.parametrize("name", ALL)
def test_a_drawing_is_whole(name: str) -> None:
    text = ALL[name]("page")
    root = ET.fromstring(text)
    ids = [e.get("id") for e in root.iter() if e.get("id")]
    assert len(ids) == len(set(ids))
    assert root.get("role") == "img" and root.find(SVG + "title") is not None and root.find(SVG + "desc") is not None
    assert set(root.get("aria-labelledby", "").split()) <= set(ids)
    assert set(re.findall(r"url\(#(\w+)\)", text)) <= set(ids)
    assert "style=" not in text and "<script" not in text and "<style" not in text
    assert not re.search(r"\b(nan|inf|None)\b", text)
    assert ALL[name]("page") == text


@pytest.mark.parametrize("name", ALL)
def test_paper_has_one_ink(name: str) -> None:
    text = ALL[name]("paper")
    assert "var(" not in text
    assert set(re.findall(r"#[0-9a-fA-F]{6}\b", text)) <= {"#000000", "#ffffff"}
    assert set(re.findall(r'fill-opacity="([^"]+)"', text)) <= {"0"}


@pytest.mark.parametrize("name", SAMPLES)
@pytest.mark.parametrize("draw", [clock_face, strip])
def test_every_run_and_mark_is_drawn_and_told(name: str, draw: Callable[[Face], str]) -> None:
    one = SAMPLES[name]
    root = ET.fromstring(draw(one))
    drawn = [int(e.get("data-run", "0")) for e in root.iter(SVG + "g") if e.get("data-run")]
    assert drawn == [r.number for r in one.runs]
    kinds = [e for e in root.iter(SVG + "g") if (e.get("class") or "").startswith("mark")]
    assert len(kinds) == len(one.marks)
    said = " ".join(t.text or "" for t in root.iter(SVG + "text"))
    assert all(m.text in said for m in one.marks)
    told = root.findtext(SVG + "desc") or ""
    assert all(f"run {r.number}," in told for r in one.runs) and all(m.text in told for m in one.marks)


def looks(draw: Callable[..., str], state: str) -> str:
    """A run of that state with nothing on it that colour tells."""
    run = RingRun(3, "root", 0.0, 1.5, state)
    root = ET.fromstring(draw(replace(SAMPLES["nothing"], bands=("root",), runs=(run,)), palette="paper"))
    group = next(e for e in root.iter(SVG + "g") if e.get("data-run"))
    group.attrib.clear()
    group.remove(group[0])  # its title
    return re.sub(r"b[0-9a-f]{8}", "", ET.tostring(group, encoding="unicode"))


@pytest.mark.parametrize("draw", [clock_face, strip])
def test_states_differ_without_colour(draw: Callable[..., str]) -> None:
    seen = {state: looks(draw, state) for state in STATES}
    assert len(set(seen.values())) == len(STATES)
    assert "?" in seen["doubtful"] and 'class="bar"' in seen["refused"] and "dasharray" in seen["next"]


def boxes(text: str) -> list[tuple[str, float, float, float, float]]:
    found = []
    for e in ET.fromstring(text).iter(SVG + "text"):
        size = float(e.get("font-size", "14"))
        wide = (
            size if e.get("transform") else width_of(e.text or "", size)
        )  # what lies along its lane is as wide as high
        x, base = float(e.get("x", "0")), float(e.get("y", "0"))
        left = {"middle": x - wide / 2, "end": x - wide}.get(e.get("text-anchor", "start"), x)
        found.append((e.text or "", left, base - size * 0.75, left + wide, base + size * 0.1))
    return found


@pytest.mark.parametrize("name", ALL)
def test_no_words_lie_on_others_or_leave_the_sheet(name: str) -> None:
    text = ALL[name]("page")
    x, y, width, height = (float(v) for v in (ET.fromstring(text).get("viewBox") or "").split())
    for one, left, top, right, bottom in boxes(text):
        assert left >= x - 1 and right <= x + width + 1 and top >= y - 1 and bottom <= y + height + 1, one
    for (a, l1, t1, r1, b1), (b, l2, t2, r2, b2) in combinations(boxes(text), 2):
        assert not (l1 < r2 and l2 < r1 and t1 < b2 and t2 < b1), (a, b)


def test_a_rolled_pipe_turns_its_marks_and_shows_its_datum() -> None:
    still, turned = SAMPLES["eight"], replace(SAMPLES["eight"], turned_rad=deg(90))
    assert 'class="datum"' not in clock_face(still) and 'class="datum"' in clock_face(turned)
    twelve = {t: (x + r) / 2 for t, x, _, r, _ in boxes(clock_face(turned))}["12"]
    assert twelve > 280  # three o'clock of the sheet


def test_a_run_over_the_cut_is_drawn_in_two_pieces() -> None:
    over = replace(SAMPLES["nothing"], bands=("root",), runs=(RingRun(1, "root", deg(150), deg(60), "done"),))
    within = replace(over, runs=(RingRun(1, "root", deg(180), deg(60), "done"),))
    assert strip(over).count('class="shape"') == 2 and strip(within).count('class="shape"') == 1


def test_an_open_arc_is_said_and_drawn() -> None:
    text = clock_face(SAMPLES["bare"])
    assert text.count('class="open"') == 1 and ">D open<" in text and text.count('class="tape"') == 3


def test_the_elapsed_bar_grows_and_stops_at_the_late_end() -> None:
    def bar(elapsed_s: float) -> float:
        root = ET.fromstring(countdown(low_s=10, value_s=20, high_s=40, elapsed_s=elapsed_s))
        return next(float(e.get("width", "0")) for e in root.iter(SVG + "rect") if e.get("class") == "elapsed")

    assert bar(0) == 0 and bar(20) == 220 and bar(40) == bar(4000) == 440


def test_what_cannot_be_drawn_is_refused() -> None:
    with pytest.raises(Refused):
        countdown(low_s=30, value_s=20, high_s=40)
    with pytest.raises(Refused):
        countdown(low_s=1, value_s=math.nan, high_s=4)
    with pytest.raises(Refused):
        clock_face(SAMPLES["bare"], palette="sepia")


CLOCKS = {
    "en": ("monitor shows it", "gas reaches", "start limit"),
    "es": ("lo muestra", "llega el gas", "límite de inicio"),
}


@pytest.mark.parametrize("language", CLOCKS)
@pytest.mark.parametrize("late", [5.0, 40.0, 60.0, 90.0])
@pytest.mark.parametrize("floor", [5.0, 11.0, 14.0])
def test_no_name_lies_on_another_on_a_phone(language, late, floor):
    """The names of two clocks at the start limit, the limit's own and the floor's, whatever stands beside them."""
    shows, reaches, limit = CLOCKS[language]
    series = (
        Series(limit, "limit", ((0.0, 15.0), (100.0, 15.0))),
        Series("floor", "floor", ((0.0, floor), (100.0, floor))),
        Series(shows, "clock", ((1.0, 15.0), (3.0, 15.0), (late, 15.0))),
        Series(reaches, "clock", ((2.0, 15.0), (4.0, 15.0), (late + 1, 15.0))),
    )
    drawn = ET.fromstring(chart(Chart("Purge", "min", "ppm", series, log_y=True), width_px=340, height_px=220))
    names = {one.name for one in series}
    boxes = [_box(text) for text in drawn.iter() if text.tag.endswith("text") and "".join(text.itertext()) in names]
    assert len(boxes) == 4
    for (x1, y1, w1), (x2, y2, w2) in combinations(boxes, 2):
        assert abs(y1 - y2) >= 12 or x1 + w1 <= x2 or x2 + w2 <= x1


def _box(text):
    """Left end, height and width. The drawing reckons with the heaviest face; the usual one is a quarter narrower."""
    said = "".join(text.itertext())
    wide, x = width_of(said, 13) * 0.75, float(text.get("x"))
    return (x - wide if text.get("text-anchor") == "end" else x), float(text.get("y")), wide
