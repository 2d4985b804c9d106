"""Dense samples as one block of text, cited by its hash: a row each, time and value exact, nothing left out."""

from __future__ import annotations

from brightroot.base.errors import Broken
from brightroot.model.stream import STATES, Sample

MEDIA_TYPE = "text/csv"
HEAD = "at_s,value,state"


def block_of(samples: tuple[Sample, ...]) -> bytes:
    """The block. The same samples give the same bytes, and `samples_in` gives back the same samples.

    >>> samples_in(block_of((Sample(1.5, 4e-06), Sample(2.5, None, "over range"))))[1].state
    'over range'
    """
    rows = (f"{one.at_s!r},{'' if one.value is None else repr(one.value)},{one.state}" for one in samples)
    return ("\n".join((HEAD, *rows)) + "\n").encode()


def samples_in(block: bytes) -> tuple[Sample, ...]:
    """The samples of a block. Raises Broken naming the row that is none."""
    head, *rows = block.decode("utf-8", "replace").splitlines() or [""]
    if head != HEAD:
        raise Broken(where="block of samples", wanted=HEAD, got=head[:60])
    return tuple(_row(number, row) for number, row in enumerate(rows, 2))


def _row(number: int, row: str) -> Sample:
    try:
        at_s, value, state = row.split(",")
        if state not in STATES:
            raise ValueError(state)
        return Sample(float(at_s), float(value) if value else None, state)
    except ValueError:
        raise Broken(where=f"block of samples, row {number}", wanted=HEAD, got=row[:60]) from None
