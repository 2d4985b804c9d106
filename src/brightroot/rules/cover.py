"""The fewest sets that cover a list, exactly: small problems made smaller first, then settled by integer programming.

Ties are settled by the order in which the sets are given, never by chance or by the order of the list to be covered.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from brightroot.base.errors import Broken, Refused

LONGEST_S = 30.0  # for one question to the solver; what coupons can cover takes milliseconds


def least_cover(sets: Sequence[frozenset[int]], *, prices: Sequence[int], price_first: bool = False) -> tuple[int, ...]:
    """The places of the sets that together cover all that any of them covers: fewest, then cheapest, then foremost.

    `prices` are whole numbers, one a set. With `price_first` the cheapest come before the fewest.

    >>> least_cover([frozenset({1, 2}), frozenset({2, 3}), frozenset({1, 3}), frozenset({1})], prices=[1, 1, 1, 0])
    (1, 3)
    """
    needed = _reduced(sets, prices)
    if not needed:
        return ()
    forced = sorted({covering[0] for covering in needed if len(covering) == 1})
    open_needs = [covering for covering in needed if not set(covering) & set(forced)]
    if not open_needs:
        return tuple(forced)
    left = sorted({place for covering in open_needs for place in covering})
    return tuple(sorted([*forced, *_solved(open_needs, left, prices, price_first=price_first)]))


def _reduced(sets: Sequence[frozenset[int]], prices: Sequence[int]) -> list[tuple[int, ...]]:
    """For each need that decides, the places of the sets that cover it; sets and needs that decide nothing are gone.

    A set goes where another covers all of it for no more; a need goes where another one cannot be met without it.
    Round by round, since each kind of reduction can open the way for the other.
    """
    live: dict[int, frozenset[int]] = {place: one for place, one in enumerate(sets) if one}
    while True:
        covering: dict[tuple[int, ...], int] = {}
        for need in sorted({need for one in live.values() for need in one}):
            covering.setdefault(tuple(place for place, one in live.items() if need in one), need)
        deciding = _smallest(covering)
        wanted = frozenset(covering[one] for one in deciding)
        narrowed = {place: one & wanted for place, one in live.items() if one & wanted}
        standing = _undominated(narrowed, prices)
        if standing == live:
            return deciding
        live = standing


def _smallest(covering: Iterable[tuple[int, ...]]) -> list[tuple[int, ...]]:
    """Those that contain no other: whoever meets the smaller meets the larger as well."""
    found: list[frozenset[int]] = []
    kept: list[tuple[int, ...]] = []
    for one in sorted(covering, key=lambda places: (len(places), places)):
        if not any(other <= set(one) for other in found):
            found.append(frozenset(one))
            kept.append(one)
    return sorted(kept)


def _undominated(sets: Mapping[int, frozenset[int]], prices: Sequence[int]) -> dict[int, frozenset[int]]:
    """The sets for which no other covers as much for as little; of equals the foremost stays."""
    order = sorted(sets, key=lambda place: (-len(sets[place]), prices[place], place))
    kept: list[int] = []
    for place in order:
        if not any(sets[place] <= sets[other] and prices[other] <= prices[place] for other in kept):
            kept.append(place)
    return {place: sets[place] for place in sorted(kept)}


def _solved(
    needs: list[tuple[int, ...]], places: list[int], prices: Sequence[int], *, price_first: bool
) -> tuple[int, ...]:
    """The best choice among `places`: two objectives in turn, then place by place, the foremost taken where it can be."""
    import numpy as np
    from scipy.sparse import csr_array

    at = {place: column for column, place in enumerate(places)}
    rows = [row for row, covering in enumerate(needs) for _ in covering]
    columns = [at[place] for covering in needs for place in covering]
    cover = csr_array((np.ones(len(rows)), (rows, columns)), shape=(len(needs), len(places)))
    count, price = np.ones(len(places)), np.array([prices[place] for place in places], dtype=float)
    bounds: list[tuple[Any, float]] = []
    low, high = np.zeros(len(places)), np.ones(len(places))
    chosen = np.zeros(len(places))
    for goal in (price, count) if price_first else (count, price):
        best = _least(goal, cover, bounds, low, high)
        if best is None:
            raise Broken(where="cover", wanted="a choice that covers", got="none")
        chosen = best
        bounds.append((goal, float(round(goal @ best))))
    for column in range(len(places)):
        if high[column] == 0 or low[column] == 1:
            continue
        if chosen[column] < 0.5:  # ask whether the foremost could be in it all the same
            low[column] = 1
            other = _least(count, cover, bounds, low, high)
            if other is None:
                low[column] = high[column] = 0
                continue
            chosen = other
        low[column] = 1
    return tuple(place for column, place in enumerate(places) if chosen[column] > 0.5)


def _least(goal: Any, cover: Any, bounds: list[tuple[Any, float]], low: Any, high: Any) -> Any:
    """Zeros and ones that cover every row at the least of `goal`, within what earlier goals reached; None: no such."""
    import numpy as np
    from scipy.optimize import Bounds, LinearConstraint, milp

    limits = [LinearConstraint(cover, lb=1)]
    limits += [LinearConstraint(weights.reshape(1, -1), ub=most + 0.5) for weights, most in bounds]
    options = {"mip_rel_gap": 0.0, "time_limit": LONGEST_S}
    found = milp(goal, integrality=np.ones(len(goal)), bounds=Bounds(low, high), constraints=limits, options=options)
    if found.status == 1:
        raise Refused(field="joints", wanted=f"a list that is settled in {LONGEST_S:.0f} s", got="a harder one")
    return None if found.x is None else np.round(found.x)
