"""Model values to plain data and back, for the log and the bundle. One converter, so one shape everywhere."""

from __future__ import annotations

import json
from collections.abc import Mapping
from functools import cache
from typing import Any, TypeVar

T = TypeVar("T")


@cache
def _converter() -> Any:
    # imported late: `brightroot --help` does not need it
    import cattrs

    converter = cattrs.Converter(forbid_extra_keys=True)
    # a field typed `object` takes plain data as it is
    converter.register_structure_hook_func(lambda kind: kind is object, lambda value, _: value)
    return converter


def to_data(value: Any) -> Any:
    """A frozen dataclass as dicts, lists, strings and numbers."""
    return _converter().unstructure(value)


def from_data(data: Any, kind: type[T]) -> T:
    """The dataclass of that kind again. Raises on missing, extra or wrong fields."""
    made: T = _converter().structure(data, kind)
    return made


def canonical(data: Mapping[str, Any] | list[Any]) -> bytes:
    """The bytes that are stored and hashed: sorted keys, no spaces, no NaN, UTF-8.

    >>> canonical({"b": 1, "a": "°"})
    b'{"a":"\\xc2\\xb0","b":1}'
    """
    return json.dumps(data, sort_keys=True, separators=(",", ":"), ensure_ascii=False, allow_nan=False).encode()
