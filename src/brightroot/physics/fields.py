"""Reading a case's JSON: what is missing, unknown, of the wrong kind or out of range is refused by its key."""

from __future__ import annotations

import itertools
import math
from collections.abc import Mapping, Sequence
from difflib import get_close_matches
from typing import Any

from brightroot.base.errors import Refused

# texts and answers that travel with a case and that no engine reads
IGNORED = frozenset(
    {
        *("truth", "truth_hidden_parameters", "outputs", "estimated_error", "provenance"),
        *("definitions", "coordinates", "description", "units", "note", "case", "id"),
    }
)


def known(given: Any, *, field: str, needed: Sequence[str], allowed: Sequence[str] = ()) -> Mapping[str, Any]:
    """The object itself, if it holds every needed key and no key that nobody reads.

    >>> known({"wall_m": 1, "note": "x"}, field="geometry", needed=["wall_m"])["wall_m"]
    1
    """
    if not isinstance(given, Mapping):
        raise Refused(field=field, wanted="an object", got=_kind(given), reason="refused.case")
    names = [*needed, *allowed]
    for key in given:
        if key not in names and key not in IGNORED:
            near = tuple(get_close_matches(str(key), names, n=3))
            raise Refused(
                field=under(field, key), wanted="no such key", got=str(key), near=near, reason="refused.unknown_key"
            )
    for key in needed:
        if key not in given:
            raise Refused(field=under(field, key), wanted="this key", got="nothing", reason="refused.missing_key")
    return given


def number(table: Mapping[str, Any], key: str, *, field: str, low: float, high: float) -> float:
    """A finite number in a closed range.

    >>> number({"wall_m": 0.003}, "wall_m", field="geometry", low=0.0002, high=0.1)
    0.003
    """
    return _within(table[key], field=under(field, key), low=low, high=high)


def numbers(
    table: Mapping[str, Any], key: str, *, field: str, low: float, high: float, rising: bool = False
) -> tuple[float, ...]:
    """A list of at least two finite numbers in a closed range, each larger than the one before where `rising`."""
    rows = listed(table, key, field=field)
    name = under(field, key)
    found = tuple(_within(x, field=f"{name}[{n}]", low=low, high=high) for n, x in enumerate(rows))
    if len(found) < 2:
        raise Refused(field=name, wanted="two numbers or more", got=str(len(found)), reason="refused.case")
    if rising and any(b <= a for a, b in itertools.pairwise(found)):
        raise Refused(field=name, wanted="rising numbers", got="some that do not rise", reason="refused.case")
    return found


def listed(table: Mapping[str, Any], key: str, *, field: str) -> list[Any]:
    """A list."""
    rows = table[key]
    if not isinstance(rows, list):
        raise Refused(field=under(field, key), wanted="a list", got=_kind(rows), reason="refused.case")
    return rows


def one_of(table: Mapping[str, Any], key: str, *, field: str, names: Sequence[str]) -> str:
    """One of the given words."""
    word = table[key]
    if not isinstance(word, str) or word not in names:
        raise Refused(
            field=under(field, key),
            wanted=" or ".join(names),
            got=_kind(word),
            near=tuple(names),
            reason="refused.case",
        )
    return word


def under(field: str, key: Any) -> str:
    """`geometry` and `wall_m` as `geometry.wall_m`."""
    return f"{field}.{key}" if field else str(key)


def _within(value: Any, *, field: str, low: float, high: float) -> float:
    wanted = f"a number from {low:g} to {high:g}"
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise Refused(field=field, wanted=wanted, got=_kind(value), reason="refused.case")
    if not math.isfinite(value) or not low <= value <= high:
        raise Refused(field=field, wanted=wanted, got=f"{value:g}", reason="refused.case")
    return float(value)


def _kind(value: Any) -> str:
    """What was got, in few words."""
    return value if isinstance(value, str) else {type(None): "null", dict: "an object", list: "a list"}.get(
        type(value), str(value)
    )  # fmt: skip
