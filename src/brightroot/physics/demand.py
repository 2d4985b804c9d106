"""What every formula asks of its numbers before it computes: finite, and on the right side of zero."""

from __future__ import annotations

import math

from brightroot.base.errors import Refused
from brightroot.base.show import show


def positive(**inputs: float) -> None:
    """Refuse the first input that is not a finite number above zero.

    >>> positive(wall_m=0.0034)
    """
    for name, value in inputs.items():
        if not (math.isfinite(value) and value > 0):
            raise Refused(field=name, wanted="a number above zero", got=said(value, name=name))


def not_negative(**inputs: float) -> None:
    """Refuse the first input that is not a finite number at or above zero."""
    for name, value in inputs.items():
        if not (math.isfinite(value) and value >= 0):
            raise Refused(field=name, wanted="zero or more", got=said(value, name=name))


def fraction(**inputs: float) -> None:
    """Refuse the first input that is not a finite number from 0 to 1."""
    for name, value in inputs.items():
        if not 0 <= value <= 1:
            raise Refused(field=name, wanted="a share between 0 and 100 %", got=said(value, name=name))


def said(value: float, *, name: str) -> str:
    """The number in the person's units; one that is not finite, as it is."""
    return show(value, name=name, both=False) if math.isfinite(value) else str(value)
