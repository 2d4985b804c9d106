"""The colour that was seen against the one that the dose foretold: in agreement, darker, lighter, or not to be judged."""

from __future__ import annotations

from brightroot.base.formula import Band

# the words that a person records, as the films that look so; a word may stand for more than one stretch of the sequence
SEEN_nm: dict[str, tuple[tuple[float, float], ...]] = {
    "silver": ((0.0, 8.0), (78.0, 92.0)),
    "light straw": ((8.0, 16.0), (92.0, 108.0)),
    "dark straw": ((16.0, 31.0), (108.0, 125.0)),
    "bronze": ((16.0, 31.0), (108.0, 125.0)),
    "purple": ((31.0, 40.0), (125.0, 155.0)),
    "dark blue": ((40.0, 56.0), (155.0, 175.0)),
    "light blue": ((56.0, 78.0), (175.0, 200.0)),
    "grey": ((200.0, float("inf")),),
    "white": ((200.0, float("inf")),),
}
EDGE_nm = 2.0  # an eye does not know an edge better


def agreement(*, seen: str, film_m: Band) -> str:
    """`agrees`, `darker`, `lighter`, `second order` (it agrees only as a thick film that looks thin), or `not judged`.

    >>> agreement(seen="dark blue", film_m=Band(3e-9, 5e-9, 8e-9)), agreement(seen="silver", film_m=Band(3e-9, 5e-9, 8e-9))
    ('darker', 'agrees')
    >>> agreement(seen="silver", film_m=Band(60e-9, 80e-9, 120e-9))
    'second order'
    """
    stretches = SEEN_nm.get(seen)
    if stretches is None:
        return "not judged"
    low, high = film_m.low * 1e9 - EDGE_nm, film_m.high * 1e9 + EDGE_nm
    meets = [start <= high and end >= low for start, end in stretches]
    if meets[0]:
        return "agrees"
    if any(meets):
        return "second order"
    return "darker" if stretches[0][0] > high else "lighter"
