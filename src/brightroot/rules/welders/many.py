"""Many joints and many welders at once: each distinct need of a variable is asked once of each distinct coupon.

What a variable answers depends on a few facts of the joint only, so joints fall into classes for each variable. The
outcome of a pair is the worst of its variables, taken over whole columns of joints at a time; the full answer of one
pair is `may`, and agrees.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from operator import attrgetter
from typing import Any

import numpy as np
from numpy.typing import NDArray

from brightroot.model.clause import Outcome
from brightroot.model.library import CodeRow
from brightroot.model.qualification import Confirmation, JointNeeds, LastUse, Qualification
from brightroot.rules.welders.book import Book, confirmed_in, waits_for
from brightroot.rules.welders.checks import Laid
from brightroot.rules.welders.may import (
    FAIL,
    PASS,
    UNKNOWN,
    WOULD_FAIL,
    WOULD_PASS,
    Held,
    held_of,
    level,
    outcome_at,
    standing_answers,
    variable_level,
)
from brightroot.rules.welders.spans import lie_in

# which facts of a joint and of a coupon a check reads; a change of any other cannot change its answer
READS: Mapping[str, tuple[tuple[str, ...], tuple[str, ...]]] = {
    "same_process": (("process",), ("process",)),
    "without_covers_with": (("backing",), ("backing",)),
    "with_not_dropped": (("gas_backing", "backing", "form", "p_numbers"), ("gas_backing",)),
    "same_where_vertical": (("position", "progression"), ("progression",)),
    "same_group": (("p_numbers", "rests_on"), ("p_number",)),
    "same_set": (("f_number", "filler_used", "rests_on"), ("f_number",)),
    "positions": (
        ("position", "progression", "form", "plate", "outer_diameter_m"),
        ("position", "progression", "outer_diameter_m"),
    ),
}
SPANS = {
    "diameter": (("outer_diameter_m", "nps", "plate", "form"), ("outer_diameter_m", "nps", "position", "progression")),
    "deposit": (("deposit_m", "form"), ("deposit_m", "layers_count")),
}
Levels = NDArray[np.int8]


@dataclass(frozen=True, slots=True)
class Welder:
    """One welder's qualifications and uses of the process."""

    stamp: str
    qualifications: tuple[Qualification, ...]
    uses: tuple[LastUse, ...] = ()


@dataclass(frozen=True, slots=True, eq=False)
class Matrix:
    """The level (`may.level`) of what stands most against each pair, by welder and joint."""

    welders: tuple[str, ...]
    joints: tuple[str, ...]
    levels: Levels

    def outcome(self, welder: str, joint: str) -> Outcome:
        """Of one pair."""
        return outcome_at(int(self.levels[self.welders.index(welder), self.joints.index(joint)]))

    def who(self, joint: str) -> tuple[str, ...]:
        """The welders who may make that joint."""
        column = self.levels[:, self.joints.index(joint)]
        return tuple(stamp for stamp, found in zip(self.welders, column, strict=True) if found == PASS)


def may_many(
    book: Book,
    welders: Sequence[Welder],
    needs: Sequence[JointNeeds],
    *,
    on: str,
    confirmations: Iterable[Confirmation] = (),
) -> Matrix:
    """The outcome of every welder at every joint on a day: the same as `may` of each pair."""
    confirmed = confirmed_in(book, confirmations)
    rows = book.table("welder_variables")
    classes = [_classes(row, needs) for row in rows]
    kept: dict[Any, Levels] = {}

    def columns(one: Held) -> dict[str, Levels]:
        found = {}
        for row, (which, examples) in zip(rows, classes, strict=True):
            key = (row.id, _getter(_reads(row)[1])(one.qualification.coupon))
            if key not in kept:
                kept[key] = _column(book, row, one, examples, confirmed)[which]
            found[str(row.cells["variable"])] = kept[key]
        return found

    levels = np.full((len(welders), len(needs)), FAIL, dtype=np.int8)
    lending = _lending(book, confirmed)
    for place, welder in enumerate(welders):
        held = held_of(book, welder.qualifications)
        own = [(_standing(book, one, held, welder, on, confirmed), columns(one)) for one in held]
        for standing, found in own:
            np.minimum(levels[place], _worst(standing, found, ""), out=levels[place])
        if lending is not None and len(own) > 1:
            _lend(levels[place], own, lending)
    return Matrix(tuple(w.stamp for w in welders), tuple(n.joint for n in needs), levels)


