"""What a kind of event is made of: its fields. The tables of kinds are in `event` and in the modules that it gathers."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Field:
    """One fact of an event. `kind`: number | clock | choice | text | yes_no | count | share | stamp | date | data."""

    name: str
    kind: str = "number"
    choices: tuple[str, ...] = ()
    required: bool = True


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of event: noun.past-participle, its facts, and where in the work it belongs."""

    name: str
    group: str  # plan | prepare | purge | weld | look | finish | record
    fields: tuple[Field, ...] = ()
    by_hand: bool = True  # a person may record it; False: only the program does


def choice(name: str, *choices: str, required: bool = True) -> Field:
    """One of a list of words."""
    return Field(name, "choice", choices, required)


def maybe(name: str, kind: str = "number") -> Field:
    """A fact that may be left out: then it is not recorded."""
    return Field(name, kind, required=False)
