"""One procedure: what is written, what was tested and what that qualifies, and the forms of both."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from brightroot.app.ports import Place
from brightroot.app.procedures import joints_under, procedure_of, promises_beyond_tests, qualified
from brightroot.base.errors import Refused
from brightroot.documents.sheets.procedure import value_line, variable
from brightroot.model.facts import Fact
from brightroot.model.procedure import Tested, Trip
from brightroot.model.procedure_facts import GROUPS, TESTED_FACTS, WRITTEN_FACTS
from brightroot.model.streams import procedure_log
from brightroot.web.settings import Settings
from brightroot.web.shown import Shown

ROUTE = "/procedures/{name}"
TITLE = "procedure.title"
FORMS = {"written": WRITTEN_FACTS, "tested": TESTED_FACTS}
OPEN = ("which", "metal")
LISTS = {"filler": "fillers"}


@dataclass(frozen=True, slots=True)
class Group:
    """Facts of a form that belong together; a folded one is open where something in it was typed or is wrong."""

    name: str
    facts: tuple[Fact, ...]
    folds: bool
    open: bool


def view(
    place: Place,
    settings: Settings,
    *,
    name: str,
    typed: Mapping[str, Any] | None = None,
    refusal: Refused | None = None,
    entering: str = "",
) -> dict[str, Any]:
    """The procedure as it stands; `entering` is the form that is open, with what was typed and what is wrong."""
    procedure_log(name)
    shown = Shown(settings)
    found = procedure_of(place, name)
    errors = shown.errors(refusal) if refusal else {}
    revision = {n: _as_typed(value) for n, value in found.written.items()}
    stand = {"written": revision, "tested": {}}
    if entering in stand:
        stand = {**stand, entering: {n: str(value) for n, value in (typed or {}).items()}}
    unit = "in" if settings.units == "us" else "mm"
    return {
        "procedure": found,
        "title": name,
        "lines": _lines(found.written, WRITTEN_FACTS, shown),
        "tests": tuple((test, _qualifies(place, test, unit, shown), _values(test, shown)) for test in found.tested),
        "beyond": tuple(_trip(trip, shown) for trip in promises_beyond_tests(place, name)),
        "joints": joints_under(place, found.name),
        "forms": tuple(
            (act, _groups(facts, stand[act], errors if act == entering else {}), stand[act])
            for act, facts in FORMS.items()
        ),
        "errors": errors,
        "entering": entering,
        "typed": {n: str(value) for n, value in (typed or {}).items()},
        "lists": LISTS,
        "suggestions": {"fillers": tuple(place.library.fillers)},
    }


def _as_typed(value: Any) -> str:
    if isinstance(value, Mapping):
        return str(value["as_entered"])
    return {True: "yes", False: "no"}[value] if isinstance(value, bool) else str(value)


def _lines(values: Mapping[str, Any], facts: tuple[Fact, ...], shown: Shown) -> tuple[tuple[str, str], ...]:
    """What was typed, in the order of the form."""
    told = [(fact.name, values[fact.name]) for fact in facts if fact.name in values]
    return tuple((variable(n, shown.speech), shown.choice(value_line(n, value, shown.speech))) for n, value in told)


def _values(test: Tested, shown: Shown) -> tuple[tuple[str, str], ...]:
    return _lines(test.values, TESTED_FACTS, shown)


def _qualifies(place: Place, test: Tested, unit: str, shown: Shown) -> str:
    found = qualified(place, test, unit=unit)
    if found is None:
        return ""
    low, high, deposit = found
    return shown.say("procedure.qualifies", low=low, high=high, deposit=deposit)


def _trip(trip: Trip, shown: Shown) -> str:
    name = variable(trip.variable, shown.speech)
    known = "" if trip.confirmed else f", {shown.say('procedure.from_memory')}"
    return shown.say("procedure.trip_line", variable=name, got=trip.got, wanted=trip.wanted, ref=trip.ref + known)


def _groups(facts: tuple[Fact, ...], typed: Mapping[str, str], errors: Mapping[str, str]) -> tuple[Group, ...]:
    made = []
    for name in GROUPS:
        own = tuple(fact for fact in facts if fact.group == name)
        if own:
            touched = any(errors.get(fact.name) or typed.get(fact.name) for fact in own)
            made.append(Group(name, own, name not in OPEN, touched))
    return tuple(made)
