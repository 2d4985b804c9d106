"""A document's blocks as semantic HTML: the same outline that is printed, on a screen. Escaped; drawings inlined."""

from __future__ import annotations

from functools import singledispatch
from html import escape

from brightroot.model.outline import Boxes, Caution, Document, Heading, Para, Picture, Table
from brightroot.render.qr import qr_svg
from brightroot.render.words import words


def html(document: Document) -> str:
    """The document as one `<article>` to stand inside a page. Language and direction are the article's own.

    >>> html(Document("J-05", "Gr 2", "", (Para("a < b"),)))  # doctest: +ELLIPSIS
    '<article class="document" lang="en"><header><h1>J-05</h1>...<p>a &lt; b</p>...
    """
    say = words(document.language).say
    blocks = "\n".join(
        _caution(b, say("caution.word")) if isinstance(b, Caution) else _block(b) for b in document.blocks
    )
    under = f'<p class="subtitle">{escape(document.subtitle)}</p>' if document.subtitle else ""
    code = f'<div class="qr">{qr_svg(document.qr, ground="#fff")}</div>' if document.qr else ""
    foot = f"<footer>{escape(document.foot)}</footer>" if document.foot else ""
    return (
        f'<article class="document" lang="{escape(document.language)}">'
        f"<header><h1>{escape(document.title)}</h1>{under}{code}</header>\n{blocks}\n{foot}</article>"
    )


@singledispatch
def _block(block: object) -> str:
    raise TypeError(f"no HTML for {type(block).__name__}")


@_block.register
def _heading(block: Heading) -> str:
    level = min(block.level + 1, 6)  # the title is the h1
    return f"<h{level}>{escape(block.text)}</h{level}>"


@_block.register
def _para(block: Para) -> str:
    text = escape(block.text)
    return f"<p><strong>{text}</strong></p>" if block.strong else f"<p>{text}</p>"


@_block.register
def _table(block: Table) -> str:
    head = "".join(f'<th scope="col">{escape(cell)}</th>' for cell in block.head)
    rows = "".join("<tr>" + "".join(f"<td>{escape(cell)}</td>" for cell in row) + "</tr>" for row in block.rows)
    top = f"<thead><tr>{head}</tr></thead>" if block.head else ""
    note = f'<p class="note">{escape(block.note)}</p>' if block.note else ""
    named = escape(", ".join(block.head) or block.note)
    reach = f' tabindex="0" role="group" aria-label="{named}"' if named else ' tabindex="0"'  # it may scroll sideways
    return f'<div class="table"{reach}><table>{top}<tbody>{rows}</tbody></table>{note}</div>'


@_block.register
def _picture(block: Picture) -> str:
    """The drawing is our own SVG and goes in as it is, at its own size: its share of a width is the paper's."""
    under = f"<figcaption>{escape(block.caption)}</figcaption>" if block.caption else ""
    return f"<figure>{block.svg}{under}</figure>"


@_block.register
def _boxes(block: Boxes) -> str:
    """On a screen the pen's boxes only show what the paper will ask for."""
    return '<ul class="boxes">' + "".join(f"<li>{escape(label)}</li>" for label in block.labels) + "</ul>"


def _caution(block: Caution, word: str) -> str:
    return (
        f'<aside class="notice caution" role="note"><strong>{escape(word)}</strong> <p>{escape(block.text)}</p></aside>'
    )
