"""The thickness that a test piece qualifies: a table of the code, read in the units of whoever asks."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from brightroot.base.errors import Broken
from brightroot.base.show import show
from brightroot.base.units import Reading, read
from brightroot.rules.compare import within
from brightroot.rules.limits import US

Row = Mapping[str, object]
INCHES_19 = ("3/4 in", "19 mm")


@dataclass(frozen=True, slots=True)
class Qualified:
    """Base metal from, base metal up to, weld metal up to; each with its text as the code has it."""

    base_min: Reading
    base_max: Reading
    deposit_max: Reading | None


def qualified_thickness(
    rows: tuple[Row, ...], *, test_piece: Reading, deposit: Reading | None, unit: str
) -> Qualified | None:
    """What a test piece of that thickness qualifies, with that much weld metal laid; None where no row holds it.

    The row is found in the test piece's own system, 3/8 in or 10 mm; fixed ends are given in the asker's (`unit`).
    """
    row = next((row for row in rows if _holds(row, test_piece)), None)
    if row is None:
        return None
    end = "us" if unit in US else "si"
    return Qualified(
        base_min=_end(str(row[f"base_min_{end}"]), test_piece, unit),
        base_max=_end(str(row["base_max"]), test_piece, unit),
        deposit_max=_deposit(str(row["deposit_max"]), test_piece, deposit, unit) if deposit else None,
    )


def _holds(row: Row, test_piece: Reading) -> bool:
    column = "in" if test_piece.unit in US else "mm"
    low, high = (_length(str(row[f"{end}_{column}"])) for end in ("over", "up_to"))
    if low is not None and not within(low, test_piece.value):
        return False
    if high is None:
        return True
    at_or_under = within(test_piece.value, high)
    return at_or_under if row["last_included"] == "yes" else at_or_under and not within(high, test_piece.value)


def _length(text: str) -> float | None:
    return read(text, field="thickness_m").value if text else None


def _end(rule: str, test_piece: Reading, unit: str) -> Reading:
    """`T`, `2T`, `1.33T` of the test piece, or a length as printed."""
    if rule.endswith("T"):
        times = Fraction(rule[:-1] or "1")
        value = float(times * Fraction(test_piece.value))
        text = test_piece.as_entered if times == 1 else f"{_shown(value, unit)} ({rule[:-1]} × {test_piece.as_entered})"
        return Reading(text, value, test_piece.unit, "length")
    return read(rule, field="thickness_m")


def _deposit(rule: str, test_piece: Reading, deposit: Reading, unit: str) -> Reading:
    """Twice what was laid; from 3/4 in (19 mm) laid, whatever stands before `from` in the table."""
    if rule == "2t":
        return _twice(deposit, unit)
    before, _, start = rule.partition(" from ")
    if not start:
        raise Broken(where="thickness table, deposit_max", wanted="2t, or … from 3/4 in", got=rule)
    heavy = read(INCHES_19[0] if deposit.unit in US else INCHES_19[1], field="thickness_m").value
    return _end(before, test_piece, unit) if within(heavy, deposit.value) else _twice(deposit, unit)


def _twice(deposit: Reading, unit: str) -> Reading:
    value = float(2 * Fraction(deposit.value))
    return Reading(f"{_shown(value, unit)} (2 × {deposit.as_entered})", value, deposit.unit, "length")


def _shown(value: float, unit: str) -> str:
    return show(value, name="wall_m", system="us" if unit in US else "metric", both=False)
