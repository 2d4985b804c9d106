"""The form a joint is declared from: made from the facts, in the order in which they are met at the pipe."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from brightroot.app.plan_joint import facts_of_joint
from brightroot.app.ports import Place
from brightroot.base.errors import Refused
from brightroot.model.facts import FACTS
from brightroot.web.settings import Settings
from brightroot.web.shown import Shown

ROUTE = "/joints/new"
TITLE = "web.new.title"
OPEN = ("joint", "groove", "purge")  # what no plan can do without; the rest is folded until it is wanted
FOLDED = ("procedure", "kit", "far end")
LISTS = {"metal": "metals", "pipe": "pipes", "filler": "fillers"}


def view(
    place: Place,
    settings: Settings,
    *,
    like: str = "",
    typed: Mapping[str, Any] | None = None,
    refusal: Refused | None = None,
) -> dict[str, Any]:
    """The form: empty, like another joint, or as it was typed with what is wrong beside each field."""
    if typed is None:
        typed = {**facts_of_joint(place, like), "id": ""} if like else {"by": settings.stamp}
    errors = Shown(settings).errors(refusal) if refusal else {}
    return {
        "open_groups": tuple(_group(name, typed, errors) for name in OPEN),
        "folded_groups": tuple(_group(name, typed, errors) for name in FOLDED),
        "typed": {name: str(value) for name, value in typed.items()},
        "errors": errors,
        "like": like,
        "lists": LISTS,
        "suggestions": _suggestions(place),
    }


def _group(name: str, typed: Mapping[str, Any], errors: Mapping[str, str]) -> dict[str, Any]:
    """A group with its facts; a folded one opens where something in it was typed or is wrong."""
    facts = tuple(fact for fact in FACTS if fact.group == name)
    touched = any(errors.get(f.name) or str(typed.get(f.name) or f.start) != f.start for f in facts)
    return {"name": name.replace(" ", "_"), "facts": facts, "open": touched}


def _suggestions(place: Place) -> dict[str, tuple[str, ...]]:
    library = place.library
    return {
        "metals": tuple(alloy.name for alloy in library.alloys.values()),
        "pipes": tuple(f"NPS {pipe.nps} Sch {pipe.schedule}" for pipe in library.pipes),
        "fillers": tuple(library.fillers),
    }
