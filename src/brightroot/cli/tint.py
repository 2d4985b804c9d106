"""`brightroot tint`: what the gas should leave on each run, what was seen, and why the two may not agree."""

from __future__ import annotations

from pathlib import Path

from brightroot.app.tint import TintRow, joint_tint
from brightroot.cli.output import put
from brightroot.cli.wiring import place_at, speech
from brightroot.documents.speech import Speech
from brightroot.model.codec import to_data
from brightroot.web.shown import slug


def run_tint(joint: str, *, store: Path | None, language: str, units: str, as_json: bool) -> None:
    """A line for each side of each run, and under it why forecast and bead do not agree."""
    told = joint_tint(place_at(store), joint)
    if as_json:
        put(to_data(told))
        return
    spoken = speech(language, units)
    print(spoken.say("tint.lead" if told.reach == "film" else f"tint.{told.reach}"))
    for row in told.rows:
        print(_line(row, spoken))
        for why in row.because:
            print("    " + spoken.told(why.says, tuple((n, _choice(spoken, v)) for n, v in why.params)))


def _line(row: TintRow, spoken: Speech) -> str:
    made = "" if row.made else f" ({spoken.say('tint.planned')})"
    parts = [f"{spoken.say('tint.run')} {row.run} {spoken.say(f'tint.{row.side}')}{made}"]
    if row.dose is not None and row.likely_m is not None and row.names is not None:
        names = tuple(dict.fromkeys(_choice(spoken, name) for name in (row.names.low, row.names.high)))
        film = f"{row.likely_m.low * 1e9:.0f}–{row.likely_m.high * 1e9:.0f} nm"
        parts += [spoken.figure(row.dose), f"{' – '.join(names)} ({film})"]
    seen = (
        f"{_choice(spoken, row.seen)}, {row.arrangement}".rstrip(", ") if row.seen else spoken.say("tint.nobody_looked")
    )
    parts.append(f"{spoken.say('tint.seen').lower()}: {seen}")
    return "; ".join([*parts, *([spoken.say(row.said.says, tint=seen)] if row.said else [])])


def _choice(spoken: Speech, value: str) -> str:
    said = spoken.say(f"choice.{slug(value)}")
    return value if said.startswith("«") else said
