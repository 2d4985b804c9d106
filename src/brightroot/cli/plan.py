"""`brightroot plan` and `brightroot why`."""

from __future__ import annotations

import json
import tomllib
from pathlib import Path

from brightroot.app.plan_joint import declare, plan_facts, plan_of
from brightroot.app.why import why
from brightroot.base.errors import Refused
from brightroot.base.show import show
from brightroot.cli.output import counted, pairs, put
from brightroot.cli.wiring import place_at, speech
from brightroot.documents.sheets.plan import label, plan_sheet
from brightroot.model.codec import to_data
from brightroot.model.outline import Heading, Para, Table


def facts_from(arguments: list[str]) -> dict[str, str]:
    """Facts from a file, from name=value arguments, or from both (the arguments win)."""
    files = [a for a in arguments if a.endswith((".toml", ".json")) and "=" not in a]
    facts: dict[str, str] = {}
    for name in files:
        path = Path(name)
        if not path.exists():
            raise Refused(field="facts", wanted="a file of facts", got=name)
        text = path.read_text(encoding="utf-8")
        facts |= {k: str(v) for k, v in (tomllib.loads(text) if name.endswith(".toml") else json.loads(text)).items()}
    return facts | pairs([a for a in arguments if a not in files])


def run_plan(
    arguments: list[str], *, keep: bool, by: str, store: Path | None, language: str, units: str, as_json: bool
) -> None:
    """Plan, print, and with `--keep` declare."""
    place = place_at(store)
    facts = facts_from(arguments)
    if keep and not by.strip():
        raise Refused(field="by", wanted="your stamp, like W-07", got="nothing", reason="refused.missing")
    made = declare(place, facts, by=by, progress=counted) if keep else plan_facts(place, facts, progress=counted)
    if as_json:
        put(to_data(made))
        return
    spoken = speech(language, units)
    for block in plan_sheet(made, speech=spoken):
        if isinstance(block, Heading):
            print(f"\n{block.text}\n{'-' * len(block.text)}")
        elif isinstance(block, Table):
            for row in block.rows:
                print("  " + "  ".join(row))
        elif isinstance(block, Para):
            print(block.text)
        else:
            print(f"! {getattr(block, 'text', '')}")


def run_why(joint: str, key: str, *, store: Path | None, language: str, units: str, as_json: bool) -> None:
    """Print everything behind one figure."""
    place = place_at(store)
    opened = why(place, plan_of(place, joint), key)
    if as_json:
        put(to_data(opened))
        return
    spoken = speech(language, units)
    print(f"{label(key, spoken)}: {spoken.figure(opened.figure)}  [{spoken.say(f'standing.{opened.standing}')}]")
    print(opened.equation)
    print(opened.hand)
    for row in opened.inputs:
        given = row.input
        origin = row.source.title if row.source else given.ref
        low, value, high = (
            show(x, name=given.name, system=units, both=False) for x in (given.low, given.value, given.high)
        )
        print(f"  {given.name} = {value} ({low} – {high}), {given.origin}: {origin} [{given.standing}]")
    if opened.source:
        print(f"{opened.source.title} {opened.where}")
    for caveat in opened.caveats:
        print(f"! {spoken.say(caveat)}")
