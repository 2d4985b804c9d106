"""A document as a tree of blocks, before it is paper or screen. Words are message ids or plain text already said."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Heading:
    text: str
    level: int = 1


@dataclass(frozen=True, slots=True)
class Para:
    text: str
    strong: bool = False


@dataclass(frozen=True, slots=True)
class Table:
    """Rows of plain text. `note` stands under it; `widths` are relative."""

    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    widths: tuple[float, ...] = ()
    note: str = ""


@dataclass(frozen=True, slots=True)
class Picture:
    """A drawing already made as SVG text, with the words that say what it shows."""

    svg: str
    caption: str
    width_frac: float = 1.0


@dataclass(frozen=True, slots=True)
class Boxes:
    """Empty boxes for a gloved pen: what goes into each."""

    labels: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Caution:
    text: str


Block = Heading | Para | Table | Picture | Boxes | Caution


@dataclass(frozen=True, slots=True)
class Document:
    """Title, the line under it, the line at every page's foot, and the blocks. `dated_s` is the time of what it tells."""

    title: str
    subtitle: str
    foot: str
    blocks: tuple[Block, ...]
    language: str = "en"
    paper: str = "a4"
    qr: str = ""
    dated_s: float | None = None
