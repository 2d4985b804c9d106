"""Blocks as HTML: meaning in the tags, text always as text."""

from html.parser import HTMLParser

from brightroot.model.outline import Boxes, Caution, Document, Heading, Para, Picture, Table
from brightroot.model.record import OxygenRead, TemperatureRead
from brightroot.render.csv_json import json_text, oxygen_csv, temperature_csv
from brightroot.render.html import html
from brightroot.render.qr import qr_svg

NASTY = '<script>alert("x")</script> & \'"'


def document(**changes):
    blocks = (
        Heading(NASTY, 2),
        Para(NASTY, strong=True),
        Table((NASTY, "b"), ((NASTY, "2"),), note=NASTY),
        Picture("<svg></svg>", NASTY, 0.5),
        Boxes((NASTY,)),
        Caution(NASTY),
    )
    return Document(**{"title": NASTY, "subtitle": NASTY, "foot": NASTY, "blocks": blocks} | changes)


class Tags(HTMLParser):
    def __init__(self):
        super().__init__()
        self.open, self.seen, self.names = [], [], set()

    def handle_starttag(self, tag, attrs):
        self.seen.append(tag)
        self.open.append(tag)
        self.names |= {name for name, _ in attrs}

    def handle_startendtag(self, tag, attrs):
        self.seen.append(tag)
        self.names |= {name for name, _ in attrs}

    def handle_endtag(self, tag):
        assert self.open.pop() == tag


def test_text_never_becomes_markup_and_every_tag_closes():
    reader = Tags()
    reader.feed(html(document(qr=NASTY)))
    assert reader.open == []
    assert "script" not in reader.seen
    assert {"article", "h1", "h3", "table", "th", "figure", "figcaption", "aside", "ul", "footer"} <= set(reader.seen)


def test_the_caution_carries_its_word():
    assert "<strong>CAUTION</strong>" in html(document())
    assert "<strong>PRECAUCIÓN</strong>" in html(document(language="es"))


def test_drawings_go_in_whole():
    assert "<figure><svg></svg><figcaption>" in html(document())


def test_nothing_that_a_strict_page_policy_blocks():
    """The server sends `default-src 'self'`: an inline style or handler would be dropped without a word."""
    text = Tags()
    text.feed(html(document(qr="J-05")))
    assert text.names & {"style", "src", "href"} == set()
    assert [name for name in text.names if name.startswith("on")] == []


def test_the_code_is_black_on_white_on_every_theme():
    made = html(document(qr="J-05"))
    assert 'fill="#fff"' in made and 'stroke="#000"' in made


def test_a_table_that_scrolls_is_reached_by_keyboard_and_named():
    made = html(document(blocks=(Table(("Clause", "Found"), (("a", "b"),)), Table((), (("c",),)))))
    assert '<div class="table" tabindex="0" role="group" aria-label="Clause, Found">' in made
    assert '<div class="table" tabindex="0"><table><tbody>' in made


def test_qr_is_the_same_twice_and_changes_with_the_text():
    assert qr_svg("J-05") == qr_svg("J-05") != qr_svg("J-06")


def test_oxygen_series():
    reads = [
        OxygenRead("b.1.4", 0.0, "reading", 1.2e-05, "vent", 2.5e-4),
        OxygenRead("b.1.5", 60.0, "no digits", None, "vent", None),
    ]
    assert oxygen_csv(reads).splitlines()[1:] == [
        "1970-01-01T00:00:00.000Z,reading,1.2e-05,12.0,vent,0.00025,b.1.4",
        "1970-01-01T00:01:00.000Z,no digits,,,vent,,b.1.5",
    ]


def test_typed_text_is_no_spreadsheet_formula():
    reads = [TemperatureRead("b.1.6", 0.0, 361.15, 0.0, None, "outside", "contact", None, "=1+1")]
    assert ",'=1+1," in temperature_csv(reads)


def test_json_is_ordered():
    assert json_text({"b": 1, "a": "°"}) == '{\n  "a": "°",\n  "b": 1\n}\n'
