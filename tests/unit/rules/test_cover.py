"""The exact cover against trying everything, on small random lists and on those where greed goes wrong."""

import random
from itertools import combinations

import pytest

from brightroot.rules.cover import least_cover

SEED = 20261125
COUNT = 200


def tried(sets, prices, *, price_first):
    """Every choice of sets tried: the best (count, price), or (price, count)."""
    wanted = frozenset().union(*sets)
    found = []
    for count in range(len(sets) + 1):
        for places in combinations(range(len(sets)), count):
            if frozenset().union(*(sets[place] for place in places)) >= wanted:
                found.append(scored(places, prices, price_first=price_first))
    return min(found)


def scored(places, prices, *, price_first):
    score = (len(places), sum(prices[place] for place in places))
    return score[::-1] if price_first else score


def drawn(rng):
    needs = rng.randint(1, 10)
    density = rng.choice([0.15, 0.3, 0.5])
    sets = [frozenset(j for j in range(needs) if rng.random() < density) for _ in range(rng.randint(1, 11))]
    return sets, [rng.randint(0, 4) for _ in sets]


@pytest.mark.parametrize("price_first", [False, True], ids=["fewest", "cheapest"])
def test_it_equals_trying_everything(price_first):
    rng = random.Random(SEED)
    several = 0
    for _ in range(COUNT):
        sets, prices = drawn(rng)
        chosen = least_cover(sets, prices=prices, price_first=price_first)
        assert frozenset().union(*(sets[place] for place in chosen)) == frozenset().union(*sets)
        assert scored(chosen, prices, price_first=price_first) == tried(sets, prices, price_first=price_first)
        several += len(chosen) > 2
    assert several > COUNT / 5  # the lists are not all trivial


def test_greed_would_take_three():
    sets = [frozenset({0, 1, 2, 3}), frozenset({0, 1, 4}), frozenset({2, 3, 5})]
    assert least_cover(sets, prices=[1, 1, 1]) == (1, 2)


def test_ties_go_to_the_foremost_whatever_the_order_of_the_needs():
    cycle = [frozenset({i, (i + 1) % 6}) for i in range(6)]
    assert least_cover(cycle, prices=[1] * 6) == (0, 2, 4)
    turned = [frozenset((7 * need) % 13 for need in one) for one in cycle]
    assert least_cover(turned, prices=[1] * 6) == (0, 2, 4)


def test_the_cheapest_may_be_more_of_them():
    sets = [frozenset({0, 1}), frozenset({0}), frozenset({1})]
    assert least_cover(sets, prices=[5, 1, 1]) == (0,)
    assert least_cover(sets, prices=[5, 1, 1], price_first=True) == (1, 2)


def test_nothing_to_cover_takes_nothing():
    assert least_cover([], prices=[]) == ()
    assert least_cover([frozenset(), frozenset()], prices=[1, 1]) == ()
