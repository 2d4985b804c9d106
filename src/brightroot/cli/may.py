"""`brightroot may W-07 J-05`: exit 0 yes, 1 no, 2 not known."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import typer

from brightroot.app.may import may_weld
from brightroot.cli.judge import EXITS
from brightroot.cli.output import put
from brightroot.cli.wiring import place_at, speech
from brightroot.documents.who import answer_line, headline, mend_line, standing_line
from brightroot.model.codec import to_data


def run_may(stamp: str, joint: str, *, on: str, code: str, store: Path | None, language: str, as_json: bool) -> None:
    """Print the answer, what would mend it, and every variable with its clause and how that is known."""
    told = may_weld(place_at(store), stamp, joint, on=on or date.today().isoformat(), code=code)
    if as_json:
        put(to_data(told))
        raise typer.Exit(EXITS[told.outcome])
    say = speech(language, "metric").say
    print(headline(told, say, code=code))
    if told.mend.kind != "nothing":
        print(f"  {mend_line(told.mend, say)}")
    for answer in told.answers:
        outcome = say("outcome." + answer.outcome.value.replace(" ", "_"))
        waits = f" ← {', '.join(answer.waits_for)}" if answer.waits_for else ""
        name = say(f"variable.{answer.variable}")
        print(
            f"{outcome:16} {name:26} {answer.ref:14} {answer_line(answer, say)} [{standing_line(answer, say)}]{waits}"
        )
    raise typer.Exit(EXITS[told.outcome])
