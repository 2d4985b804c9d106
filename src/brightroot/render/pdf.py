"""A document as PDF: the blocks go as data to one sheet, `paper.typ`. The same document gives the same bytes."""

from __future__ import annotations

import dataclasses
import json
import re
from functools import cache
from importlib import resources
from typing import Any

import typst

from brightroot.base.errors import Refused
from brightroot.model.outline import Block, Document, Picture, Table
from brightroot.render.qr import qr_svg
from brightroot.render.words import words

KEPT: Any = ["a-2b"]
PAPERS = {"a4": "a4", "letter": "us-letter"}
# a drawing made for the screen asks for the screen's fonts; on paper it takes the paper's
_FACE = re.compile(r"""font-family=("[^"]*"|'[^']*')""")


def pdf(document: Document) -> bytes:
    """The document on A4 or US Letter. Nothing is read from this machine: its fonts and its date stay out of it.

    A document that says of when it tells is PDF/A-2b, which asks for that date: fonts inside, nothing fetched, to be kept.

    >>> pdf(Document("J-05", "Gr 2", "", ()))[:5]
    b'%PDF-'
    """
    if document.paper not in PAPERS:
        raise Refused(field="paper", wanted=f"one of {', '.join(PAPERS)}", got=document.paper, reason="refused.choice")
    # the sheet and its data stay in memory; the stubs of `typst` do not know that shape yet
    files: Any = {"main.typ": _sheet(), "document.json": json.dumps(_data(document)).encode()}
    made: bytes = typst.compile(
        files,
        format="pdf",
        ignore_system_fonts=True,
        timestamp=int(document.dated_s or 0),
        pdf_standards=KEPT if document.dated_s is not None else None,
    )
    return made


@cache
def _sheet() -> bytes:
    return (resources.files("brightroot") / "render" / "paper.typ").read_bytes()


def _data(document: Document) -> dict[str, Any]:
    say = words(document.language).say
    return {
        "title": _text(document.title),
        "subtitle": _text(document.subtitle),
        "foot": _text(document.foot),
        "language": document.language,
        "paper": PAPERS[document.paper],
        "qr": qr_svg(document.qr, border_count=0) if document.qr else "",
        "qr_alt": say("paper.qr", text=_text(document.qr)),
        "page_words": say("paper.page", page="<page>", pages="<pages>"),
        "caution_word": say("caution.word"),
        "dated": document.dated_s is not None,
        "blocks": [_block(block) for block in document.blocks],
    }


def _block(block: Block) -> dict[str, Any]:
    fields = {f.name: _cleaned(getattr(block, f.name)) for f in dataclasses.fields(block)}
    if isinstance(block, Table):
        fields |= _squared(fields)
    if isinstance(block, Picture):
        fields["svg"] = _FACE.sub(r'font-family="Libertinus Serif"', fields["svg"])
    return {"kind": type(block).__name__.lower(), **fields}


def _squared(table: dict[str, Any]) -> dict[str, Any]:
    """Every row as wide as the widest, so that a short row cannot shift the ones under it."""
    columns = max([len(table["head"]), *(len(row) for row in table["rows"])], default=1) or 1
    widths = [*table["widths"], *[1.0] * (columns - len(table["widths"]))][:columns]
    head = [*table["head"], *[""] * (columns - len(table["head"]))] if table["head"] else []
    return {"head": head, "rows": [[*row, *[""] * (columns - len(row))] for row in table["rows"]], "widths": widths}


def _cleaned(value: Any) -> Any:
    if isinstance(value, str):
        return _text(value)
    return [_cleaned(item) for item in value] if isinstance(value, tuple) else value


def _text(text: str) -> str:
    """Text without what no printer has: lone surrogates and control characters show as a replacement mark."""
    whole = text.encode("utf-8", "replace").decode("utf-8")
    return "".join(c if c in "\n\t" or (ord(c) >= 32 and ord(c) != 127) else "�" for c in whole).replace("\t", " ")
