"""A QR code as SVG: the way from paper back to the joint."""

from __future__ import annotations

import io

import segno


def qr_svg(text: str) -> str:
    """Black modules on nothing, four modules of quiet zone, medium correction: a greasy thumb costs it nothing.

    >>> qr_svg("J-05").startswith("<svg")
    True
    """
    out = io.BytesIO()
    code = segno.make(text, error="m", micro=False)
    code.save(out, kind="svg", xmldecl=False, svgns=True, nl=False, border=4, dark="#000", svgclass=None, lineclass=None)
    return out.getvalue().decode("utf-8")
