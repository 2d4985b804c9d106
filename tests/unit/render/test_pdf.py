"""Paper: same bytes twice, text only ever text, the right sheet, and quick enough to wait for."""

import io
import time
from dataclasses import replace

import pytest
from pypdf import PdfReader

from brightroot.base.errors import Refused
from brightroot.model.outline import Boxes, Caution, Document, Heading, Para, Picture, Table
from brightroot.render.pdf import pdf

RING = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 40 40"><circle cx="20" cy="20" r="18"/></svg>'
TALL = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 10 90"><rect width="10" height="90"/></svg>'


def document(*blocks, **changes):
    return Document(**{"title": "J-05", "subtitle": "Gr 2", "foot": "9f2c" * 16, "blocks": blocks} | changes)


def read(made):
    return PdfReader(io.BytesIO(made))


def text(made):
    return "\n".join(page.extract_text() for page in read(made).pages)


def test_same_document_same_bytes():
    whole = document(
        Heading("A"), Para("b", strong=True), Table(("c",), (("d",),), note="n"), Picture(RING, "ring", 0.5),
        Boxes(("ppm", "°C")), Caution("e"), qr="J-05",
    )  # fmt: skip
    first = pdf(whole)
    assert first == pdf(whole)
    assert first != pdf(document(Para("other")))


NASTY = ("#panic()", "*bold*", "$x^2$", "\\", '#read("/etc/passwd")', "@label", "= heading", "`raw`", "//gone", "<b>")


@pytest.mark.parametrize("nasty", NASTY)
def test_text_is_never_markup(nasty):
    made = pdf(
        document(
            Heading(nasty), Para(nasty), Table((nasty,), ((nasty,),), note=nasty), Picture(RING, nasty), Boxes((nasty,)),
            Caution(nasty), title=nasty, subtitle=nasty, foot=nasty, qr=nasty,
        )
    )  # fmt: skip
    assert text(made).count(nasty) >= 10


def test_a_word_longer_than_its_line_is_whole_and_on_the_page():
    narrow = Table(("a", "b"), (("bench.epoch.123456", "W" * 90), ("b", "circunferencialmente")), (1, 9))
    made = read(pdf(document(Para("W" * 210), narrow)))
    page = made.pages[0]
    starts = []
    page.extract_text(visitor_text=lambda t, cm, tm, font, size: starts.append((tm[4] * cm[0] + cm[4], t)))
    # 57 pt is the right margin; the widest piece, eight W, is 84 pt
    assert max(at for at, t in starts if "W" in t) < float(page.mediabox.width) - 57 - 84 + 1
    assert page.extract_text().count("W") == 300
    assert "bench.epoch.123456" in page.extract_text().replace("\n", "")


@pytest.mark.parametrize("odd", ["\ud800", "a\x00b", "\x1b[31m", "𓀀 漢 🔥", "", " ", "\n\n"])
def test_odd_characters_print(odd):
    assert pdf(document(Para(odd), Table((odd,), ((odd,),)), title=odd))[:5] == b"%PDF-"


def test_the_sheet_is_the_one_asked_for():
    assert [float(v) for v in read(pdf(document())).pages[0].mediabox[2:]] == pytest.approx([595.28, 841.89], abs=0.01)
    assert [float(v) for v in read(pdf(document(paper="letter"))).pages[0].mediabox[2:]] == [612, 792]
    with pytest.raises(Refused):
        pdf(document(paper="a5"))


def test_spanish_is_printed_with_its_marks():
    made = text(pdf(document(Para("¿Raíz, año, pingüino, función? ¡Sí! «Ñ»"), Caution("x"), language="es")))
    assert "¿Raíz, año, pingüino, función? ¡Sí! «Ñ»" in made
    assert "PRECAUCIÓN" in made and "página 1 de 1" in made


def test_every_page_has_foot_and_count_and_the_table_its_head():
    rows = tuple((f"T-{i}", "at most 100 °C") for i in range(120))
    pages = [page.extract_text() for page in read(pdf(document(Table(("Clause", "Wanted"), rows)))).pages]
    assert len(pages) > 2
    for number, page in enumerate(pages, 1):
        assert "9f2c" * 16 in page
        assert f"page {number} of {len(pages)}" in page
        assert "Clause" in page


def test_ragged_tables_and_tall_drawings_fit():
    made = pdf(document(Table(("a",), (("1", "2", "3"), ("4",))), Table((), ()), Boxes(()), Picture(TALL, "tall")))
    assert 1 <= len(read(made).pages) <= 2


def test_headings_are_bookmarks_and_no_date_is_kept():
    made = read(pdf(document(Heading("One"), Heading("Two"))))
    assert [entry.title for entry in made.outline] == ["One", "Two"]
    assert made.metadata.title == "J-05"
    assert made.metadata.creation_date is None


def test_a_dated_document_is_made_to_be_kept():
    kept = replace(document(Heading("One"), Picture(RING, "")), dated_s=1772447520.0)  # 2026-03-02T10:32:00Z
    made = pdf(kept)
    assert b"<pdfaid:part>2</pdfaid:part>" in made
    assert b"<pdfaid:conformance>B</pdfaid:conformance>" in made
    told = read(made)
    assert told.metadata.creation_date.isoformat() == "2026-03-02T10:32:00+00:00"
    assert "/OutputIntents" in told.trailer["/Root"]
    assert pdf(kept) == made


def test_no_font_of_this_machine():
    drawing = RING.replace(
        "<circle", '<text font-family="system-ui, \'DejaVu Sans\', sans-serif" y="20">4:30</text><circle'
    )
    made = read(pdf(document(Para("a °C ✓ → 漢"), Picture(drawing, ""))))
    assert "4:30" in made.pages[0].extract_text()
    fonts = {str(f.get_object()["/BaseFont"]) for p in made.pages for f in p["/Resources"]["/Font"].values()}
    assert all(any(ours in f for ours in ("Libertinus", "DejaVuSansMono", "NewCM")) for f in fonts), fonts


def test_forty_pages_take_little_more_than_their_share():
    """Twice the rows took twice as long; six times is for a busy machine. Nothing is set twice: what was is remembered."""

    def made_of(name, count):
        rows = tuple(
            (f"{name}-{i}", "interpass at most 100 °C / 212 °F", f"{i} °C / 190 °F at 4:30", "pass")
            for i in range(count)
        )
        began = time.process_time()
        made = pdf(document(Table(("Clause", "Wanted", "Recorded", "Verdict"), rows, (1, 3, 3, 1))))
        return made, time.process_time() - began

    half_s = min(made_of(name, 900)[1] for name in ("A", "B"))
    made, whole_s = made_of("C", 1800)
    assert whole_s < 6 * half_s
    assert len(read(made).pages) >= 40
