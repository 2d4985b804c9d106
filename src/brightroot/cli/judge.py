"""`brightroot judge`: exit 0 pass, 1 fail, 2 unknown."""

from __future__ import annotations

from pathlib import Path

import typer

from brightroot.app.judge_joint import verdicts
from brightroot.cli.output import FAIL, PASS, UNKNOWN, put
from brightroot.cli.wiring import place_at, speech
from brightroot.documents.sheets.verdicts import ORDER
from brightroot.model.clause import Outcome, overall
from brightroot.model.codec import to_data
from brightroot.rules.explain import explain

EXITS = {Outcome.PASS: PASS, Outcome.FAIL: FAIL, Outcome.UNKNOWN: UNKNOWN}


def run_judge(joint: str, *, store: Path | None, language: str, as_json: bool) -> None:
    """Print every verdict, worst first, and leave with the worst."""
    found = verdicts(place_at(store), joint)
    worst = overall(found)
    if as_json:
        put({"overall": worst.value, "verdicts": [to_data(v) for v in found]})
    else:
        say = speech(language, "metric").say
        for verdict in sorted(found, key=lambda v: ORDER.index(v.outcome)):
            message, params = explain(verdict)
            asks = f" {say(verdict.asks, **params)}" if verdict.asks else ""
            outcome = say("outcome." + verdict.outcome.value.replace(" ", "_"))
            print(f"{outcome:16} {verdict.ref:28} {say(message, **params)}{asks}")
    raise typer.Exit(EXITS[worst])
