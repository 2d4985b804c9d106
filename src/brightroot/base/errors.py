"""Three ways to say no. Only `web` and `cli` catch them; anything else that is raised is a bug."""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass
from typing import Any


@dataclass
class Refused(Exception):
    """A person can mend this: what stood in `field`, what was `wanted`, what was `got`, and the `near` names.

    `reason` is the id of a message in `words/`; `params` fill it. `wanted` and `got` are already in the person's units.

    >>> str(Refused(field="wall_m", wanted="a number and one of mm, in", got="3.2"))
    "wall_m: wanted a number and one of mm, in; got '3.2'"
    """

    field: str
    wanted: str
    got: str
    near: tuple[str, ...] = ()
    reason: str = "refused.plain"
    params: dict[str, Any] = dataclasses.field(default_factory=dict)
    see: str = ""
    also: tuple[Refused, ...] = ()  # the other refusals of the same form, so that one look mends them all

    def __str__(self) -> str:
        near = f" (near: {', '.join(self.near)})" if self.near else ""
        return f"{self.field}: wanted {self.wanted}; got {self.got!r}{near}"

    def envelope(self) -> dict[str, Any]:
        """The one error shape of web, CLI and API."""
        return {
            "ok": False,
            "error": self.reason,
            "field": self.field,
            "wanted": self.wanted,
            "got": self.got,
            "near": list(self.near),
            "see": self.see,
            **({"also": [other.envelope() for other in self.also]} if self.also else {}),
        }


def gathered(refusals: list[Refused]) -> Refused:
    """Several refusals as one: the first, carrying the rest."""
    first, *rest = refusals
    return dataclasses.replace(first, also=(*first.also, *rest))


class OutOfRange(Refused):
    """A formula was called outside the closed range its source gives; the message names value and range."""


@dataclass
class Broken(Exception):
    """A log chain, a bundle or the library does not check. `where` points at the record or the cell."""

    where: str
    wanted: str
    got: str

    def __str__(self) -> str:
        return f"{self.where}: wanted {self.wanted}; got {self.got}"
