"""`brightroot procedure`: which are typed; `procedure WPS-T14`: one; `procedure WPS-T14 written …`: one more entry."""

from __future__ import annotations

import json
import tomllib
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

from brightroot.app.ports import Place
from brightroot.app.procedures import (
    joints_under,
    procedure_of,
    procedures,
    promises_beyond_tests,
    record_test,
    take_back_procedure,
    type_procedure,
    watched,
    write_procedure,
)
from brightroot.app.work_live import look
from brightroot.base.errors import Refused
from brightroot.cli.output import pairs, put
from brightroot.cli.plan import facts_from
from brightroot.cli.wiring import place_at, speech
from brightroot.documents.sheets.procedure import (
    more_lines,
    silent_line,
    trip_row,
    under_line,
    value_line,
    variable,
)
from brightroot.documents.speech import Speech
from brightroot.model.codec import to_data
from brightroot.model.event import Event
from brightroot.model.facts import Fact
from brightroot.model.procedure_facts import TESTED_FACTS, WRITTEN_FACTS

ACTS = ("written", "tested", "typed", "withdrawn")


def run_procedure(
    arguments: list[str],
    *,
    joint: str,
    by: str,
    store: Path | None,
    language: str,
    units: str,
    as_json: bool,
) -> None:
    """List, show, record; or lay a joint against its procedure."""
    place, spoken = place_at(store), speech(language, units)
    if joint:
        _joint(place, joint, spoken, as_json)
    elif not arguments:
        _listed(place, spoken.say, as_json)
    elif len(arguments) == 1:
        _shown(place, arguments[0], spoken, as_json)
    else:
        name, act, *told = arguments
        made = [event.id for event in _acted(place, name, act, told, by=by)]
        what = ", ".join(made)
        put({"ok": True, "recorded": made}) if as_json else print(spoken.say("procedure.recorded", what=what))


def _acted(place: Place, name: str, act: str, told: list[str], *, by: str) -> tuple[Event, ...]:
    """One more entry, or all that a file tells."""
    if act == "written":
        return (write_procedure(place, name, facts_from(told), by=by),)
    if act == "tested":
        return (record_test(place, name, facts_from(told), by=by),)
    if act == "typed" and len(told) == 1:
        written, tested = _file(Path(told[0]))
        return type_procedure(place, name, written, tested, by=by)
    if act == "withdrawn":
        facts = pairs(told)
        return (take_back_procedure(place, name, facts.get("event", ""), why=facts.get("why", ""), by=by),)
    raise Refused(field="procedure", wanted=f"one of {', '.join(ACTS)}", got=act, reason="refused.name")


def _file(path: Path) -> tuple[dict[str, Any] | None, list[dict[str, Any]]]:
    """`[written]` and `[[tested]]` of a file, as they were typed."""
    if not path.is_file() or path.suffix not in (".toml", ".json"):
        raise Refused(field="procedure", wanted="a .toml or .json file", got=str(path))
    text = path.read_text(encoding="utf-8")
    try:
        told = tomllib.loads(text) if path.suffix == ".toml" else json.loads(text)
    except ValueError as fault:
        raise Refused(field="procedure", wanted="a .toml or .json file", got=str(fault)) from None
    other = sorted(set(told) - {"written", "tested"})
    if other:
        raise Refused(field=other[0], wanted="[written] or [[tested]]", got=other[0], reason="refused.name")
    tested = told.get("tested") or []
    return told.get("written"), tested if isinstance(tested, list) else [tested]


def _listed(place: Place, say: Callable[..., str], as_json: bool) -> None:
    found = procedures(place)
    if as_json:
        put({"procedures": [to_data(one) for one in found]})
        return
    if not found:
        print(say("procedure.none"))
    for one in found:
        line = "procedure.line" if one.revision else "procedure.line_unwritten"
        joints = len(joints_under(place, one.name))
        print(say(line, name=one.name, revision=one.revision, tests=len(one.tested), joints=joints))


def _shown(place: Place, name: str, spoken: Speech, as_json: bool) -> None:
    found = procedure_of(place, name)
    beyond = promises_beyond_tests(place, name)
    joints = joints_under(place, found.name)
    if as_json:
        put({**to_data(found), "beyond": [to_data(trip) for trip in beyond], "joints": list(joints)})
        return
    say = spoken.say
    print(say("procedure.revision", revision=found.revision) if found.revision else say("procedure.not_written"))
    _values(found.written, WRITTEN_FACTS, spoken)
    print(say("procedure.tests") if found.tested else say("procedure.no_tests"))
    for test in found.tested:
        print(f"{test.test_record}  [{test.event}]")
        _values(test.values, TESTED_FACTS, spoken)
    for trip in beyond:
        slots = {"variable": variable(trip.variable, spoken), "got": trip.got, "wanted": trip.wanted, "ref": trip.ref}
        print("! " + say("procedure.trip_line", **slots))
    print(f"{say('procedure.joints')}: {', '.join(joints)}" if joints else say("procedure.no_joint"))


def _values(values: Mapping[str, Any], facts: tuple[Fact, ...], spoken: Speech) -> None:
    for fact in facts:
        if fact.name in values:
            print(f"  {variable(fact.name, spoken):32} {value_line(fact.name, values[fact.name], spoken)}")


def _joint(place: Place, joint: str, spoken: Speech, as_json: bool) -> None:
    """A joint against its procedure."""
    now = look(place, joint)
    found = watched(place, now.plan, now.state.record)
    if as_json:
        put(to_data(found))
        return
    print(under_line(found, spoken))
    if not found.lines:
        print(spoken.say("procedure.trips_none"))
    for line in found.lines:
        name, got, wanted, clause, answer = trip_row(line, spoken)
        print(f"{name}: {got}; {spoken.say('sheet.wanted').lower()} {wanted}  {clause}\n    {answer}")
    for text in (silent_line(found, spoken), *more_lines(found.more, spoken)):
        if text:
            print(text)
