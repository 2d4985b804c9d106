"""The fewest test coupons that cover a list of joints, what no coupon covers and why, and what each rests on.

A coupon covers a joint where every variable of the code passes. Rows from memory that nobody confirmed are named beside
it: a plan may rest on them, a yes may not. Ties go to the coupon with the least metal to lay, or to the cheapest where
the rates tell a price.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass, replace

from brightroot.model.qualification import Coupon, JointNeeds
from brightroot.rules.coupon_grid import Grid, Offer, axes_of, candidates
from brightroot.rules.cover import least_cover
from brightroot.rules.welders.book import Book
from brightroot.rules.welders.checks import Found
from brightroot.rules.welders.specimens import specimens_of


@dataclass(frozen=True, slots=True)
class Rates:
    """What a coupon costs in hours and in the shop's own money. There are no defaults: nobody else knows them."""

    coupon_h: float | None = None  # to cut, fit, purge and witness one
    run_h_m: float | None = None  # to lay one metre of one layer, with its waits
    hour_price: float | None = None
    specimen_price: float | None = None


@dataclass(frozen=True, slots=True)
class Chosen:
    """A coupon to weld, the joints it covers, and the rows it rests on that nobody has confirmed.

    `bends_count`, `hours_h` and `price` are None where the code or the rates do not tell.
    """

    coupon: Coupon
    size: str
    joints: tuple[str, ...]
    waits_for: tuple[str, ...]
    bends_count: int | None
    hours_h: float | None
    price: float | None


@dataclass(frozen=True, slots=True)
class Uncovered:
    """A joint that no coupon covers: the rows of the variables that stop it, with what the nearest coupon brings."""

    joint: str
    reasons: tuple[tuple[str, Found], ...]


@dataclass(frozen=True, slots=True)
class CouponPlan:
    """The choice. `grid_count` coupons could be made; joints that ask for the same are one of `kinds_count`."""

    coupons: tuple[Chosen, ...]
    uncovered: tuple[Uncovered, ...]
    grid_count: int
    kinds_count: int
    hours_h: float | None
    price: float | None


def plan_coupons(
    book: Book,
    needs: Sequence[JointNeeds],
    offers: Sequence[Offer],
    *,
    confirmed: Collection[str] = (),
    rates: Rates | None = None,
    price_first: bool = False,
) -> CouponPlan:
    """The least choice of coupons for those joints: the fewest, or with `price_first` the cheapest."""
    rates = rates or Rates()
    kinds = _kinds(needs)
    grid = Grid(book, tuple(kinds), confirmed)
    offered = sorted(
        candidates(book, grid, offers, lambda coupon: _cost(book, coupon, rates)), key=lambda pair: _order(*pair)
    )
    covered = [grid.covered(coupon) for coupon, _ in offered]
    costs = [_cost(book, coupon, rates) for coupon, _ in offered]
    names = list(kinds.values())
    chosen = tuple(
        _chosen(book, grid, offered[place], covered[place], names, rates)
        for place in least_cover(covered, prices=costs, price_first=price_first)
    )
    missed = set(range(len(names))) - frozenset().union(*covered)
    uncovered = tuple(
        Uncovered(joint, grid.reasons(i, [coupon for coupon, _ in offered]))
        for i in sorted(missed)
        for joint in names[i]
    )
    hours, price = _total(c.hours_h for c in chosen), _total(c.price for c in chosen)
    grid_count = math.prod(map(len, axes_of(book, grid.kinds, offers)))
    return CouponPlan(chosen, uncovered, grid_count, len(names), hours, price)


def _kinds(needs: Iterable[JointNeeds]) -> dict[JointNeeds, tuple[str, ...]]:
    """Joints that ask for the same under one entry, in an order that is not the list's."""
    found: dict[JointNeeds, tuple[str, ...]] = {}
    for need in sorted(needs, key=lambda need: need.joint):
        kind = replace(need, joint="", planned_on="")
        found[kind] = (*found.get(kind, ()), need.joint)
    return found


def _chosen(
    book: Book,
    grid: Grid,
    offered: tuple[Coupon, str],
    covered: frozenset[int],
    names: list[tuple[str, ...]],
    rates: Rates,
) -> Chosen:
    coupon, size = offered
    joints = tuple(sorted(joint for i in covered for joint in names[i]))
    hours, price = _priced(book, coupon, rates)
    return Chosen(coupon, size, joints, grid.waits(coupon, sorted(covered)), _bends(book, coupon), hours, price)


def _metal_laid(coupon: Coupon) -> float:
    """How much there is to lay, in proportion: the way round by the wall by a groove that widens with the wall."""
    outside = coupon.outer_diameter_m.value if coupon.outer_diameter_m else 0.3
    return math.pi * outside * coupon.deposit_m.value * (coupon.deposit_m.value + 0.003)


def _order(coupon: Coupon, size: str) -> tuple[object, ...]:
    """The foremost of equals: least metal, then by what stands in it, so that no list's order decides."""
    return round(_metal_laid(coupon) * 1e12), coupon.position, coupon.p_number, coupon.f_number, size, repr(coupon)


def _cost(book: Book, coupon: Coupon, rates: Rates) -> int:
    """What decides between equals, as a whole number: the price where the rates tell it, else the metal to lay."""
    price = _priced(book, coupon, rates)[1]
    return round(price * 100) if price is not None else round(_metal_laid(coupon) * 1e9)


def _priced(book: Book, coupon: Coupon, rates: Rates) -> tuple[float | None, float | None]:
    """Hours and price of one coupon, each None where a rate is missing."""
    if rates.coupon_h is None or rates.run_h_m is None or coupon.outer_diameter_m is None:
        return None, None
    run_m = math.pi * coupon.outer_diameter_m.value * (coupon.layers_count or 1)
    hours = rates.coupon_h + rates.run_h_m * run_m
    bends = _bends(book, coupon)
    if rates.hour_price is None or rates.specimen_price is None or bends is None:
        return hours, None
    return hours, hours * rates.hour_price + bends * rates.specimen_price


def _bends(book: Book, coupon: Coupon) -> int | None:
    found = specimens_of(book, coupon)
    return found.face_count + found.root_count + found.side_count if found else None


def _total(parts: Iterable[float | None]) -> float | None:
    """The sum, or None where a part is missing or there is none."""
    told = list(parts)
    known = [part for part in told if part is not None]
    return sum(known) if told and len(known) == len(told) else None
