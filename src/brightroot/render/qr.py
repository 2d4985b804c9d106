"""A QR code as SVG: the way from paper back to the joint."""

from __future__ import annotations

import io

import segno


def qr_svg(text: str, *, border_count: int = 4, ground: str | None = None) -> str:
    """Black modules, medium correction against a greasy thumb. White paper needs no border; a dark screen needs a ground.

    >>> qr_svg("J-05").startswith("<svg")
    True
    """
    out = io.BytesIO()
    plain = {"xmldecl": False, "nl": False, "svgclass": None, "lineclass": None, "omitsize": True}
    segno.make(text, error="m", micro=False).save(
        out, kind="svg", border=border_count, dark="#000", light=ground, **plain
    )
    return out.getvalue().decode("utf-8")
