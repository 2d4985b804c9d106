"""May W-nn weld this: one answer in words, the variable that stands against it, the least that would mend it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from brightroot.app.lasting import lasting
from brightroot.app.may import book_named, books, may_weld, today
from brightroot.app.people import person_of, uses_of
from brightroot.app.plan_joint import plan_of
from brightroot.app.ports import Place
from brightroot.base.errors import Refused
from brightroot.documents.who import answer_line, coupon_line, headline, lasting_line, mend_line, standing_line
from brightroot.model.coupon_facts import COUPON_FACTS
from brightroot.model.qualification import Answer, MayWeld
from brightroot.web.pages.may.write import routes
from brightroot.web.settings import Settings
from brightroot.web.shown import Shown

__all__ = ["ROUTE", "TITLE", "routes", "view"]

ROUTE = "/may"
TITLE = "may.title"
OPEN = ("record", "coupon")
FOLDED = ("variables", "tests")
LISTS = {"metal": "metals", "pipe": "pipes", "filler": "fillers", "code": "codes"}
SHAPES = {"pass": "yes", "fail": "no", "unknown": "not-known"}


@dataclass(frozen=True, slots=True)
class Line:
    """One variable as it is told."""

    answer: Answer
    shape: str
    outcome: str
    variable: str
    sentence: str
    asks: str
    source: str
    standing: str


def view(
    place: Place,
    settings: Settings,
    *,
    stamp: str = "",
    joint: str = "",
    on: str = "",
    code: str = "",
    typed: Mapping[str, Any] | None = None,
    refusal: Refused | None = None,
    entering: str = "",
) -> dict[str, Any]:
    """The question with its answer; without a stamp or a joint the question alone. `entering` is the open form."""
    shown = Shown(settings)
    stamp = (stamp or settings.stamp).strip()
    day = on or today(place)
    told = may_weld(place, stamp, joint, on=day, code=code) if stamp and joint else None
    errors = shown.errors(refusal) if refusal else {}
    return {
        "stamp": stamp,
        "joint": joint,
        "on": day,
        "code": code,
        "codes": tuple(books(place)),
        "joints": place.store.joints(),
        "told": told,
        "lines": tuple(_line(answer, shown, place) for answer in told.answers) if told else (),
        "said": _said(told, shown, code or _code_of(place, told)) if told else {},
        "others": _others(place, told, shown, code) if told else (),
        "what": _what(place, joint) if told else {},
        **(_record(place, stamp, shown) if stamp else {"record": None, "uses": ()}),
        "groups": tuple(_group(name, typed or {}, errors) for name in (*OPEN, *FOLDED)),
        "typed": {name: str(value) for name, value in (typed or {}).items()},
        "errors": errors,
        "entering": entering,
        "lists": LISTS,
        "suggestions": _suggestions(place),
    }


def _line(answer: Answer, shown: Shown, place: Place) -> Line:
    outcome = answer.outcome.value.replace(" ", "_")
    source = place.library.sources.get(answer.source)
    return Line(
        answer=answer,
        shape=outcome.replace("_", "-"),
        outcome=shown.say(f"outcome.{outcome}"),
        variable=shown.say(f"variable.{answer.variable}"),
        sentence=answer_line(answer, shown.say),
        asks=shown.say(answer.asks) if answer.asks and not answer.waits_for else "",
        source=source.title if source else answer.source,
        standing=standing_line(answer, shown.say),
    )


def _said(told: MayWeld, shown: Shown, code: str) -> dict[str, Any]:
    """The answer in words: headline, what else, by which qualification, until when, and the least that would mend it."""
    against = [a.variable for a in told.answers if a.because in ("welders.fail", "welders.would_fail")]
    also = [shown.say(f"variable.{name}") for name in against[1:]]
    lasting = next((a for a in told.answers if a.variable == "continuity" and a.because == "continuity.lasts"), None)
    by = ""
    if told.qualification:
        name = "may.by_two" if told.with_qualification else "may.by" if told.outcome == "pass" else "may.closest"
        by = shown.say(name, qualification=told.qualification, second=told.with_qualification)
    return {
        "shape": SHAPES[told.outcome.value],
        "headline": headline(told, shown.say, code=code),
        "also": shown.say("may.also_fails", variables=", ".join(also)) if also else "",
        "by": by,
        "until": shown.say("may.last_day", until=lasting.got) if lasting else "",
        "mend": mend_line(told.mend, shown.say) if told.mend.kind != "nothing" else "",
        "code": code,
    }


def _code_of(place: Place, told: MayWeld) -> str:
    return book_named(place, "", person=person_of(place, told.welder)).code


def _others(place: Place, told: MayWeld, shown: Shown, code: str) -> tuple[tuple[str, str], ...]:
    """What the other codes would answer, a line each."""
    mine = code or _code_of(place, told)
    asked = ((name, may_weld(place, told.welder, told.joint, on=told.on, code=name)) for name in books(place))
    return tuple((name, headline(other, shown.say, code=name)) for name, other in asked if name != mine)


def _what(place: Place, joint_id: str) -> dict[str, Any]:
    """What the joint is, and how much of it is made."""
    plan = plan_of(place, joint_id)
    end = plan.joint.end_a
    size = end.size or f"{end.outer_diameter_m.as_entered} x {end.wall_m.as_entered}"
    made = {e.data["run_count"] for e in place.store.events(joint_id) if e.kind == "arc.started"}
    line = ", ".join((size, place.library.alloys[end.alloy].name, plan.joint.position, plan.filler))
    return {"line": line, "made": len(made), "planned": len(plan.runs)}


def _record(place: Place, stamp: str, shown: Shown) -> dict[str, Any]:
    person = person_of(place, stamp)
    uses = uses_of(place, stamp, person=person)
    ends = {one.qualification: lasting_line(one.continuity, one.joint, shown.say) for one in lasting(place, stamp)}
    held = [(q, coupon_line(q.coupon, shown.say), ends.get(q.id, "")) for q in person.qualifications]
    return {"record": held, "uses": tuple(reversed(uses[-5:]))}


def _group(name: str, typed: Mapping[str, Any], errors: Mapping[str, str]) -> dict[str, Any]:
    facts = tuple(fact for fact in COUPON_FACTS if fact.group == name)
    touched = any(errors.get(f.name) or str(typed.get(f.name) or f.start) != f.start for f in facts)
    return {"name": name, "facts": facts, "open": touched, "folds": name in FOLDED}


def _suggestions(place: Place) -> dict[str, tuple[str, ...]]:
    library = place.library
    return {
        "metals": tuple(alloy.name for alloy in library.alloys.values()),
        "pipes": tuple(f"NPS {pipe.nps} Sch {pipe.schedule}" for pipe in library.pipes),
        "fillers": tuple(library.fillers),
        "codes": tuple(books(place)),
    }
