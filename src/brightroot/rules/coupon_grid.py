"""Every coupon that a list of joints calls for, and which of the joints each covers.

A variable of the code looks at one thing of a coupon at a time, so what each value covers is worked out once, as a mask
with a bit for each kind of joint; a coupon covers what all its masks have in common. Values that cover the same are one
to the planner, and the least demanding of them stands for all.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import reduce
from itertools import product

from brightroot.base.units import Reading
from brightroot.model.clause import Outcome
from brightroot.model.library import CodeRow
from brightroot.model.qualification import Coupon, JointNeeds
from brightroot.rules.welders.book import Book, waits_for
from brightroot.rules.welders.checks import CHECKS, Found, Laid
from brightroot.rules.welders.ranges import ranges_of

LAYER_M = 0.0025  # common practice, no source: one layer of a hand-welded coupon
COVERS = (Outcome.PASS, Outcome.NOT_APPLICABLE)


@dataclass(frozen=True, slots=True)
class Offer:
    """A pipe that a coupon can be cut from."""

    outer_diameter_m: Reading
    wall_m: Reading
    nps: str = ""
    size: str = ""


class Grid:
    """What every value of every variable covers among the kinds of joint. Bit i of a mask is kind i."""

    def __init__(self, book: Book, kinds: tuple[JointNeeds, ...], confirmed: Collection[str]) -> None:
        self.kinds = kinds
        self._book, self._confirmed = book, confirmed
        self._found: dict[tuple[str, object], tuple[Found, ...]] = {}

    @property
    def variables(self) -> tuple[CodeRow, ...]:
        return self._book.table("welder_variables")

    def found(self, row: CodeRow, coupon: Coupon) -> tuple[Found, ...]:
        """What one variable of a coupon is to every kind of joint."""
        name = str(row.cells["check"])
        key = (row.id, KEYS[name](str(row.cells["variable"]), coupon))
        if key not in self._found:
            ranges = ranges_of(self._book, coupon)
            laid = (Laid(self._book, row, ranges, kind, self._confirmed) for kind in self.kinds)
            self._found[key] = tuple(CHECKS[name](one) for one in laid)
        return self._found[key]

    def masks(self, coupon: Coupon) -> tuple[int, ...]:
        """One mask for each variable."""
        return tuple(
            sum(1 << i for i, one in enumerate(self.found(row, coupon)) if one.outcome in COVERS)
            for row in self.variables
        )

    def covered(self, coupon: Coupon) -> frozenset[int]:
        """The kinds for which every variable passes."""
        mask = reduce(lambda one, other: one & other, self.masks(coupon), (1 << len(self.kinds)) - 1)
        return frozenset(i for i in range(len(self.kinds)) if mask >> i & 1)

    def waits(self, coupon: Coupon, kinds: Iterable[int]) -> tuple[str, ...]:
        """The unconfirmed rows that its cover of those kinds rests on."""
        rows = (row for i in kinds for own in self.variables for row in (own, *self.found(own, coupon)[i].rows))
        return waits_for(rows, self._confirmed)

    def reasons(self, kind: int, coupons: Sequence[Coupon]) -> tuple[tuple[str, Found], ...]:
        """The variables that the nearest coupon misses: the one that misses fewest."""
        missed = [
            tuple((row.id, f) for row in self.variables if (f := self.found(row, coupon)[kind]).outcome not in COVERS)
            for coupon in coupons
        ]
        return min(missed, key=lambda reasons: len(reasons), default=())


def _of_span(variable: str, coupon: Coupon) -> object:
    if variable == "diameter":
        return coupon.outer_diameter_m, coupon.nps
    return coupon.deposit_m, coupon.layers_count


# what of a coupon each check looks at: coupons alike in that are the same to it
KEYS: Mapping[str, Callable[[str, Coupon], object]] = {
    "same_process": lambda variable, coupon: coupon.process,
    "without_covers_with": lambda variable, coupon: coupon.backing,
    "with_not_dropped": lambda variable, coupon: coupon.gas_backing,
    "same": lambda variable, coupon: getattr(coupon, variable),
    "same_where_vertical": lambda variable, coupon: coupon.progression,
    "span": _of_span,
    "same_group": lambda variable, coupon: coupon.p_number,
    "same_set": lambda variable, coupon: coupon.f_number,
    "positions": lambda variable, coupon: (coupon.position, coupon.progression, coupon.outer_diameter_m is None),
}
Change = dict[str, object]


def axes_of(book: Book, kinds: tuple[JointNeeds, ...], offers: Sequence[Offer]) -> tuple[list[Change], ...]:
    """The values that the joints themselves call for, along each way in which a coupon can differ; the easier first."""
    rows = [row for row in book.table("welder_position") if row.cells.get("of") == "pipe"]
    tests = [str(row.cells["test"]) for row in rows if "+" not in str(row.cells["test"])]  # + is two coupons
    metals = {p: metal for kind in kinds for p, metal in zip(kind.p_numbers, (*kind.metals, "", ""), strict=False) if p}
    ways = dict.fromkeys(tuple((name, getattr(kind, name)) for name in WAY) for kind in kinds)
    return (
        [{"position": test} for test in tests],
        [{"p_number": p, "metal": metals[p]} for p in sorted(metals)] or [{}],
        [{"f_number": rod} for rod in sorted({kind.f_number for kind in kinds})],
        [dict(way) for way in sorted(ways, key=repr)],
        [_cut_from(offer) for offer in offers],
    )


WAY = ("backing", "gas_backing", "insert", "filler_used", "filler_form", "current", "progression", "process")


def candidates(
    book: Book, grid: Grid, offers: Sequence[Offer], cost: Callable[[Coupon], int]
) -> Iterator[tuple[Coupon, str]]:
    """The coupons to choose from with the size of pipe each is cut from; of values that cover alike only the first.

    Of pipes that cover alike the first is the one that costs least.
    """
    axes = axes_of(book, grid.kinds, offers)
    if not all(axes):
        return
    base = _changed(_blank(offers[0]), *(axis[0] for axis in axes))
    pipes = sorted(axes[-1], key=lambda pipe: (cost(_changed(base, pipe)), str(pipe["size"])))
    for way in product(*([*_telling(grid, base, axis)] for axis in (*axes[:-1], pipes))):
        yield _changed(base, *way), str(way[-1]["size"])


def _telling(grid: Grid, base: Coupon, axis: list[Change]) -> Iterator[Change]:
    """The values along one axis that differ in what they cover."""
    seen = set()
    for change in axis:
        masks = grid.masks(_changed(base, change))
        if masks not in seen:
            seen.add(masks)
            yield change


def _changed(coupon: Coupon, *changes: Change) -> Coupon:
    told = {name: value for change in changes for name, value in change.items() if name != "size"}
    return replace(coupon, **told)  # type: ignore[arg-type]


def _blank(offer: Offer) -> Coupon:
    return _changed(Coupon("", "", offer.wall_m), _cut_from(offer))


def _cut_from(offer: Offer) -> Change:
    layers = max(1, math.ceil(offer.wall_m.value / LAYER_M - 1e-9))
    size = {"outer_diameter_m": offer.outer_diameter_m, "nps": offer.nps, "size": offer.size}
    return {**size, "wall_m": offer.wall_m, "deposit_m": offer.wall_m, "layers_count": layers}
