"""`brightroot rules`: read them, confirm and tighten them, and check a folder by its own worked cases."""

from __future__ import annotations

from pathlib import Path

import typer

from brightroot.app.check_rules import problems_of
from brightroot.app.rules_read import RuleRow, confirm_row, limit_typed, rule_rows, take_back, tighten
from brightroot.base.errors import Refused
from brightroot.cli.output import FAIL, PASS, pairs, put
from brightroot.cli.wiring import place_at, speech
from brightroot.library.folder import open_folder
from brightroot.library.load import load_library
from brightroot.model.codec import to_data

ACTS = ("list", "check", "confirm", "tighten", "take-back")


def run_rules(act: str, told: list[str], *, by: str, store: Path | None, language: str, as_json: bool) -> None:
    """One of the acts; `told` is a folder, a code, or a code with its row and name=value facts."""
    if act == "check" and len(told) == 1:
        _check(Path(told[0]), language, as_json)
    place = place_at(store)
    if act == "list" and len(told) <= 1:
        _list([r for r in rule_rows(place) if not told or r.code.id == told[0]], language, as_json)
        return
    plain, facts = [a for a in told if "=" not in a], pairs([a for a in told if "=" in a])
    why = facts.get("why", "")
    if act == "confirm" and len(plain) == 2:
        edition, ref = facts.get("edition", ""), facts.get("ref", "")
        event = confirm_row(place, plain[0], plain[1], edition=edition, ref=ref, by=by)
    elif act == "tighten" and len(plain) == 2:
        code, name = plain
        row = next((r for r in rule_rows(place) if (r.code.id, r.row.id) == (code, name)), None)
        text = facts.get("limit", "")
        limit = limit_typed(row.clause, text) if row and row.clause else text
        event = tighten(place, code, name, limit, why=why, by=by)
    elif act == "take-back" and len(plain) == 1:
        event = take_back(place, plain[0], why=why, by=by)
    else:
        wanted = "list [CODE], check FOLDER, confirm CODE ROW, tighten CODE ROW or take-back EVENT"
        raise Refused(field="rules", wanted=wanted, got=" ".join([act, *told]))
    said = speech(language, "metric").say("people.recorded", what=event.id)
    put({"ok": True, "recorded": event.id}) if as_json else print(said)


def _check(path: Path, language: str, as_json: bool) -> None:
    """Every problem by its name; exit 1 where there is one."""
    folder = open_folder(path)
    ours = load_library()
    own = folder.code.id not in ours.codes
    found = problems_of(
        folder.code,
        cases=folder.cases,
        welder_cases=folder.welder_cases,
        welder_base=folder.welder_base,
        sources={**ours.sources, **folder.sources},
        beside=tuple(ours.codes.values()) if own else (),
        released=folder.released,
        frozen=folder.frozen,
        digest=folder.digest,
    )
    count = len(folder.cases) + len(folder.welder_cases)
    if as_json:
        put({"code": folder.code.id, "cases": count, "digest": folder.digest, "problems": [to_data(p) for p in found]})
    else:
        say = speech(language, "metric").say
        slots = {"clauses": len(folder.code.clauses), "rows": len(folder.code.rows), "cases": count}
        counted = say("rules.problems", code=folder.code.id, count=len(found))
        print(counted if found else say("rules.checked", code=folder.code.id, **slots))
        for problem in found:
            print(f"  {problem.where}: {problem.says}")
    raise typer.Exit(FAIL if found else PASS)


def _list(rows: list[RuleRow], language: str, as_json: bool) -> None:
    if as_json:
        put({"rules": [{"code": r.code.id, **to_data(r.row), "decides": r.decides} for r in rows]})
        return
    say = speech(language, "metric").say
    for r in rows:
        state = say("rules.decides" if r.decides else "rules.decides_not")
        who = "; ".join(one.told.by for one in r.confirmed)
        print(f"{r.code.id:22} {r.row.id:30} {r.row.ref:26} [{say(f'standing.{r.row.standing}')}] {state} {who}")
        print(f"    {r.row.says}")