def _standing(book: Book, one: Held, held: Sequence[Held], welder: Welder, on: str, confirmed: frozenset[str]) -> int:
    """What stands against it at every joint: the coupon's tests, and that it no longer lasts."""
    answers = standing_answers(book, one, held, on=on, uses=welder.uses, confirmed=confirmed)
    return max(level(answer) for answer in answers)


def _worst(standing: int, columns: Mapping[str, Levels], without: str) -> Levels:
    kept = [column for variable, column in columns.items() if variable != without]
    found: Levels = np.maximum.reduce([*kept, np.full_like(kept[0], standing)])
    return found


def _lending(book: Book, confirmed: frozenset[str]) -> int | None:
    """The level of the row by which thickness counts from a second coupon; None where the code has none."""
    rows = book.table("welder_combined")
    return (WOULD_PASS if waits_for(rows, confirmed) else PASS) if rows else None


def _lend(levels: Levels, own: Sequence[tuple[int, Mapping[str, Levels]]], lending: int) -> None:
    """The thickness of a coupon that covers all but the diameter counts with another that covers all but the thickness."""
    lenders = [(_worst(standing, found, "diameter") <= WOULD_PASS, found["deposit"]) for standing, found in own]
    for place, (standing, found) in enumerate(own):
        rest = _worst(standing, found, "deposit")
        wants = (found["deposit"] >= WOULD_FAIL) & (rest < WOULD_FAIL)
        if not wants.any():
            continue
        for other, (lends, thickness) in enumerate(lenders):
            fits = wants & lends
            if other != place and fits.any():
                made = np.maximum(np.maximum(rest, thickness), np.int8(lending))
                np.minimum(levels, made, out=levels, where=fits)


def _classes(row: CodeRow, needs: Sequence[JointNeeds]) -> tuple[NDArray[np.intp], tuple[JointNeeds, ...]]:
    """For each joint which class of this variable it is in, and one joint of each class."""
    key = _getter(_reads(row)[0])
    found: dict[Any, int] = {}
    examples: list[JointNeeds] = []
    which = np.empty(len(needs), dtype=np.intp)
    for place, joint in enumerate(needs):
        asked = key(joint)
        if asked not in found:
            found[asked] = len(examples)
            examples.append(joint)
        which[place] = found[asked]
    return which, tuple(examples)


def _reads(row: CodeRow) -> tuple[tuple[str, ...], tuple[str, ...]]:
    check, variable = str(row.cells.get("check")), str(row.cells.get("variable"))
    if check == "span":
        return SPANS[variable]
    return READS.get(check, ((variable, "filler_used"), (variable,)))


def _getter(names: tuple[str, ...]) -> Callable[[object], Any]:
    return attrgetter(*names)


def _column(book: Book, row: CodeRow, one: Held, examples: Sequence[JointNeeds], confirmed: frozenset[str]) -> Levels:
    """The level of a variable for one joint of each class; sizes all at once, since no two walls need be alike."""
    levels = np.zeros(len(examples), dtype=np.int8)
    plain: Sequence[int] = ()
    if row.cells.get("check") == "span":
        is_diameter = row.cells.get("variable") == "diameter"
        own = one.ranges.diameter if is_diameter else one.ranges.deposit
        sizes = [joint.outer_diameter_m if is_diameter else joint.deposit_m for joint in examples]
        if own is not None:
            plain = [
                n
                for n, (j, s) in enumerate(zip(examples, sizes, strict=True))
                if s and j.form == "groove" and not j.plate
            ]
            told = [size for n in plain if (size := sizes[n])]
            found = lie_in(own, told, [examples[n].nps if is_diameter else "" for n in plain])
            waiting = bool(waits_for((row, *own.rows), confirmed))
            levels[plain] = np.where(found == 1, WOULD_PASS if waiting else PASS, np.where(
                found == 0, WOULD_FAIL if waiting else FAIL, UNKNOWN))  # fmt: skip
    for n in set(range(len(examples))) - set(plain):
        levels[n] = variable_level(Laid(book, row, one.ranges, examples[n], confirmed))
    return levels
